"""How a type of question is answered in the window: one class, registered by the word of its form.

The base is one line chosen of a list; `ManyLines` ticks several, `OrderedLines` in
their order. A type that is one of these needs no class.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, partial
from importlib import import_module
from pkgutil import iter_modules
from typing import Any, ClassVar, TypeVar

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.widgets import Widget
from glasscan.window.questions.question_cards import Answer, GivenAnswer, QuestionCard

Option = tuple[str, str, Callable[[], None], Callable[[], bool]]
"""Name, words, what a press does, and whether it is chosen."""
EXACT = "="
"""Before an id, so that one of a single letter is not taken for a letter (`question_type.EXACT`)."""


class FormWidgets:
    """One line of a list is the answer; a subclass says what is its own.

    Attributes:
        hint: how it is answered, told under the answers.
        heading: over the question, where neither "Predict first" nor "Read the run" says it.
        wide: it needs more room than the gauges leave.
        typing: its pad takes the plain keys.
        whole: one press is the whole answer, so the way on has the focus next.
        as_shown: what is shown before anything was pressed is an answer as it stands.
        may_be_empty: nothing chosen is an answer too.
        digits: the keys 1 to 9 and 0 choose a line.
    """

    hint: ClassVar[str] = ""
    heading: ClassVar[str] = ""
    wide: ClassVar[bool] = False
    typing: ClassVar[bool] = False
    whole: ClassVar[bool] = True
    as_shown: ClassVar[bool] = False
    may_be_empty: ClassVar[bool] = False
    digits: ClassVar[bool] = True
    below: ClassVar[int] = 70
    """Height left for a hint or a reason below the answers, units of text."""

    # --- the answer ---------------------------------------------------------------------------------

    def answered(self, now: GivenAnswer) -> bool:
        """Whether something stands there to be committed."""
        return bool(now.text.strip())

    def given(self, card: QuestionCard, now: GivenAnswer) -> Answer:
        """The answer as it is marked."""
        del card
        return now.text

    def line(self, card: QuestionCard, now: GivenAnswer) -> str:
        """The answer as one line such as `read_line` takes, lines by their ids; "" where there is none."""
        del card
        return EXACT + now.text if now.text else ""

    def put_back(self, asked: Any, stored: str, now: GivenAnswer) -> None:
        """Put a stored answer back to where it was given."""
        del asked
        now.text = stored

    def said(self, sheet: Any) -> str:
        """The answer to the card shown in words."""
        return str(_names(sheet).get(sheet.now.text, sheet.now.text))

    # --- its widgets --------------------------------------------------------------------------------

    def state(self, now: GivenAnswer) -> tuple[object, ...]:
        """What of the answer the words of the widgets depend on."""
        del now
        return ()

    def options(self, host: Any) -> list[Option]:
        """The lines to choose from."""
        sheet = host.desk
        lines = [(f"choice-{i}", f"{i + 1}  {text}", key) for i, (key, text) in enumerate(sheet.choices())]
        return [
            (name, text, partial(sheet.answer, key), partial(_is, sheet, key)) for name, text, key in lines
        ]

    def widgets(self, host: Any, canvas: Canvas, box: pygame.Rect, enabled: bool) -> list[Widget]:
        """The widgets, inside a box."""
        rows: list[Widget] = host.paged(canvas, box, host.lines(canvas, box, enabled))
        return rows

    def key(self, host: Any, event: pygame.event.Event, form: Form) -> bool:
        """A key of its own; True where it was used."""
        del host, event, form
        return False


class ManyLines(FormWidgets):
    """Lines are ticked."""

    hint = "More than one may be right: press each that is."
    wide = True
    whole = False
    may_be_empty = True

    def answered(self, now: GivenAnswer) -> bool:
        return bool(now.picked)

    def given(self, card: QuestionCard, now: GivenAnswer) -> Answer:
        del card
        return tuple(now.picked)

    def line(self, card: QuestionCard, now: GivenAnswer) -> str:
        del card
        return " ".join(EXACT + key for key in now.picked)

    def put_back(self, asked: Any, stored: str, now: GivenAnswer) -> None:
        del asked
        now.picked[:] = [] if stored == "none" else stored.split()

    def said(self, sheet: Any) -> str:
        names = _names(sheet)
        return "; ".join(str(names.get(key, key)) for key in sheet.now.picked) or "none of them"

    def options(self, host: Any) -> list[Option]:
        sheet = host.desk
        return [
            (f"choice-{i}", self.sign(sheet, i, k) + text, partial(sheet.pick, k), partial(picked, sheet, k))
            for i, (k, text) in enumerate(sheet.choices())
        ]

    def sign(self, sheet: Any, i: int, key: str) -> str:
        """What stands before a line: its key."""
        del sheet, key
        return f"{i + 1}  "


class OrderedLines(ManyLines):
    """Lines are pressed in their order and show the place they were given."""

    hint = "Press the lines in their order; press one again to take it out."

    def state(self, now: GivenAnswer) -> tuple[object, ...]:
        return tuple(now.picked)

    def sign(self, sheet: Any, i: int, key: str) -> str:
        order = sheet.now.picked
        return f"step {order.index(key) + 1}:  " if key in order else f"{i + 1}  "


def picked(sheet: Any, key: str) -> bool:
    """Whether a line is ticked."""
    return key in sheet.now.picked


def _is(sheet: Any, key: str) -> bool:
    return bool(sheet.now.text == key)


def _names(sheet: Any) -> dict[str, str]:
    return dict(sheet.choices()) | {key: name for _, key, name in sheet.card.parts}


WIDGETS: dict[str, FormWidgets] = {}
"""How each form is answered."""
_Class = TypeVar("_Class", bound=type[FormWidgets])


def widgets_for(*forms: str) -> Callable[[_Class], _Class]:
    """Register how some forms are answered."""

    def register(cls: _Class) -> _Class:
        WIDGETS.update(dict.fromkeys(forms, cls()))
        return cls

    return register


@cache
def _load() -> None:
    package = import_module("glasscan.window.questions.types")
    for module in iter_modules(package.__path__):
        import_module(f"{package.__name__}.{module.name}")


def widgets_of(card: Any) -> FormWidgets:
    """How a question, or a card, is answered; a type without a class of its own is a list of lines."""
    _load()
    if card.form not in WIDGETS:
        from glasscan.learning.question_type import type_of  # a card of it exists, so it is loaded

        kind = type_of(card)
        lines = OrderedLines() if kind.ordered else ManyLines()
        WIDGETS[card.form] = lines if kind.several_lines else FormWidgets()
    return WIDGETS[card.form]
