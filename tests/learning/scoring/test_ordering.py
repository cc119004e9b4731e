"""Order the steps: the published examples, Kendall's tau of scipy, and brute force for partial orders.

The table of six answers is COMPUTED by hand; partial scoring by the longest run is described by
Amma 2022 (FOUND).
"""

from __future__ import annotations

from itertools import combinations, permutations

import pytest
from glasscan.learning.scoring.ordering import (
    Order,
    fixed_order,
    gate_faults,
    longest_run,
    ordering,
    pairs_right,
    positions_right,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import kendalltau

SIX = fixed_order("123456")


@pytest.mark.parametrize(
    ("answer", "positions", "pairs", "tau", "run"),
    [
        ("123456", 6, 15, 1.0, 6),
        ("213456", 4, 14, 0.867, 5),
        ("612345", 0, 10, 0.333, 5),
        ("234561", 0, 10, 0.333, 5),
        ("132546", 2, 13, 0.733, 4),
        ("654321", 0, 0, -1.0, 1),
    ],
)
def test_worked_table(answer: str, positions: int, pairs: int, tau: float, run: int) -> None:
    """Six answers to six steps: positions, pairs right of 15, tau, longest run; credit is run/6."""
    count = pairs_right(answer, SIX)
    assert positions_right(answer, SIX.steps) == positions
    assert (count.right, count.right + count.reversed) == (pairs, 15)
    assert count.tau == pytest.approx(tau, abs=5e-4)
    assert len(longest_run(answer, SIX)) == run
    assert ordering(answer, SIX).share == pytest.approx(run / 6)


@given(st.permutations("123456"))
def test_tau_is_that_of_scipy(answer: list[str]) -> None:
    """Kendall's tau equals scipy.stats.kendalltau on the places."""
    reference = kendalltau([1, 2, 3, 4, 5, 6], [answer.index(step) for step in "123456"]).statistic
    assert pairs_right(answer, SIX).tau == pytest.approx(reference)


pairs = st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)).filter(lambda p: p[0] < p[1]), max_size=6)


@settings(deadline=None, max_examples=60)
@given(pairs, st.permutations("abcde"), st.integers(0, 5))
def test_partial_order_run_is_the_best_of_all(
    ties: list[tuple[int, int]], answer: list[str], given_steps: int
) -> None:
    """The run equals the best longest rising run over every order that keeps the pairs (brute force)."""
    before = tuple(("abcde"[i], "abcde"[j]) for i, j in ties)
    got, order = answer[:given_steps], Order(tuple("abcde"), before)
    run = longest_run(got, order)
    best = max(_rising(got, way) for way in permutations("abcde") if _keeps(way, before))
    assert len(run) == best
    assert not any(pair[::-1] in order.closure for pair in combinations(run, 2))


def _keeps(way: tuple[str, ...], before: tuple[tuple[str, str], ...]) -> bool:
    return all(way.index(a) < way.index(b) for a, b in before)


def _rising(answer: list[str], way: tuple[str, ...]) -> int:
    """Longest rising run by trying every subset."""
    places = [way.index(step) for step in answer]
    sizes = range(len(places), -1, -1)
    return next(n for n in sizes for part in combinations(places, n) if list(part) == sorted(part))


def test_any_valid_order_is_full_marks() -> None:
    """Steps that no pair ties may come in any order."""
    order = Order(("drain", "cut", "tag", "fit"), (("drain", "cut"), ("drain", "fit")))
    for answer in ("drain cut tag fit", "tag drain fit cut", "drain fit cut tag"):
        assert ordering(answer.split(), order).share == 1.0
    assert ordering(["cut", "drain", "tag", "fit"], order).share == 0.75


CAN = Order(
    ("depressurise", "open", "look for old gasket", "fit new", "leak check", "lockwire"),
    (("open", "look for old gasket"), ("fit new", "leak check")),
    (("depressurise", "open"), ("look for old gasket", "fit new"), ("leak check", "lockwire")),
)


@pytest.mark.parametrize(("first", "second"), CAN.critical)
def test_critical_pair_reversed_is_a_gate(first: str, second: str) -> None:
    """Each reversed critical pair alone makes the credit 0 and is named."""
    answer = list(CAN.steps)
    i, j = answer.index(first), answer.index(second)
    answer[i], answer[j] = second, first
    credit = ordering(answer, CAN)
    assert credit.share == 0.0
    assert f"{first} comes before {second}" in credit.gates


def test_critical_step_left_out_is_a_gate() -> None:
    """Opening without depressurising is as bad as doing it late; leaving out both is no gate."""
    assert gate_faults(["open", "fit new"], CAN) == (
        ("depressurise", "open"),
        ("look for old gasket", "fit new"),
    )
    assert gate_faults(["depressurise"], CAN) == ()


def test_gates_pass_in_the_right_order() -> None:
    """The job in order has full marks and no gate."""
    assert ordering(CAN.steps, CAN).share == 1.0
    assert ordering(CAN.steps, CAN).gates == ()


def test_missing_and_strange_steps_cost() -> None:
    """Five of six in order is 5/6; a step that is no part of the job lengthens the list to 7."""
    assert ordering("12346", SIX).share == pytest.approx(5 / 6)
    credit = ordering("123456x", SIX)
    assert credit.share == pytest.approx(6 / 7)
    assert credit.wrongs == ("not part of the job: x",)


def test_empty_answer() -> None:
    """Nothing given earns nothing and breaks nothing."""
    assert ordering("", SIX).share == 0.0
    assert pairs_right("", SIX).tau is None


def test_refuses() -> None:
    """Pairs in a circle, unknown steps and a step given twice are refused."""
    with pytest.raises(ValueError, match="circle"):
        Order(("a", "b", "c"), (("a", "b"), ("b", "c")), (("c", "a"),))
    with pytest.raises(ValueError, match="these steps only"):
        Order(("a",), (("a", "b"),))
    with pytest.raises(ValueError, match="twice"):
        ordering("11", SIX)
