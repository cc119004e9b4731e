"""What a type of question is: its schema, checks, marking, typed line, words and print, in one class.

A new type is one file in `question_types/` with one class under `@question_type`: scenario files, their
schema, `glasscan check`, marking, papers, self-study, the typed line and the hand-out read it from here.
Its look in the window is a class under `@widgets_for` in `window/questions/types/`; a list of lines has one.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from importlib import import_module
from pkgutil import iter_modules
from typing import Any, ClassVar, Protocol, TypeVar

from pydantic import BaseModel

from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.record_base import Record

LETTERS = "abcdefghijklmnopqrstuvwxyz"
NONE = "none"
"""Typed and stored where no line is chosen; an empty line means that the question is left."""
EXACT = "="
"""Before an id that a program gives, so that an id of one letter is not taken for the letter of a line."""
SEPARATORS = str.maketrans(",;>", "   ")


class HasForm(Protocol):
    """A question as far as its form decides how a stored answer is read."""

    @property
    def form(self) -> str:
        """See `PosedQuestion`."""


@dataclass(frozen=True)
class AskedOf:
    """What a question is put about.

    Attributes:
        scenario: as it will be run.
        filter: its name of a filter.
        log: its run, or None where it is not known yet.
        salt: secret of the sitting, which decides all that is drawn.
    """

    scenario: BaseModel
    filter: str
    log: MarkingLog | None
    salt: str


class QuestionType(ABC):
    """One way to ask and to answer; a subclass says what is its own.

    Attributes:
        form: word of the form in files and in the store.
        schema: what a scenario file gives of it.
        kinds: kinds of prompt that ask it; a prediction may ask any form besides.
        needs_run: its lines come from the run, so it can be put only once that is known.
        one_line: one line chosen is the whole answer.
        several_lines: the answer is a list of lines, perhaps none.
        ordered: of several lines, their order counts.
        ruled: empty lines to write on under the question on paper.
    """

    form: ClassVar[str]
    schema: ClassVar[type[Record]]
    kinds: ClassVar[tuple[type[Record], ...]] = ()
    needs_run: ClassVar[bool] = False
    one_line: ClassVar[bool] = False
    several_lines: ClassVar[bool] = False
    ordered: ClassVar[bool] = False
    ruled: ClassVar[int] = 0

    # --- in the file --------------------------------------------------------------------------------

    def check(self, form: Any, here: Path) -> Iterator[Finding]:
        """What no single field can know: ids once, pairs that can be kept, axes that are axes."""
        del form, here
        yield from ()

    def check_filter(self, form: Any, here: Path, filter_name: str) -> Iterator[Finding]:
        """What must fit the filter of the scenario, which is there."""
        del form, here, filter_name
        yield from ()

    # --- put and marked -----------------------------------------------------------------------------

    def put(self, form: Any, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        """The question with what this form shows beside it, and nothing of its key."""
        del form, of
        return shown

    def as_shown(self, form: Any, shown: PosedQuestion) -> Any:
        """The form with its lines in the order shown, where reasons follow that order."""
        del shown
        return form

    @abstractmethod
    def mark(self, form: Any, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        """Mark an answer; the key is read from the run.

        Raises:
            ValueError: the answer is not of this form.
        """

    def any_answer(self, asked: PosedQuestion) -> Answer:
        """An answer that can be marked, whatever it is worth: its mark tells the key."""
        return asked.choices[0][0]

    def differs(self, form: Any, ours: MarkingLog, theirs: MarkingLog) -> str:
        """What of the key a variant changes, beyond its numbers; "" where it asks the same."""
        del form, ours, theirs
        return ""

    # --- typed, stored, told ------------------------------------------------------------------------

    def lines(self, asked: PosedQuestion) -> list[str]:
        """What can be chosen, one line each."""
        return [f"  {letter}  {text}" for letter, (_, text) in zip(LETTERS, asked.choices, strict=False)]

    @abstractmethod
    def how(self, asked: PosedQuestion) -> str:
        """How to answer on one line."""

    def letters(self, asked: PosedQuestion) -> dict[str, str]:
        """Letter -> id of each line."""
        return {a: name for a, (name, _) in zip(LETTERS, asked.choices, strict=False)}

    def read(self, asked: PosedQuestion, line: str) -> str:
        """A typed line as it is stored.

        Raises:
            ValueError: it is no answer; the text says what was expected.
        """
        if self.several_lines:
            return read_many(line, self.letters(asked))
        return read_one(line, self.letters(asked)) if self.one_line else line

    def stored(self, text: str) -> Answer:
        """A stored answer as the marking takes it."""
        if self.several_lines:
            return () if text == NONE else tuple(text.split())
        return text

    def words(self, asked: PosedQuestion, text: str) -> str:
        """A stored answer as people read it: texts of the lines, not their ids."""
        names = names_of(asked)
        if self.several_lines:
            return "; ".join(names.get(word, word) for word in text.split())
        return names.get(text, text) if self.one_line else text


def names_of(asked: PosedQuestion) -> dict[str, str]:
    """Texts of lines and parts by id."""
    return dict(asked.choices) | {key: name for _, key, name in asked.parts}


def with_choices(
    shown: PosedQuestion, listed: Sequence[Any], scenario: BaseModel, text: Callable[[str, Any], str]
) -> PosedQuestion:
    """A question with lines of a file to choose from, the scenario's own values in their texts."""
    last = tuple(line.id for line in listed if getattr(line, "last", False))
    return replace(shown, choices=tuple((line.id, text(line.text, scenario)) for line in listed), last=last)


