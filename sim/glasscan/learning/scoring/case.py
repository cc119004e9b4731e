"""Score of a diagnosis case: the right fault; behind it proof, price, the thinking before, the stop."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

WEIGHTS: Mapping[str, float] = {"correct": 0.5, "confirmed": 0.2, "cost": 0.12, "named": 0.1, "stop": 0.08}
"""Parts of the score (common practice, no source); all but the first count only behind a right verdict."""
NEEDLESS_SWAP = 0.1
"""Taken off for each part changed without a reason."""


@dataclass(frozen=True)
class Case:
    """What a trainee did in a case.

    Attributes:
        correct: the fault named at the end is the one planted (0..1, half for the right group).
        cost_min: minutes spent on tests.
        best_cost_min: minutes of the cheapest way found by the engine.
        named: share of the faults still open that were named before the first test, 0..1.
        confirmed: own tests spoke for the fault before it was condemned, 0..1.
        stopped_right: stopped when the fault was decided, neither before nor long after.
        unsafe: unsafe acts, as text; any of them makes the score 0.
        needless_swaps: parts changed without a reason.
        hints: share of the score that help has cost.
    """

    correct: float
    cost_min: float
    best_cost_min: float
    named: float
    confirmed: float
    stopped_right: bool
    unsafe: tuple[str, ...] = ()
    needless_swaps: int = 0
    hints: float = 0.0


@dataclass(frozen=True)
class CaseScore:
    """Score 0..1, its parts by name, and the gates not met (the score is then 0)."""

    score: float
    parts: Mapping[str, float]
    gates: tuple[str, ...]


def case_score(case: Case) -> CaseScore:
    """Score a case.

    Raises:
        ValueError: a share is outside 0..1, or a cost or count is negative.
    """
    shares = (case.correct, case.named, case.confirmed)
    if any(not 0.0 <= share <= 1.0 for share in shares) or min(case.cost_min, case.best_cost_min) < 0:
        raise ValueError("case: shares lie between 0 and 1, costs are not negative")
    if case.needless_swaps < 0 or not case.hints >= 0.0:
        raise ValueError("case: a count of swaps and the price of hints are not negative")
    parts = {
        "correct": WEIGHTS["correct"] * case.correct,
        **{name: WEIGHTS[name] * case.correct * share for name, share in _behind(case).items()},
        "swaps": -NEEDLESS_SWAP * case.needless_swaps,
        "hints": -case.hints,
    }
    score = 0.0 if case.unsafe else max(0.0, sum(parts.values()))
    return CaseScore(score, parts, case.unsafe)


def _behind(case: Case) -> dict[str, float]:
    """What counts only behind a right verdict: to spend nothing on a wrong one is no thrift."""
    return {
        "confirmed": case.confirmed,
        "cost": thrift(case.best_cost_min, case.cost_min),
        "named": case.named,
        "stop": float(case.stopped_right),
    }


def thrift(best_min: float, spent_min: float) -> float:
    """Best cost over the cost spent, at most 1; nothing spent proves nothing and is 0."""
    return 0.0 if not spent_min and best_min else min(1.0, best_min / spent_min) if spent_min else 1.0


def named_share(named: Collection[str], open_faults: Collection[str]) -> float:
    """Share of the faults that fit the first signs which the trainee wrote down before testing."""
    fits = set(open_faults)
    return len(fits & set(named)) / len(fits) if fits else 1.0
