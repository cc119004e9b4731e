"""When a question comes again: FSRS (library `fsrs`), a model of memory with a stability and a difficulty.

The stability of an item is the wait, in days, after which it is recalled nine times in ten; the library says
how a review moves it. Source: J. Ye, "A Stochastic Shortest Path Algorithm for Optimizing Spaced Repetition
Scheduling", KDD 2022, and the parameters that the library carries. Days are whole: the hour of a review, and
the library's minutes between first repeats, have no part in it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fsrs import Card, Scheduler

RECALL = 0.9
"""Chance of recall at which an item comes up (the library's own value)."""
LONGEST_DAYS = 3650
"""Longest wait, days (PRACTICE: beyond a course)."""
AGAIN, HARD, GOOD, EASY = 1, 2, 3, 4
"""Grades: wrong; right with effort or unsure; right; right at once (the four of the library)."""


@dataclass(frozen=True)
class Progress:
    """Where an item stands after a review.

    Attributes:
        stability: wait after which it is recalled nine times in ten, days.
        difficulty: 1 (easy) to 10.
        wait_days: wait until it comes up, whole days.
        again_today: it was wrong; it comes again on the same day until it is right.
    """

    stability: float
    difficulty: float
    wait_days: int
    again_today: bool = False


def reviewed(old: Progress | None, grade: int, days: int = 0) -> Progress:
    """What a review does.

    Args:
        old: before it; None for a new item.
        grade: 1 to 4.
        days: since the review before, 1 or more where there was one.

    Raises:
        ValueError: the grade is not 1 to 4.
    """
    from fsrs import Card, Rating, State

    if grade not in range(AGAIN, EASY + 1):
        raise ValueError(f"grade {grade}: expected 1 to 4")
    today = _noon(max(1, days))
    card = _card(old) if old else Card(card_id=1, state=State.Learning, step=0)
    after, _ = _scheduler().review_card(card, Rating(grade), today)
    assert after.stability is not None
    assert after.difficulty is not None
    return Progress(after.stability, after.difficulty, (after.due - today).days, grade == AGAIN)


def repeated_today(old: Progress, grade: int) -> Progress:
    """After a repeat on the same day: only whether it comes once more changes."""
    return replace(old, again_today=grade == AGAIN)


def recall(stability: float, days: int) -> float:
    """Chance of recall after a number of days without a review, 0..1."""
    card = _card(Progress(stability, 5.0, 1))
    return float(_scheduler().get_card_retrievability(card, _noon(max(0, days))))


def grade_of(share: float, level: int | None = None) -> int:
    """Grade from a mark and the confidence stated with it (PRACTICE, no source).

    Args:
        share: of the full marks, 0..1.
        level: confidence 1..3, or None where it was not asked.
    """
    if share < 1.0:
        return AGAIN
    return {1: HARD, 2: GOOD, 3: EASY}.get(level or 2, GOOD)


@cache
def _scheduler() -> Scheduler:
    """The library's scheduler in whole days: no steps of minutes, no dice."""
    from fsrs import Scheduler

    return Scheduler(
        desired_retention=RECALL,
        learning_steps=(),
        relearning_steps=(),
        maximum_interval=LONGEST_DAYS,
        enable_fuzzing=False,
    )


def _card(progress: Progress) -> Card:
    """As the library keeps it, last reviewed on the day that `_noon` counts from."""
    from fsrs import Card, State

    return Card(1, State.Review, None, progress.stability, progress.difficulty, _noon(0), _noon(0))


def _noon(day: int) -> datetime:
    """Noon of a day counted from one that does not matter: the library asks only for differences."""
    first = date(2001, 1, 1).toordinal()
    return datetime.combine(date.fromordinal(first + day), time(12), UTC)
