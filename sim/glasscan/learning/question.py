"""A prompt as it is put to a learner: all that may be shown before it is marked, and nothing of its key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from glasscan.learning.answer_text import Point
from glasscan.learning.shuffling import mixed

NEVER = "never"
"""What a learner answers where the event asked for does not come."""

Answer = str | Sequence[bool] | Sequence[str] | Sequence[Point]
"""Id of a choice or part, a typed number (or `never`), an entry in words; open/shut for each window of time;
ids of the ticked options, or of the steps in order; points (time s, value) of a curve."""


@dataclass(frozen=True)
class Axes:
    """Empty axes for a curve.

    Attributes:
        from_s, to_s: ends of the time axis, s.
        bottom, top: ends of the value axis, in `unit`.
        unit: sign of the unit, or "".
        trace: the column asked for, to lay the run over the drawing.
    """

    from_s: float
    to_s: float
    bottom: float
    top: float
    unit: str
    trace: str


@dataclass(frozen=True)
class TestShown:
    """A test of a case as it is offered; its result is told once it is bought.

    Attributes:
        word: id.
        title: for people.
        minutes: what it costs.
        risk: what can hurt, or "-".
        result: its readings in words.
    """

    __test__ = False

    word: str
    title: str
    minutes: float
    risk: str
    result: str


@dataclass(frozen=True)
class PosedQuestion:
    """A prompt as it is put to the learner.

    Attributes:
        id: of the prompt.
        when: "before" the run is shown, or "after" it.
        text: the question, with the scenario's own values in it.
        form: how it is answered.
        choices: (id, text) of what is listed (choices, statements, steps, suspects), in order of the sitting.
        last: ids of choices that stay behind the others, such as "none of these".
        unit: sign of the unit in which a number is asked, or "".
        units: signs of the units the learner may choose instead.
        edges_s: borders of the windows of a valve strip, s.
        marks: full marks.
        parts: (letter, key, trade name) of every part, for pointing from the keyboard.
        axes: of a curve, or None.
        most_letters: longest entry, 0 for other forms.
        tests: of a case; its suspects are the choices.
    """

    id: str
    when: Literal["before", "after"]
    text: str
    form: str
    choices: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    units: tuple[str, ...] = ()
    edges_s: tuple[float, ...] = ()
    marks: float = 0.0
    parts: tuple[tuple[str, str, str], ...] = ()
    axes: Axes | None = None
    most_letters: int = 0
    tests: tuple[TestShown, ...] = ()
    last: tuple[str, ...] = ()


def in_order_of(salt: str, word: str, shown: PosedQuestion) -> PosedQuestion:
    """A question with its listed lines in the order of a sitting, whatever order they had before.

    Args:
        salt: secret of the sitting.
        word: SCENARIO/PROMPT.
        shown: the question.
    """
    return replace(
        shown,
        choices=mixed(shown.choices, salt, word, lambda line: line[0], shown.last),
        parts=mixed(shown.parts, salt, word, lambda part: part[1]),
        tests=mixed(shown.tests, salt, word, lambda test: test.word),
    )
