"""Waits of the two schedules, against published rules and rows worked by hand.

SM-2: Wozniak's thesis text of 1990 (FOUND); rows COMPUTED by hand with the new factor.
Leitner: the rule of 1972 (FOUND); waits 1-2-4-8-16 days and the row COMPUTED by hand.
"""

from __future__ import annotations

from datetime import date

import pytest
from glasscan.learning.review import leitner, sm2
from hypothesis import given
from hypothesis import strategies as st


def waits(grades: list[int]) -> list[int]:
    """Waits after each review of a new item."""
    item, days = sm2.Progress(), []
    for grade in grades:
        item = sm2.reviewed(item, grade)
        days.append(item.wait_days)
    return days


@pytest.mark.parametrize(
    ("grades", "days"),
    [
        ([4, 4, 4, 4, 4], [1, 6, 15, 38, 95]),
        ([5, 4, 3, 4, 4], [1, 6, 15, 37, 92]),
        ([3, 3, 3, 3, 3], [1, 6, 13, 26, 47]),
        ([4, 4, 4, 2, 4, 4], [1, 6, 15, 1, 6, 15]),
    ],
)
def test_sm2_rows(grades: list[int], days: list[int]) -> None:
    """Four rows of grades; the second would be 16, 40, 99 with the old factor."""
    assert waits(grades) == days


@pytest.mark.parametrize(
    ("grade", "step"), [(5, 0.10), (4, 0.0), (3, -0.14), (2, -0.32), (1, -0.54), (0, -0.80)]
)
def test_sm2_factor_steps(grade: int, step: float) -> None:
    """The formula gives +.10, 0, -.14, -.32, -.54, -.80 for grades 5 to 0."""
    assert sm2.new_factor(2.5, grade) == pytest.approx(2.5 + step)


@pytest.mark.parametrize("grade", [0, 1, 2])
def test_sm2_restart(grade: int) -> None:
    """Below 3 the item waits one day again, then six, and its factor stays."""
    item = sm2.reviewed(sm2.Progress(factor=2.18, run=4, wait_days=40), grade)
    assert (item.factor, item.wait_days, item.again_today) == (2.18, 1, True)
    assert sm2.reviewed(item, 4).wait_days == 6


def test_sm2_new_item_failed() -> None:
    """A new item that is failed waits one day, then six, like any other that starts again."""
    assert waits([1, 4, 4]) == [1, 6, 15]


@given(st.lists(st.integers(3, 5), min_size=1, max_size=40))
def test_sm2_floor_and_growth(grades: list[int]) -> None:
    """The factor never falls below 1.3, and while all goes well the waits never shrink."""
    item = sm2.Progress()
    for grade in grades:
        before, item = item, sm2.reviewed(item, grade)
        assert item.factor >= 1.3
        assert item.wait_days >= before.wait_days


def test_sm2_floor_is_reached() -> None:
    """Grade 3 for ever ends at 1.3 exactly."""
    item = sm2.Progress()
    for _ in range(20):
        item = sm2.reviewed(item, 3)
    assert item.factor == 1.3


def test_sm2_grain_of_a_float_is_no_day() -> None:
    """25 days times 2.2 are 55 days, though a float makes it a grain more."""
    assert sm2.reviewed(sm2.Progress(factor=2.2, run=3, wait_days=25), 4).wait_days == 55


def test_sm2_same_day() -> None:
    """Grade 3 comes again today until it is 4, and the wait does not change by it."""
    item = sm2.reviewed(sm2.Progress(), 3)
    assert item.again_today
    still = sm2.repeated_today(item, 3)
    done = sm2.repeated_today(still, 4)
    assert (still.again_today, done.again_today) == (True, False)
    assert (done.wait_days, done.run, done.factor) == (item.wait_days, item.run, item.factor)


@pytest.mark.parametrize("grade", [-1, 6])
def test_sm2_refuses(grade: int) -> None:
    """Grades outside 0..5 are refused."""
    with pytest.raises(ValueError, match="0 to 5"):
        sm2.reviewed(sm2.Progress(), grade)


def test_grade_of_a_mark() -> None:
    """Right with high confidence is 5, wrong with high confidence 0: the surest errors come back first."""
    assert [sm2.grade_of(1.0, level) for level in (3, 2, None, 1)] == [5, 4, 4, 3]
    assert [sm2.grade_of(0.0, 3), sm2.grade_of(0.0, 1), sm2.grade_of(0.5)] == [0, 1, 2]


def test_leitner_row() -> None:
    """From 1 March 2031, R R R W R R R R R: reviews on 2, 4, 8, 16, 17, 19, 23, 31 March and 16 April."""
    item, days = leitner.placed(date(2031, 3, 1)), []
    for answer in "RRRWRRRRR":
        days.append(item.due)
        item = leitner.reviewed(item, answer == "R", item.due)
    assert days == [date(2031, 3, day) for day in (2, 4, 8, 16, 17, 19, 23, 31)] + [date(2031, 4, 16)]
    assert item == leitner.Boxed(5, date(2031, 5, 2))
