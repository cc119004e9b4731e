"""Diagnosis arithmetic: a worked case of five faults (COMPUTED by hand) and scipy as outside reference.

That P/C is the best order for independent repairs is FOUND (Kadane & Simon 1977; Heckerman, Breese &
Rommelse 1995) and is checked against every order.
"""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from glasscan.learning.scoring import belief as b
from glasscan.learning.scoring.case import WEIGHTS, Case, case_score, named_share
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy

PRIOR = [0.30, 0.25, 0.20, 0.15, 0.10]
"""Regulator, gauge, filter inside, pump, oil; low pressure after a filter change (invented)."""
REGULATOR, GAUGE, FILTER, PUMP, OIL = range(5)
SECOND_GAUGE = [0.95, 0.05, 0.95, 0.95, 0.95]
DP_HIGH = [0.02, 0.05, 0.90, 0.02, 0.02]
OIL_THIN = [0.03, 0.03, 0.03, 0.03, 0.95]
STRIP = [0.90, 0.02, 0.02, 0.02, 0.02]
SWAP = [0.03, 0.05, 0.95, 0.02, 0.02]


def test_doubt_at_the_start() -> None:
    """The five priors hold 2.228 bit of doubt."""
    assert b.entropy_bits(PRIOR) == pytest.approx(2.228, abs=5e-4)


@pytest.mark.parametrize(
    ("positive", "cost_min", "chance", "bits", "per_min", "best", "posterior"),
    [
        (SECOND_GAUGE, 5, 0.725, 0.562, 0.112, REGULATOR, 0.393),
        (DP_HIGH, 8, 0.2035, 0.486, 0.061, FILTER, 0.885),
        (OIL_THIN, 10, 0.122, 0.332, 0.033, OIL, 0.779),
        (STRIP, 20, 0.284, 0.621, 0.031, REGULATOR, 0.951),
        (SWAP, 25, 0.2165, 0.531, 0.021, FILTER, 0.878),
    ],
)
def test_worked_tests(
    positive: list[float],
    cost_min: float,
    chance: float,
    bits: float,
    per_min: float,
    best: int,
    posterior: float,
) -> None:
    """Chance of +, information, information per minute and the best fault after +, of five tests."""
    test = b.yes_no(positive)
    assert b.result_chances(PRIOR, test)[0] == pytest.approx(chance, abs=5e-5)
    assert b.information_bits(PRIOR, test) == pytest.approx(bits, abs=6e-4)
    assert b.bits_per_minute(PRIOR, test, cost_min) == pytest.approx(per_min, abs=6e-4)
    after = b.update(PRIOR, positive)
    assert (int(np.argmax(after)), after[best]) == (best, pytest.approx(posterior, abs=6e-4))


def test_two_results_in_a_row() -> None:
    """Second gauge low, then differential pressure high: the filter stands at .939, in either order."""
    both = b.update(PRIOR, [SECOND_GAUGE, DP_HIGH])
    assert both[FILTER] == pytest.approx(0.939, abs=5e-4)
    assert b.update(b.update(PRIOR, DP_HIGH), SECOND_GAUGE) == pytest.approx(both)


chances = st.floats(0.01, 0.99)
five = st.lists(chances, min_size=5, max_size=5)


@given(five, five)
def test_information_is_that_of_scipy(weights: list[float], positive: list[float]) -> None:
    """Information equals H(result) - H(result | fault), with scipy.stats.entropy."""
    p = np.array(weights) / sum(weights)
    test = np.array([positive, [1 - x for x in positive]])
    reference = entropy(test @ p, base=2) - float(entropy(test, base=2, axis=0) @ p)
    assert b.information_bits(p, test) == pytest.approx(reference, abs=1e-9)


def test_equal_faults() -> None:
    """35 equal faults need 5.13 bits or more; certainty leaves none."""
    assert b.entropy_bits(np.full(35, 1 / 35)) == pytest.approx(5.13, abs=5e-3)
    assert b.entropy_bits([1.0, 0.0]) == 0.0


def test_repair_order_worked() -> None:
    """P .5/.3/.2, C 60/20/10: order 3, 2, 1 costs 56, order 1, 2, 3 costs 72."""
    p, c = [0.5, 0.3, 0.2], [60, 20, 10]
    assert np.divide(p, c) == pytest.approx([0.0083, 0.015, 0.02], abs=5e-5)
    assert b.repair_order(p, c) == [2, 1, 0]
    assert b.repair_cost(p, c, [2, 1, 0]) == pytest.approx(56)
    assert b.repair_cost(p, c, [0, 1, 2]) == pytest.approx(72)
    assert max(b.repair_cost(p, c, order) for order in permutations(range(3))) == pytest.approx(72)


