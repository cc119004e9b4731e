"""Reliability against published data and numpy.

The 10 by 10 table and its KR-20 are from a statistics text of East Carolina University (Wuensch, FOUND);
the other figures of it, the 6 by 5 table and the alpha table are COMPUTED by hand.
"""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.reports.classroom import items
from glasscan.reports.classroom import reliability as rel
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import pearsonr, pointbiserialr


def rows(text: str) -> np.ndarray:
    """A table of 0 and 1 from words."""
    return np.array([[float(c) for c in word] for word in text.split()])


TEN = rows(
    "1111110110 1011011101 1111011001 0010001000 0000010010 "
    "1110111111 1101110111 1111111101 0101111101 1101101110"
)
SIX = rows("11110 11100 11010 10101 10000 00001")
ALPHA = np.array([(3, 4, 2), (2, 2, 1), (4, 4, 3), (1, 2, 0), (3, 3, 2)], dtype=float)


def test_ten_by_ten() -> None:
    """p, sum pq 2.18, mean 6.6, variance 5.84, KR-20 .6963, KR-21 .6842, SEM 1.332, .8210, 1.744."""
    p = items.facility(TEN)
    assert p == pytest.approx([0.7, 0.7, 0.6, 0.7, 0.6, 0.8, 0.7, 0.7, 0.5, 0.6])
    assert (p * (1 - p)).sum() == pytest.approx(2.18)
    assert (TEN.sum(axis=1).mean(), rel.spread(TEN) ** 2) == pytest.approx((6.6, 5.84))
    assert rel.kr20(TEN) == pytest.approx(0.6963, abs=5e-5)
    assert rel.kr21(TEN) == pytest.approx(0.6842, abs=5e-5)
    assert rel.error_of_measurement(TEN, rel.kr20(TEN)) == pytest.approx(1.332, abs=5e-4)
    assert rel.lengthened(0.6963, 2) == pytest.approx(0.8210, abs=5e-5)
    assert rel.times_longer(0.6963, 0.80) == pytest.approx(1.744, abs=1e-3)


def test_the_trap_of_the_sample_variance() -> None:
    """6.4889 in place of 5.84 would give .7378: that is not our figure."""
    sample = TEN.sum(axis=1).var(ddof=1)
    assert sample == pytest.approx(6.4889, abs=5e-5)
    assert 10 / 9 * (1 - 2.18 / sample) == pytest.approx(0.7378, abs=5e-5)
    assert abs((rel.kr20(TEN) or 0.0) - 0.7378) > 0.04


@pytest.mark.parametrize(
    ("item", "raw", "corrected"),
    [(1, 0.7946, 0.7059), (3, 0.2027, 0.0), (7, 0.1625, -0.0274), (9, 0.0828, -0.1236)],
)
def test_items_of_ten(item: int, raw: float, corrected: float) -> None:
    """Point-biserials of four items: corrected, two of them are negative."""
    assert items.item_total(TEN, item - 1) == pytest.approx(raw, abs=5e-5)
    assert items.item_rest(TEN, item - 1) == pytest.approx(corrected, abs=5e-5)


def test_six_by_five() -> None:
    """Variance 1.25, sum pq 1.0833, KR-20 .1667; item 5 has -.3162, corrected -.6139: check the key."""
    p = items.facility(SIX)
    assert SIX.sum(axis=1).tolist() == [4, 3, 3, 3, 1, 1]
    assert (rel.spread(SIX) ** 2, (p * (1 - p)).sum()) == pytest.approx((1.25, 1.0833), abs=5e-5)
    assert rel.kr20(SIX) == pytest.approx(0.1667, abs=5e-5)
    assert items.item_total(SIX, 4) == pytest.approx(-0.3162, abs=5e-5)
    corrected = items.item_rest(SIX, 4)
    assert corrected == pytest.approx(-0.6139, abs=5e-5)
    assert items.label(corrected) == "check the key"


def test_alpha_worked() -> None:
    """Item variances 1.3, 1.0, 1.3, total 10.2: alpha .9706."""
    assert ALPHA.var(axis=0, ddof=1) == pytest.approx([1.3, 1.0, 1.3])
    assert ALPHA.sum(axis=1).var(ddof=1) == pytest.approx(10.2)
    assert rel.alpha(ALPHA) == pytest.approx(0.9706, abs=5e-5)


tables = st.tuples(st.integers(2, 12), st.integers(2, 8)).flatmap(
    lambda shape: arrays(float, shape, elements=st.sampled_from([0.0, 1.0]))
)


