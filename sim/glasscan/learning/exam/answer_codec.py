"""Answers typed on one line: what to show, how to read a line, and how to give it to the marking."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Protocol

from glasscan.learning.exam.case_line import CASE_HOW, read_case, test_lines
from glasscan.learning.prompts import NEVER, Answer, PosedQuestion
from glasscan.learning.question_types.answer_text import as_points
from glasscan.learning.typed_numbers import typed

LETTERS = "abcdefghijklmnopqrstuvwxyz"
NONE = "none"
"""Typed and stored where no line is chosen; an empty line means that the question is left."""
OPEN_WORDS, SHUT_WORDS = ("o", "open"), ("s", "shut", "closed")
EXACT = "="
"""Before an id that a program gives, so that an id of one letter is not taken for the letter of a line."""
SEPARATORS = str.maketrans(",;>", "   ")


class HasForm(Protocol):
    """A question as far as its form decides how a stored answer is read."""

    @property
    def form(self) -> str:
        """See `PosedQuestion`."""


def shown_lines(asked: PosedQuestion) -> list[str]:
    """The lines under a question: what can be chosen, and how to answer."""
    if asked.form == "point":
        rows = [f"  {letter}  {name}" for letter, _, name in asked.parts]
    elif asked.form == "valve-strip":
        rows = [f"  {a:g} to {b:g} s" for a, b in pairwise(asked.edges_s)]
    else:
        rows = [f"  {letter}  {text}" for letter, (_, text) in zip(LETTERS, asked.choices, strict=False)]
    return [*rows, *test_lines(asked), _how(asked)]


def read_line(asked: PosedQuestion, line: str) -> str:
    """A typed line as it is stored.

    Raises:
        ValueError: it is no answer to this question; the text says what was expected.
    """
    line = " ".join(line.split())
    return _READ[asked.form](asked, line)


def as_answer(asked: HasForm, stored: str) -> Answer:
    """A stored answer as the marking takes it."""
    if asked.form == "valve-strip":
        return [word == "open" for word in stored.split()]
    if asked.form in ("several", "order", "case"):
        return () if stored == NONE else tuple(stored.split())
    return stored


def _how(asked: PosedQuestion) -> str:
    windows = max(0, len(asked.edges_s) - 1)
    axes = asked.axes
    span = f"times {axes.from_s:g} to {axes.to_s:g} s, values {axes.bottom:g} to {axes.top:g}" if axes else ""
    told = {
        "choice": "One letter.",
        "number-choice": "One letter.",
        "number": f"A number in {asked.unit or 'no unit'}, or another unit after it; or 'never'.",
        "valve-strip": f"{windows} words, open or shut, such as: s o o s s",
        "several": f"All letters that apply, such as: a c; or '{NONE}'.",
        "point": "The letter of one part.",
        "order": f"The letters in order, such as: b a c; or '{NONE}' if none of them happens.",
        "curve": f"Points time:value ({span} {asked.unit}), such as: 0:0 5:80 60:20",
        "case": CASE_HOW,
        "entry": f"Your entry, in words, on one line of at most {asked.most_letters} letters.",
    }
    return told[asked.form]


def _lettered(asked: PosedQuestion) -> dict[str, str]:
    """What may be typed for each line: its letter or its name."""
    if asked.form == "point":
        names = [key for _, key, _ in asked.parts]
        by_letter = {letter: key for letter, key, _ in asked.parts}
    else:
        names = [name for name, _ in asked.choices]
        by_letter = dict(zip(LETTERS, names, strict=False))
    return {name: name for name in names} | {EXACT + name: name for name in names} | by_letter


def _named(word: str, known: Mapping[str, str]) -> str:
    if word.lower() not in known:
        letters = ", ".join(k for k in known if len(k) == 1)
        raise ValueError(f"expected one of {letters}, found '{word[:20]}'")
    return known[word.lower()]


def _one(asked: PosedQuestion, line: str) -> str:
    return _named(line, _lettered(asked))


def _many(asked: PosedQuestion, line: str) -> str:
    if line.lower() == NONE:
        return NONE
    known = _lettered(asked)
    names = [_named(word, known) for word in line.translate(SEPARATORS).split()]
    if len(set(names)) < len(names):
        raise ValueError("one line was given twice")
    return " ".join(names) or NONE


def _number(asked: PosedQuestion, line: str) -> str:  # noqa: ARG001 - the signature of all readers
    if line.lower() == NEVER:
        return NEVER
    typed(line)
    return line


def _strip(asked: PosedQuestion, line: str) -> str:
    words = line.lower().translate(SEPARATORS).split()
    windows = len(asked.edges_s) - 1
    if len(words) != windows or not set(words) <= {*OPEN_WORDS, *SHUT_WORDS}:
        raise ValueError(f"expected {windows} words, each open or shut (o or s)")
    return " ".join("open" if word in OPEN_WORDS else "shut" for word in words)


def _curve(asked: PosedQuestion, line: str) -> str:  # noqa: ARG001 - the signature of all readers
    as_points(line)
    return line


def _entry(asked: PosedQuestion, line: str) -> str:
    if len(line) > asked.most_letters:
        raise ValueError(f"expected at most {asked.most_letters} letters, found {len(line)}")
    return line


_READ: dict[str, Callable[[PosedQuestion, str], str]] = {
    "choice": _one,
    "number-choice": _one,
    "point": _one,
    "number": _number,
    "valve-strip": _strip,
    "several": _many,
    "order": _many,
    "curve": _curve,
    "entry": _entry,
    "case": read_case,
}


def choice_names(asked: PosedQuestion) -> Sequence[str]:
    """Ids of the lines of a question with one right line, for the use of wrong choices in a class."""
    return [name for name, _ in asked.choices] if asked.form in ("choice", "number-choice") else ()
