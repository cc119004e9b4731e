"""How far a score can be trusted.

Scores are arrays (people, items) of shares 0..1. None means that a value does not exist: one item, or no
variance because all scored the same.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

GRAIN = 1e-12
"""Variance below which all scores are the same, squares of items."""


def kr20(scores: ArrayLike) -> float | None:
    """Kuder-Richardson formula 20: k/(k-1) (1 - sum pq / variance of totals), population variance.

    Args:
        scores: (people, items), only 0 and 1.

    Raises:
        ValueError: a score is neither 0 nor 1; use `alpha` for part marks.
    """
    table = _table(scores)
    if not bool(np.isin(table, (0.0, 1.0)).all()):
        raise ValueError("KR-20 is for right and wrong only; use alpha for part marks")
    p = table.mean(axis=0)
    return _ratio(table, float(np.sum(p * (1.0 - p))))


def kr21(scores: ArrayLike) -> float | None:
    """Kuder-Richardson formula 21, as if all items were equally hard: k/(k-1) (1 - M(k-M)/(k variance))."""
    table = _table(scores)
    k, mean = table.shape[1], float(table.sum(axis=1).mean())
    return _ratio(table, mean * (k - mean) / k)


def alpha(scores: ArrayLike) -> float | None:
    """Cronbach's alpha: k/(k-1) (1 - sum of item variances / variance of totals); any marks."""
    table = _table(scores)
    return _ratio(table, float(table.var(axis=0).sum()))


def spread(scores: ArrayLike) -> float:
    """Standard deviation of the totals, items; of the population."""
    return float(_table(scores).sum(axis=1).std())


def error_of_measurement(scores: ArrayLike, reliability: float | None) -> float | None:
    """Standard error of a total, items: sd sqrt(1 - reliability)."""
    return None if reliability is None else spread(scores) * math.sqrt(max(0.0, 1.0 - reliability))


def lengthened(reliability: float, times: float) -> float:
    """Spearman-Brown: reliability of a paper `times` as long."""
    return times * reliability / (1.0 + (times - 1.0) * reliability)


def times_longer(reliability: float, wanted: float) -> float | None:
    """How many times as long a paper must be for a wanted reliability; None where no length helps."""
    if not 0.0 < reliability < 1.0:
        return None
    return wanted * (1.0 - reliability) / (reliability * (1.0 - wanted))


def _table(scores: ArrayLike) -> NDArray[np.float64]:
    table = np.asarray(scores, dtype=float)
    if table.ndim != 2 or 0 in table.shape:
        raise ValueError("scores: expected a table of people by items")
    return table


def _ratio(table: NDArray[np.float64], within: float) -> float | None:
    k, variance = table.shape[1], float(table.sum(axis=1).var())
    return None if k < 2 or variance < GRAIN else k / (k - 1) * (1.0 - within / variance)