@given(tables)
def test_kr20_is_alpha_for_right_and_wrong(scores: np.ndarray) -> None:
    """KR-20 is alpha for 0/1 data (Wuensch, FOUND); alpha here by numpy's covariance matrix."""
    cov = np.cov(scores, rowvar=False)
    if cov.sum() < 1e-9:
        assert rel.kr20(scores) is None
    else:
        k = len(cov)
        assert rel.kr20(scores) == pytest.approx(k / (k - 1) * (1 - np.trace(cov) / cov.sum()))
        assert rel.alpha(scores) == pytest.approx(rel.kr20(scores))


@given(tables, st.integers(0, 7))
def test_point_biserial_is_that_of_scipy(scores: np.ndarray, item: int) -> None:
    """Raw against scipy.stats.pointbiserialr, corrected against pearsonr; None without variance."""
    i = item % scores.shape[1]
    column, totals = scores[:, i], scores.sum(axis=1)
    for got, other, reference in (
        (items.item_total(scores, i), totals, pointbiserialr),
        (items.item_rest(scores, i), totals - column, pearsonr),
    ):
        if np.ptp(column) == 0 or np.ptp(other) == 0:
            assert got is None
        else:
            assert got == pytest.approx(reference(column, other).statistic, abs=1e-12)


@pytest.mark.parametrize("same", [np.ones((5, 4)), np.zeros((5, 4)), np.eye(4), np.ones((1, 4))])
def test_no_variance_no_figure(same: np.ndarray) -> None:
    """All right, all wrong, equal totals or one person: no figure, not 0."""
    assert [rel.kr20(same), rel.kr21(same), rel.alpha(same)] == [None] * 3
    assert rel.error_of_measurement(same, rel.alpha(same)) is None
    assert items.item_total(same, 0) is None
    assert items.upper_lower(same, 0) is None


def test_one_item_has_no_reliability() -> None:
    """A paper of one question has no KR-20."""
    assert rel.kr20([[1.0], [0.0]]) is None


def test_length_helps_only_a_positive_reliability() -> None:
    """No length mends a reliability of 0 or less; twice as long and back again is where it began."""
    assert rel.times_longer(0.0, 0.8) is None
    assert rel.times_longer(-0.3, 0.8) is None
    assert rel.times_longer(0.5, rel.lengthened(0.5, 3.0)) == pytest.approx(3.0)


def test_refuses() -> None:
    """Part marks have no KR-20; an empty table has nothing."""
    with pytest.raises(ValueError, match="part marks"):
        rel.kr20([[0.5, 1.0], [1.0, 0.0]])
    with pytest.raises(ValueError, match="people by items"):
        rel.alpha(np.zeros((0, 3)))


def test_upper_lower() -> None:
    """Ten people: the best and worst three (27 %), worked by hand, in any order of the rows."""
    scores = np.array([[1, 1, 1]] * 3 + [[1, 1, 0]] * 4 + [[1, 0, 0]] * 3, dtype=float)
    assert [items.upper_lower(scores, i) for i in range(3)] == [0.0, 1.0, 1.0]
    tied = np.array([[1, 1], [1, 0], [0, 1], [0, 1], [0, 0]], dtype=float)
    both = [
        items.upper_lower(tied[order], 0) for order in ([0, 1, 2, 3, 4], [4, 3, 2, 1, 0], [2, 0, 4, 1, 3])
    ]
    assert both == [1.0] * 3


def test_upper_lower_shares_ties() -> None:
    """One of three tied people belongs to the group of one: a third of each counts."""
    scores = np.array([[1, 0], [0, 1], [0, 1], [0, 0]], dtype=float)
    assert items.upper_lower(scores, 0) == pytest.approx(1 / 3)


@pytest.mark.parametrize(
    ("r", "word"),
    [
        (0.41, "very good"),
        (0.40, "very good"),
        (0.35, "good"),
        (0.25, "marginal"),
        (0.1, "poor"),
        (0.0, "poor"),
        (-1e-16, "poor"),
        (-0.01, "check the key"),
        (None, ""),
    ],
)
def test_guide_words(r: float | None, word: str) -> None:
    """Bands .40, .30, .20, 0 (Ebel, secondary); a rounding error below 0 accuses no key."""
    assert items.label(r) == word


def test_choice_use() -> None:
    """Of 40 people one took c (2.5 %) and two took d (5 %): only c does not work; the key is never unused."""
    use = items.choice_use(["a"] * 37 + ["c"] + ["d"] * 2, ["a", "c", "d", "e"], key="a")
    assert [(one.choice, one.unused) for one in use] == [("a", False), ("c", True), ("d", False), ("e", True)]
    assert [one.share for one in use] == [0.925, 0.025, 0.05, 0.0]
    assert not any(one.unused for one in items.choice_use(["c"] * 40, ["a", "c"], key="a"))
    assert not any(one.unused for one in items.choice_use([], ["a", "c"], key="a"))
