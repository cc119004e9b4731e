"""Confidence marks: the published scheme and what follows from it.

Marks 1/2/3 and 0/-2/-6 are Gardner-Medwin's (FOUND); cross-overs and means are COMPUTED by hand;
the squared score is Brier 1950, compared with numpy's mean of squares.
"""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.learning.scoring.confidence import (
    Said,
    best_level,
    brier,
    calibration,
    confidence_mark,
    cross_over,
    expected_mark,
)
from hypothesis import given
from hypothesis import strategies as st


def test_marks() -> None:
    """Right 1/2/3, wrong 0/-2/-6."""
    assert [confidence_mark(level, True) for level in (1, 2, 3)] == [1, 2, 3]
    assert [confidence_mark(level, False) for level in (1, 2, 3)] == [0, -2, -6]
    with pytest.raises(ValueError, match="1, 2 or 3"):
        confidence_mark(4, True)


def test_cross_overs() -> None:
    """C1 = C2 = 0.667 at 2/3; C2 = C3 = 1.2 at 0.8."""
    assert (cross_over(1, 2), cross_over(2, 3)) == (pytest.approx(2 / 3), pytest.approx(0.8))
    assert expected_mark(1, 2 / 3) == pytest.approx(0.667, abs=5e-4)
    assert expected_mark(2, 2 / 3) == pytest.approx(0.667, abs=5e-4)
    assert [expected_mark(level, 0.8) for level in (2, 3)] == pytest.approx([1.2, 1.2])


@pytest.mark.parametrize(("p", "means"), [(0.7, (0.7, 0.8, 0.3)), (0.9, (0.9, 1.6, 2.1))])
def test_means(p: float, means: tuple[float, float, float]) -> None:
    """Means at p = 0.7 and p = 0.9: p, 4p - 2, 9p - 6."""
    assert [expected_mark(level, p) for level in (1, 2, 3)] == pytest.approx(means)


@given(st.floats(0, 1))
def test_best_level_follows_the_cross_overs(p: float) -> None:
    """C1 below 2/3, C3 above 0.8, C2 between: honesty pays."""
    if min(abs(p - 2 / 3), abs(p - 0.8)) > 1e-9:
        assert best_level(p) == (1 if p < 2 / 3 else 2 if p < 0.8 else 3)


@pytest.mark.parametrize(
    ("p", "right", "score"), [(0.9, True, 0.01), (0.9, False, 0.81), (0.6, True, 0.16), (0.6, False, 0.36)]
)
def test_brier_worked(p: float, right: bool, score: float) -> None:
    """0.9 right .01, wrong .81; 0.6 right .16, wrong .36."""
    assert brier(p, right) == pytest.approx(score)


@given(st.floats(0, 1), st.floats(0, 1))
def test_brier_is_proper(true: float, said: float) -> None:
    """Nobody scores better on average than by saying the chance they hold."""

    def mean(stated: float) -> float:
        return float(np.average([brier(stated, True), brier(stated, False)], weights=[true, 1 - true]))

    assert mean(true) <= mean(said) + 1e-12


def test_calibration_table() -> None:
    """Right share in each level against the odds that the level claims; '–' for a level never used."""
    said = [Said(1, True), Said(1, False), *[Said(3, True)] * 3, Said(3, False)]
    low, middle, high = calibration(said)
    assert (low.answers, low.right, low.share, low.verdict) == (2, 1, 0.5, "fits")
    assert (middle.answers, middle.share, middle.verdict) == (0, None, "–")
    assert (high.share, high.at_least, high.verdict) == (0.75, pytest.approx(0.8), "too bold")
    assert calibration([Said(1, True)])[0].verdict == "too shy"


def test_levels_are_told_in_odds() -> None:
    """No level is called 'sure' or the like; each is stated in odds."""
    assert all(" to 1" in row.odds for row in calibration([]))
