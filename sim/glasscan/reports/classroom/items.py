"""How single questions did; scores are arrays (people, items) of shares 0..1."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

GROUP_SHARE = 0.27
"""Share of the class in the upper and the lower group (Kelley 1939)."""
UNUSED_BELOW = 0.05
"""A wrong choice taken by fewer does not work as one (common guide, found in textbooks)."""
GUIDES = ((0.40, "very good"), (0.30, "good"), (0.20, "marginal"), (0.0, "poor"))
"""Labels of discrimination (Ebel, from secondary sources); they differ by author, so the number is shown."""
CHECK_KEY = "check the key"
GRAIN = 1e-9
"""Rounding error that makes no correlation negative."""


@dataclass(frozen=True)
class Choice:
    """Use of one choice of a question.

    Attributes:
        choice: id.
        is_key: whether it is the right one.
        share: of the people who answered, 0..1.
        unused: a wrong choice that fewer than 5 % took.
    """

    choice: str
    is_key: bool
    share: float
    unused: bool


def facility(scores: Floats) -> Floats:
    """Mean share of each item, (items,)."""
    return np.asarray(scores.mean(axis=0))


def correlation(a: Floats, b: Floats) -> float | None:
    """Pearson's r; for 0/1 against totals it is the point-biserial. None without variance."""
    da, db = a - a.mean(), b - b.mean()
    size = math.sqrt(float(da @ da) * float(db @ db))
    return float(da @ db) / size if size > GRAIN else None


def item_total(scores: Floats, item: int) -> float | None:
    """Point-biserial of an item with the totals, the item itself included."""
    return correlation(scores[:, item], scores.sum(axis=1))


def item_rest(scores: Floats, item: int) -> float | None:
    """Corrected point-biserial: with the totals of the other items; a short paper flatters itself less."""
    return correlation(scores[:, item], scores.sum(axis=1) - scores[:, item])


def upper_lower(scores: Floats, item: int) -> float | None:
    """Mean share in the upper 27 % less that in the lower 27 %; None where all have the same total.

    People of the same total at the border of a group count in equal parts, so their order does not matter.
    """
    totals = scores.sum(axis=1)
    if float(np.ptp(totals)) < GRAIN:
        return None
    size = max(1, round(GROUP_SHARE * len(totals)))
    upper, lower = _weights(totals, size), _weights(-totals, size)
    return float((upper - lower) @ scores[:, item]) / size


def label(corrected: float | None) -> str:
    """Guide word for a corrected discrimination; a negative one asks to check the key."""
    if corrected is None:
        return ""
    words = (word for floor, word in GUIDES if corrected >= floor - GRAIN)
    return next(words, CHECK_KEY)


def choice_use(given: Collection[str], choices: Sequence[str], key: str) -> list[Choice]:
    """Use of each choice of a question.

    Args:
        given: choices taken, one for each person who answered.
        choices: ids of all choices.
        key: the right one.
    """
    taken = list(given)
    shares = {choice: taken.count(choice) / len(taken) if taken else 0.0 for choice in choices}
    return [
        Choice(choice, choice == key, share, bool(taken) and choice != key and share < UNUSED_BELOW)
        for choice, share in shares.items()
    ]


def _weights(totals: Floats, size: int) -> Floats:
    """1 for the best `size` people, 0 for the others, equal parts for ties at the border; sums to `size`."""
    border = np.sort(totals)[-size]
    above, at = totals > border + GRAIN, np.abs(totals - border) <= GRAIN
    return np.asarray(above + at * (size - above.sum()) / at.sum())
