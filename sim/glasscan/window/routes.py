"""Ways in from the first screen besides the lessons: each opens pages of its own.

A way is named here and lives elsewhere: its module is imported only when somebody takes it.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

from glasscan.window.home.resume_state import Mode
from glasscan.window.navigator import Navigator

if TYPE_CHECKING:
    pass

BENCH = "glasscan.window.bench"


@dataclass(frozen=True)
class Route:
    """One way in.

    Attributes:
        word: short word.
        mode: under which of the three things to do it stands.
        title: on its button.
        under: one line on what it is for.
        brief: a shorter title, for where the title has no room.
        opens: "module:function"; the function takes a `Navigator`, returns False if the window closed.
    """

    word: str
    mode: Mode
    title: str
    under: str
    opens: str
    brief: str = ""

    def take(self, front: Navigator) -> bool:
        """Open it; False where the window was closed."""
        module, name = self.opens.split(":")
        return bool(getattr(import_module(module), name)(front))


ROUTES: tuple[Route, ...] = (
    Route(
        "beside",
        "demonstrate",
        "A good element beside an overdue one",
        "One lens, one magnet, both at once.",
        f"{BENCH}.beside_flow:beside",
        "Good beside overdue",
    ),
    Route(
        "job", "practise", "A job at the bench", "Step by step, then the next run.", f"{BENCH}.job_flow:jobs"
    ),
    Route(
        "bench",
        "practise",
        "Cut a filter open",
        "Debris under the lens.",
        f"{BENCH}.inspection_flow:cut_open",
    ),
    Route(
        "due",
        "exam",
        "Due today",
        "Spaced review: what is due now.",
        "glasscan.window.study.study_flow:due_today",
    ),
    Route(
        "paper",
        "exam",
        "Sit a paper",
        "Against the clock, without hints.",
        "glasscan.window.exam.sitting_flow:sit_a_paper",
    ),
    Route(
        "make",
        "demonstrate",
        "Make a paper",
        "For a class, with a key of its own.",
        "glasscan.window.exam.paper_flow:make_for_class",
    ),
    Route(
        "class",
        "demonstrate",
        "Class results",
        "Figures from results files.",
        "glasscan.window.exam.class_flow:class_results",
    ),
    Route(
        "case",
        "practise",
        "Find the hidden fault",
        "Tests cost minutes.",
        "glasscan.window.cases.case_flow:take",
    ),
)


def of_mode(mode: Mode) -> list[Route]:
    """Ways that stand under one of the three things to do."""
    return [way for way in ROUTES if way.mode == mode]


def route(word: str) -> Route:
    """A way by its word.

    Raises:
        KeyError: there is none.
    """
    return {w.word: w for w in ROUTES}[word]