def _named(word: str, letters: Mapping[str, str]) -> str:
    names = letters.values()
    known = {name: name for name in names} | {EXACT + name: name for name in names} | dict(letters)
    if word.lower() not in known:
        raise ValueError(f"expected one of {', '.join(k for k in known if len(k) == 1)}, found '{word[:20]}'")
    return known[word.lower()]


def read_one(line: str, letters: Mapping[str, str]) -> str:
    """One line by its letter or its name.

    Raises:
        ValueError: there is no such line.
    """
    return _named(line, letters)


def read_many(line: str, letters: Mapping[str, str]) -> str:
    """Lines by letter or name, in order, as they are stored.

    Raises:
        ValueError: there is no such line, or one was given twice.
    """
    if line.lower() == NONE:
        return NONE
    names = [_named(word, letters) for word in line.translate(SEPARATORS).split()]
    if len(set(names)) < len(names):
        raise ValueError("one line was given twice")
    return " ".join(names) or NONE


def ids_once(ids: Sequence[str], here: Path) -> Iterator[Finding]:
    """A finding for each id of a list that stands there already."""
    for i, name in enumerate(ids):
        if name in ids[:i]:
            yield (*here, i, "id"), f"duplicate id '{name}'", None


TYPES: dict[str, QuestionType] = {}
"""Every type of question by its form."""


_Class = TypeVar("_Class", bound=type[QuestionType])


def question_type(cls: _Class) -> _Class:
    """Register a type of question."""
    TYPES[cls.form] = cls()
    return cls


def load_types() -> dict[str, QuestionType]:
    """Every type that a file in `question_types/` registers."""
    package = import_module("glasscan.learning.question_types")
    for module in iter_modules(package.__path__):
        import_module(f"{package.__name__}.{module.name}")
    return TYPES


def type_of(asked: HasForm) -> QuestionType:
    """The type of a question, of a card, or of a form in a file."""
    return TYPES[asked.form]


def type_of_piece(piece: BaseModel) -> QuestionType | None:
    """The type of a piece of a scenario file; None where it is no form of answer."""
    form = getattr(piece, "form", None)
    return TYPES.get(form) if isinstance(form, str) else None