@given(st.lists(st.tuples(chances, st.floats(1, 100)), min_size=1, max_size=5))
def test_repair_order_is_the_best_of_all(rows: list[tuple[float, float]]) -> None:
    """No other order of repairs is cheaper on average (brute force)."""
    p = np.array([row[0] for row in rows])
    p, c = p / p.sum(), [row[1] for row in rows]
    best = min(b.repair_cost(p, c, order) for order in permutations(range(len(p))))
    assert b.best_repair_cost(p, c) == pytest.approx(best)


def test_value_of_information_worked() -> None:
    """Filter .4, regulator .6: 112 and 136 to act; a 90 %/10 % test 95.2, worth 16.8; certainty 24."""
    p, c = [0.4, 0.6], [40, 120]
    assert b.repair_cost(p, c, [0, 1]) == pytest.approx(112)
    assert b.repair_cost(p, c, [1, 0]) == pytest.approx(136)
    test = b.yes_no([0.9, 0.1])
    assert b.cost_with_test(p, c, test) == pytest.approx(95.2)
    assert b.value_of_information(p, c, test) == pytest.approx(16.8)
    assert b.value_of_certainty(p, c) == pytest.approx(24)


@given(five, five)
def test_no_test_is_worth_more_than_certainty(weights: list[float], positive: list[float]) -> None:
    """0 <= value of a test <= value of certainty."""
    p, c = np.array(weights) / sum(weights), [5, 10, 20, 40, 80]
    value = b.value_of_information(p, c, b.yes_no(positive))
    assert -1e-9 <= value <= b.value_of_certainty(p, c) + 1e-9


def test_refuses() -> None:
    """What is no belief, no test, no order or cannot have happened is refused."""
    with pytest.raises(ValueError, match="sum to 1"):
        b.entropy_bits([0.5, 0.6])
    with pytest.raises(ValueError, match="for each fault"):
        b.information_bits([0.5, 0.5], [[0.5, 0.5], [0.4, 0.5]])
    with pytest.raises(ValueError, match="each fault once"):
        b.repair_cost([0.5, 0.5], [1, 1], [0, 0])
    with pytest.raises(ValueError, match="no fault left"):
        b.update([1.0, 0.0], [0.0, 1.0])
    with pytest.raises(ValueError, match="more than 0"):
        b.bits_per_minute([1.0], [[1.0]], 0.0)


BEST = Case(correct=1.0, cost_min=13.0, best_cost_min=13.0, named=1.0, confirmed=1.0, stopped_right=True)


@pytest.mark.parametrize(
    ("case", "score"),
    [
        (BEST, 1.0),
        (Case(1.0, 26.0, 13.0, 1.0, 1.0, True), 1.0 - 0.5 * WEIGHTS["cost"]),
        (Case(0.0, 13.0, 13.0, 1.0, 1.0, True), 0.0),
        (Case(1.0, 13.0, 13.0, 0.5, 1.0, False), 1.0 - 0.5 * WEIGHTS["named"] - WEIGHTS["stop"]),
        (Case(1.0, 5.0, 13.0, 1.0, 1.0, True), 1.0),
        (Case(1.0, 13.0, 13.0, 1.0, 0.0, True), 1.0 - WEIGHTS["confirmed"]),
        (Case(1.0, 13.0, 13.0, 1.0, 1.0, True, needless_swaps=3), 0.7),
        (Case(0.0, 99.0, 0.0, 0.0, 0.0, False, needless_swaps=2), 0.0),
    ],
)
def test_case_score(case: Case, score: float) -> None:
    """All but the verdict itself counts only behind a right verdict; .1 off for each needless swap."""
    assert case_score(case).score == pytest.approx(score)


def test_case_gate() -> None:
    """An unsafe act makes the score 0 and is named."""
    out = case_score(Case(1.0, 13.0, 13.0, 1.0, 1.0, True, unsafe=("opened under pressure",)))
    assert (out.score, out.gates) == (0.0, ("opened under pressure",))


def test_case_refuses() -> None:
    """Shares outside 0..1 and negative costs or counts are refused."""
    with pytest.raises(ValueError, match="shares"):
        case_score(Case(1.5, 0, 0, 0, 0, True))
    with pytest.raises(ValueError, match="shares"):
        case_score(Case(1.0, -1, 0, 0, 0, True))
    with pytest.raises(ValueError, match="swaps"):
        case_score(Case(1.0, 1, 1, 0, 0, True, needless_swaps=-1))


def test_named_share() -> None:
    """Two of four open faults named is a half; naming others adds nothing."""
    assert named_share(["filter", "pump", "unicorn"], ["filter", "pump", "oil", "gauge"]) == 0.5
    assert named_share([], []) == 1.0
