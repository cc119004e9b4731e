"""The chart of the evidence page puts points where their numbers say."""

import re

import pytest

from tests.evidence.curves import HIGH, LEFT, RIGHT, WIDE, Curve, chart


def test_points_lie_by_their_logarithms() -> None:
    """Of 1, 10, 100 the middle lies in the middle; a curve twice as steep rises twice as far."""
    picture = chart([Curve("a", [(1, 1), (10, 10), (100, 100)])], "x", "y")
    spots = [tuple(map(float, s)) for s in re.findall(r'circle cx="([\d.]+)" cy="([\d.]+)"', picture)]
    (x0, y0), (x1, y1), (x2, y2) = spots
    assert x1 == pytest.approx((x0 + x2) / 2, abs=0.1)
    assert y1 == pytest.approx((y0 + y2) / 2, abs=0.1)
    assert LEFT < x0 < x2 < WIDE - RIGHT
    assert 0 < y2 < y0 < HIGH
