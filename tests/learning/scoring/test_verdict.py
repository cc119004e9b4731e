"""Pass mark, gates, practical sheet, agreement of assessors.

75 % and 'no penalty marks for passing' are Part-66 Appendix II (MEMORY); the sheet is common practice,
no source; kappa is checked against the textbook table 20/5/10/15 (MEMORY: 0.4) and against numpy.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from glasscan.learning.scoring.agreement import cohen_kappa
from glasscan.learning.scoring.practical import GATES, HEADINGS, MarkSheet, angoff, practical_verdict
from glasscan.learning.scoring.verdict import verdict
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(("right", "passed"), [(29, False), (30, True), (40, True)])
def test_pass_mark(right: int, passed: bool) -> None:
    """30 of 40 is 75 % and passes; 29 does not."""
    assert verdict([1.0] * right + [0.0] * (40 - right), [1.0] * 40).passed is passed


def test_rounding_fails_nobody() -> None:
    """Three times 0.7 of four times 0.7 is a grain below 75 % in floating point, and passes."""
    assert verdict([0.7] * 3 + [0.0], [0.7] * 4).passed


def test_gate_is_apart_from_the_score() -> None:
    """A full score with a gate not met is 'not yet', and the score is told unchanged."""
    out = verdict([10.0], [10.0], ["depressurise before opening"])
    assert (out.passed, out.share) == (False, 1.0)
    assert out.line == ("Not yet: 10 of 10 (100%, pass mark 75%). Gate not met: depressurise before opening.")


def test_pass_mark_of_the_file() -> None:
    """A file may set another pass mark; a paper without marks is never passed."""
    assert verdict([6.0], [10.0], pass_share=0.6).passed
    assert not verdict([], []).passed


@pytest.mark.parametrize(
    "bad", [([-1.0], [1.0]), ([2.0], [1.0]), ([1.0], [1.0, 1.0]), ([float("nan")], [1.0])]
)
def test_no_negative_mark_counts(bad: tuple[list[float], list[float]]) -> None:
    """Negative marks, marks above full marks and odd lists are refused."""
    with pytest.raises(ValueError, match=r"mark|zip"):
        verdict(*bad)


ALL_MET = dict.fromkeys(GATES, True)


def test_practical_sheet() -> None:
    """Six headings of 0 to 3: 14 of 18 passes at 75 %, 13 does not; the score never opens a gate."""
    marks = dict(zip(HEADINGS, (3, 3, 2, 2, 2, 2), strict=True))
    assert practical_verdict(MarkSheet(ALL_MET, marks)).passed
    assert not practical_verdict(MarkSheet(ALL_MET, {**marks, "record": 1})).passed


@pytest.mark.parametrize("gate", GATES)
def test_each_practical_gate_alone_fails(gate: str) -> None:
    """Any one gate not met is 'not yet', with full marks."""
    out = practical_verdict(MarkSheet({**ALL_MET, gate: False}, dict.fromkeys(HEADINGS, 3)))
    assert (out.passed, out.share, out.gates) == (False, 1.0, (GATES[gate],))


def test_practical_sheet_refuses() -> None:
    """A heading left empty or a mark of 4 is refused."""
    with pytest.raises(ValueError, match="every heading"):
        practical_verdict(MarkSheet(ALL_MET, {}))
    with pytest.raises(ValueError, match="0 to 3"):
        practical_verdict(MarkSheet(ALL_MET, dict.fromkeys(HEADINGS, 4)))


def test_angoff() -> None:
    """Two judges, three items: the pass mark is the mean of all ratings."""
    assert angoff([[0.9, 0.6, 0.6], [0.7, 0.8, 0.6]]) == pytest.approx(4.2 / 6)
    with pytest.raises(ValueError, match="0 to 1"):
        angoff([[1.2]])


def test_kappa_textbook() -> None:
    """Both yes 20, only the first 5, only the second 10, both no 15: p_o .7, p_e .5, kappa .4."""
    first = ["yes"] * 25 + ["no"] * 25
    second = ["yes"] * 20 + ["no"] * 5 + ["yes"] * 10 + ["no"] * 15
    assert cohen_kappa(first, second) == pytest.approx(0.4)


@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=2, max_size=30))
def test_kappa_from_the_table(marks: list[tuple[int, int]]) -> None:
    """Kappa equals the same number worked from the contingency table with numpy."""
    table = np.zeros((4, 4))
    for pair in marks:
        table[pair] += 1 / len(marks)
    chance = sum(table[i, :].sum() * table[:, j].sum() for i, j in product(range(4), range(4)) if i == j)
    got = cohen_kappa(*zip(*marks, strict=True))
    assert (
        got is None if chance > 1 - 1e-12 else got == pytest.approx((np.trace(table) - chance) / (1 - chance))
    )


def test_kappa_without_spread() -> None:
    """Two assessors who give everyone the same mark have no kappa."""
    assert cohen_kappa([3, 3], [3, 3]) is None
    with pytest.raises(ValueError, match="same length"):
        cohen_kappa([1], [1, 2])
