"""A question at the screen and its answer, apart from their picture.

A question comes ready to show from the lesson (`QuestionCard`); its mark is asked for by calling `Card.mark`,
which reads the key from the run. Nothing here knows an answer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from glasscan.window.questions.curve_pad import Axes, Point

Answer = str | Sequence[bool] | Sequence[str] | Sequence[Point]
NEVER = "never"  # the answer where what is asked for does not come
THINK, TEST, VERDICT = "think:", "test:", "verdict:"  # heads of the words of an answer to a case
CANNOT_TELL = "cannot-tell"


class Result(Protocol):
    """What an answer earned."""

    @property
    def share(self) -> float:
        """Part of the full marks, 0..1."""

    @property
    def marks(self) -> float:
        """What counts."""

    @property
    def out_of(self) -> float:
        """Full marks; 0 where the answer is kept for discussion only."""

    @property
    def key(self) -> str:
        """The right answer, as text."""

    @property
    def reason(self) -> str:
        """Why."""


class Offered(Protocol):
    """A test of a case; its result is shown once it is bought."""

    @property
    def word(self) -> str:
        """Id."""

    @property
    def title(self) -> str:
        """For people."""

    @property
    def minutes(self) -> float:
        """What it costs."""

    @property
    def risk(self) -> str:
        """What can hurt."""

    @property
    def result(self) -> str:
        """Its readings in words."""


@dataclass(frozen=True)
class QuestionCard:
    """One question.

    Attributes:
        id: of the prompt.
        when: "before" the run, or "after" it.
        text: the question.
        form: word of its type; see `glasscan.learning.question_type` and `form_widgets`.
        choices: (id, text) of each choice.
        unit: unit in which a number is asked.
        units: units in which it may be given instead.
        edges_s: borders of a valve strip's windows, s.
        late: gives the choices once the run is known, where they come from it.
        parts: (letter, key, name) of the parts to point at.
        axes: of a curve.
        most_letters: longest entry.
        tests: of a case; its suspects are the choices.
        ran: of a curve, the run's own one, to lay over it once the mark is there.
        mark: marks an answer against the run; ValueError with a plain sentence where it cannot be read.
    """

    id: str
    when: str
    text: str
    form: str
    mark: Callable[[Answer], Result]
    choices: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    units: tuple[str, ...] = ()
    edges_s: tuple[float, ...] = ()
    late: Callable[[], tuple[tuple[str, str], ...]] | None = None
    parts: tuple[tuple[str, str, str], ...] = ()
    axes: Axes | None = None
    most_letters: int = 0
    ran: Callable[[], Sequence[Point]] | None = None
    tests: Sequence[Offered] = ()


@dataclass
class GivenAnswer:
    """What the learner has done with one card."""

    text: str = ""
    unit: str = ""
    strip: list[bool] = field(default_factory=list)
    picked: list[str] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)
    locked: bool = False
    result: Result | None = None
    trouble: str = ""
    notice: str = ""
