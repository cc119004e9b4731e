"""Belief among faults, what a test tells, and what it is worth; plain functions over arrays.

Shapes: a belief is (faults,) and sums to 1; the likelihood of a result is (faults,), P(result | fault);
a test with several results is (results, faults) and each column sums to 1.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def update(belief: ArrayLike, likelihood: ArrayLike) -> Floats:
    """Bayes' rule: P(f|e) proportional to P(f) P(e|f).

    Args:
        belief: (faults,) before.
        likelihood: (faults,) of what was seen, or (seen, faults) for several independent results.

    Raises:
        ValueError: what was seen cannot happen under any fault still believed.
    """
    prior = _belief(belief)
    joint = prior * np.prod(np.atleast_2d(np.asarray(likelihood, dtype=float)), axis=0)
    if not joint.sum() > 0.0:
        raise ValueError("belief: no fault left explains what was seen")
    return np.asarray(joint / joint.sum())


def entropy_bits(belief: ArrayLike) -> float:
    """Doubt left, bits: -sum p log2 p (Shannon 1948); n equal faults give log2 n."""
    p = _belief(belief)
    p = p[p > 0.0]
    return float(max(0.0, -np.sum(p * np.log2(p))))


def yes_no(positive: ArrayLike) -> Floats:
    """A test with two results from P(+ | fault): (2, faults), positive first."""
    plus = np.asarray(positive, dtype=float)
    return np.stack([plus, 1.0 - plus])


def result_chances(belief: ArrayLike, test: ArrayLike) -> Floats:
    """Chance of each result of a test, (results,)."""
    return np.asarray(_test(test) @ _belief(belief))


def information_bits(belief: ArrayLike, test: ArrayLike) -> float:
    """Doubt a test takes away on average, bits (mutual information of fault and result)."""
    left = sum(
        chance * entropy_bits(update(belief, row))
        for chance, row in zip(result_chances(belief, test), _test(test), strict=True)
        if chance > 0.0
    )
    return max(0.0, entropy_bits(belief) - float(left))


def bits_per_minute(belief: ArrayLike, test: ArrayLike, cost_min: float) -> float:
    """Information for its price: the test to buy next is the one with the most.

    Raises:
        ValueError: the cost is not above 0.
    """
    if not cost_min > 0.0:
        raise ValueError("a test costs more than 0 minutes")
    return information_bits(belief, test) / cost_min


def repair_order(belief: ArrayLike, cost: ArrayLike) -> list[int]:
    """Indices by falling P/C: the cheapest order to try independent repairs (Kadane & Simon 1977)."""
    ratio = np.asarray(belief, dtype=float) / np.asarray(cost, dtype=float)
    return [int(i) for i in np.argsort(-ratio, kind="stable")]


def repair_cost(belief: ArrayLike, cost: ArrayLike, order: Sequence[int]) -> float:
    """Mean cost of trying repairs in an order until the fault is gone; unit of `cost`.

    Args:
        belief: (faults,).
        cost: (faults,) of each repair.
        order: indices of all faults, each once.

    Raises:
        ValueError: the order does not name each fault once.
    """
    p, c = _belief(belief), np.asarray(cost, dtype=float)
    if sorted(order) != list(range(len(p))):
        raise ValueError("a repair order names each fault once")
    still = 1.0 - np.concatenate([[0.0], np.cumsum(p[list(order)])[:-1]])
    return float(np.sum(still * c[list(order)]))


def best_repair_cost(belief: ArrayLike, cost: ArrayLike) -> float:
    """Mean cost of the cheapest order of repairs."""
    return repair_cost(belief, cost, repair_order(belief, cost))


def cost_with_test(belief: ArrayLike, cost: ArrayLike, test: ArrayLike) -> float:
    """Mean cost of the cheapest repairs once the result of a test is known, without the test's own cost."""
    chances = result_chances(belief, test)
    rows = zip(chances, _test(test), strict=True)
    return float(sum(p * best_repair_cost(update(belief, row), cost) for p, row in rows if p > 0.0))


def value_of_information(belief: ArrayLike, cost: ArrayLike, test: ArrayLike) -> float:
    """What a test saves on average; a test that costs more is not worth buying."""
    return best_repair_cost(belief, cost) - cost_with_test(belief, cost, test)


def value_of_certainty(belief: ArrayLike, cost: ArrayLike) -> float:
    """What a perfect test would save: no real test is worth more."""
    return best_repair_cost(belief, cost) - float(_belief(belief) @ np.asarray(cost, dtype=float))


def _belief(belief: ArrayLike) -> Floats:
    p = np.asarray(belief, dtype=float)
    if p.ndim != 1 or bool(np.any(p < 0.0)) or abs(p.sum() - 1.0) > 1e-6:
        raise ValueError("a belief is a row of chances that sum to 1")
    return np.asarray(p / p.sum())


def _test(test: ArrayLike) -> Floats:
    table = np.atleast_2d(np.asarray(test, dtype=float))
    if bool(np.any(table < 0.0)) or bool(np.any(np.abs(table.sum(axis=0) - 1.0) > 1e-6)):
        raise ValueError("a test gives, for each fault, chances of its results that sum to 1")
    return table
