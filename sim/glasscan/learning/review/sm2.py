"""The SM-2 schedule (Wozniak 1990): the wait grows by a factor that follows how easy the item is."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

FIRST_DAYS, SECOND_DAYS = 1, 6
"""Waits after the first and second good review, days (Wozniak 1990)."""
START_FACTOR, LEAST_FACTOR = 2.5, 1.3
"""Factor of a new item, and its floor (same source)."""
LONGEST_DAYS = 3650
"""Longest wait, days (PRACTICE: beyond a course; twenty good days would leave the calendar)."""
PASS_GRADE, SETTLED_GRADE = 3, 4
"""Below 3 the item starts again; below 4 it comes again on the same day until it is 4 (same source)."""


@dataclass(frozen=True)
class Progress:
    """Where an item stands.

    Attributes:
        factor: easiness, 1.3 or more.
        run: reviews since the item was new or failed, that one included.
        wait_days: wait after the last review, days; 0 for a new item.
        again_today: it comes again on the same day, without a change of the schedule.
    """

    factor: float = START_FACTOR
    run: int = 0
    wait_days: int = 0
    again_today: bool = False


def reviewed(old: Progress, grade: int) -> Progress:
    """The schedule after a review.

    The source leaves open whether the wait grows by the factor before or after this review: here it is the
    new factor.

    Args:
        old: before the review.
        grade: 0..5; 5 = right at once, 3 = right with effort, below 3 = wrong.

    Raises:
        ValueError: the grade is not 0..5.
    """
    if grade not in range(6):
        raise ValueError(f"grade {grade}: expected 0 to 5")
    again = grade < SETTLED_GRADE
    if grade < PASS_GRADE:
        return Progress(old.factor, 1, FIRST_DAYS, again)
    factor = new_factor(old.factor, grade)
    return Progress(factor, old.run + 1, _wait(old, factor), again)


def repeated_today(old: Progress, grade: int) -> Progress:
    """After a repeat on the same day: only whether it comes once more changes."""
    return replace(old, again_today=grade < SETTLED_GRADE)


def new_factor(factor: float, grade: int) -> float:
    """EF + 0.1 - (5 - q)(0.08 + 0.02 (5 - q)), not below 1.3; kept to hundredths, as all its steps are."""
    miss = 5 - grade
    return max(LEAST_FACTOR, round(factor + 0.1 - miss * (0.08 + 0.02 * miss), 2))


def grade_of(share: float, level: int | None = None) -> int:
    """Grade from a mark and the confidence stated with it (PRACTICE, no source).

    Args:
        share: of the full marks, 0..1.
        level: confidence 1..3, or None where it was not asked.
    """
    if share >= 1.0:
        return {1: 3, 2: 4, 3: 5}.get(level or 2, 4)
    return 2 if share >= 0.5 else 1 if level != 3 else 0


def _wait(old: Progress, factor: float) -> int:
    """I1 = 1, I2 = 6, then the wait before times the factor, rounded up (a float's grain is no day)."""
    if old.run == 0:
        return FIRST_DAYS
    return SECOND_DAYS if old.run == 1 else min(LONGEST_DAYS, math.ceil(old.wait_days * factor - 1e-9))
