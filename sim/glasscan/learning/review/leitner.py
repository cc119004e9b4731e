"""Five boxes (Leitner 1972): right moves an item to the next box, wrong to the first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

WAITS_DAYS = (1, 2, 4, 8, 16)
"""Wait in each box, days. Leitner's boxes were of growing size; waits in days are later practice."""


@dataclass(frozen=True)
class Boxed:
    """An item in box 1..5, and the day it is due."""

    box: int
    due: date


def placed(day: date) -> Boxed:
    """A new item, put in the first box on a day."""
    return Boxed(1, day + timedelta(days=WAITS_DAYS[0]))


def reviewed(old: Boxed, right: bool, day: date) -> Boxed:
    """The item after a review; the box it is moved to sets the wait."""
    box = min(old.box + 1, len(WAITS_DAYS)) if right else 1
    return Boxed(box, day + timedelta(days=WAITS_DAYS[box - 1]))
