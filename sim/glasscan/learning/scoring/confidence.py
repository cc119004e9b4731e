"""Confidence with an answer: for practice only, never part of a score that passes or fails."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

RIGHT: Mapping[int, float] = {1: 1.0, 2: 2.0, 3: 3.0}
"""Marks for a right answer by level (Gardner-Medwin, certainty-based marking)."""
WRONG: Mapping[int, float] = {1: 0.0, 2: -2.0, 3: -6.0}
"""Marks for a wrong answer by level (same source)."""
ODDS: Mapping[int, str] = {1: "below 2 to 1", 2: "2 to 1 up to 4 to 1", 3: "4 to 1 or better"}
"""Levels in words of odds, not of feelings: the borders are the cross-overs 2/3 and 4/5."""


@dataclass(frozen=True)
class Said:
    """One answer: the level of confidence 1..3 and whether it was right."""

    level: int
    right: bool


@dataclass(frozen=True)
class Calibrated:
    """One row of the calibration table.

    Attributes:
        level: 1..3.
        odds: the level in words.
        answers: number of answers at this level.
        right: of these, right.
        share: right/answers, or None where there is none.
        at_least: chance of being right from which the level pays, 0..1.
        below: chance from which the next level pays more, 0..1.
        verdict: "fits", "too bold", "too shy", or "–" without answers.
    """

    level: int
    odds: str
    answers: int
    right: int
    share: float | None
    at_least: float
    below: float
    verdict: str


def confidence_mark(level: int, right: bool) -> float:
    """Marks for one answer at a level.

    Raises:
        ValueError: the level is not 1, 2 or 3.
    """
    if level not in RIGHT:
        raise ValueError(f"confidence level {level}: expected 1, 2 or 3")
    return RIGHT[level] if right else WRONG[level]


def expected_mark(level: int, p: float) -> float:
    """Mean marks at a level for someone who is right with chance p."""
    return p * RIGHT[level] + (1.0 - p) * WRONG[level]


def cross_over(low: int, high: int) -> float:
    """Chance of being right at which two levels pay the same."""
    cost = WRONG[low] - WRONG[high]
    return cost / (cost + RIGHT[high] - RIGHT[low])


def best_level(p: float) -> int:
    """The level that pays most for a chance p; the lower one where two pay the same."""
    return max(RIGHT, key=lambda level: expected_mark(level, p))


def brier(p: float, right: bool) -> float:
    """Squared distance of a stated chance from what came: 0 is best (Brier 1950)."""
    return (p - float(right)) ** 2


def calibration(said: Iterable[Said]) -> tuple[Calibrated, ...]:
    """How often the learner was right within each level of confidence."""
    answers = tuple(said)
    return tuple(_row(level, [one.right for one in answers if one.level == level]) for level in RIGHT)


def _row(level: int, rights: list[bool]) -> Calibrated:
    low = cross_over(level - 1, level) if level - 1 in RIGHT else 0.0
    high = cross_over(level, level + 1) if level + 1 in RIGHT else 1.0
    share = sum(rights) / len(rights) if rights else None
    return Calibrated(level, ODDS[level], len(rights), sum(rights), share, low, high, _word(share, low, high))


def _word(share: float | None, low: float, high: float) -> str:
    if share is None:
        return "–"
    return "too bold" if share < low else "too shy" if share > high else "fits"
