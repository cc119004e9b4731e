"""Waits of the memory model, against the library `fsrs` as it comes and against the published formulas.

FSRS 6: recall after t days R = (1 + F t/S)^(-w20) with F = 0.9^(-1/w20) - 1; stability of a new item
w0..w3 by grade; after a success S' = S (1 + e^w8 (11 - D) S^(-w9) (e^(w10 (1 - R)) - 1) h), h = w15 hard, 1,
w16 easy; after a failure S' = min(w11 D^(-w12) ((S + 1)^w13 - 1) e^(w14 (1 - R)), S e^(-w17 w18)) (the wiki
of the algorithm, from memory; the numbers w are those of the library).
"""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import pytest
from fsrs import Card, Rating, Scheduler
from glasscan.learning.review import memory
from glasscan.learning.review.memory import Progress
from hypothesis import given
from hypothesis import strategies as st

W = Scheduler().parameters
GRADES = st.lists(st.tuples(st.integers(1, 4), st.integers(1, 400)), min_size=1, max_size=30)


def row(grades: list[int]) -> list[int]:
    """Waits of a new item that is reviewed on the very days it comes up."""
    item: Progress | None = None
    days = []
    for grade in grades:
        item = memory.reviewed(item, grade, item.wait_days if item else 0)
        days.append(item.wait_days)
    return days


@given(GRADES)
def test_waits_are_those_of_the_library(reviews: list[tuple[int, int]]) -> None:
    """One card carried through the library by real dates gives the same waits and the same state."""
    scheduler = Scheduler(
        learning_steps=(), relearning_steps=(), enable_fuzzing=False, maximum_interval=memory.LONGEST_DAYS
    )
    card, item, now = Card(card_id=7), None, datetime(2031, 3, 1, 9, tzinfo=UTC)
    for grade, days in reviews:
        now += timedelta(days=days)
        card, _ = scheduler.review_card(card, Rating(grade), now)
        item = memory.reviewed(item, grade, days)
        assert (item.stability, item.difficulty) == (card.stability, card.difficulty)
        assert item.wait_days == (card.due - now).days


@pytest.mark.parametrize("grade", [1, 2, 3, 4])
def test_a_new_item_by_the_formula(grade: int) -> None:
    """The first stability is the parameter of the grade; the wait is that many days, at least one."""
    item = memory.reviewed(None, grade)
    assert item.stability == W[grade - 1]
    assert item.wait_days == max(1, round(W[grade - 1]))
    assert item.again_today == (grade == 1)


@pytest.mark.parametrize(("grade", "factor"), [(2, W[15]), (3, 1.0), (4, W[16])])
@pytest.mark.parametrize(
    ("stability", "difficulty", "days"), [(10.0, 5.0, 10), (3.0, 8.0, 20), (40.0, 2.0, 7)]
)
def test_a_success_by_the_formula(
    grade: int, factor: float, stability: float, difficulty: float, days: int
) -> None:
    """Stability after a success, worked out beside the library."""
    recall = (1 + (0.9 ** (-1 / W[20]) - 1) * days / stability) ** -W[20]
    gain = math.exp(W[8]) * (11 - difficulty) * stability ** -W[9] * (math.exp(W[10] * (1 - recall)) - 1)
    found = memory.reviewed(Progress(stability, difficulty, 1), grade, days).stability
    assert found == pytest.approx(stability * (1 + gain * factor), rel=1e-12)
    assert memory.recall(stability, days) == pytest.approx(recall, rel=1e-12)


def test_a_failure_by_the_formula() -> None:
    """After a failure little of the stability is left, and it comes again on the same day."""
    stability, difficulty, days = 30.0, 6.0, 30
    kept = W[11] * difficulty ** -W[12] * ((stability + 1) ** W[13] - 1) * math.exp(W[14] * 0.1)
    item = memory.reviewed(Progress(stability, difficulty, 30), 1, days)
    assert item.stability == pytest.approx(min(kept, stability / math.exp(W[17] * W[18])), rel=1e-9)
    assert item.again_today
    assert item.wait_days < 5


def test_recall_is_nine_in_ten_at_the_stability() -> None:
    """That is what stability means; a clock set back makes nothing known better than surely."""
    for days in (1, 7, 100):
        assert memory.recall(float(days), days) == pytest.approx(0.9)
    assert memory.recall(5.0, -3) == 1.0


def test_sure_waits_longer_than_unsure() -> None:
    """Of right answers, the one given unsure comes first, the sure one last; a wrong one today."""
    item = memory.reviewed(None, 3)
    waits = [memory.reviewed(item, grade, item.wait_days).wait_days for grade in (2, 3, 4)]
    assert waits == sorted(set(waits))
    assert row([3, 3, 3, 3]) == sorted(set(row([3, 3, 3, 3])))


def test_same_day() -> None:
    """A wrong item comes again today until it is right, and no wait changes by it."""
    item = memory.reviewed(None, 1)
    still = memory.repeated_today(item, 1)
    done = memory.repeated_today(still, 2)
    assert (still.again_today, done.again_today) == (True, False)
    assert (done.wait_days, done.stability, done.difficulty) == (
        item.wait_days,
        item.stability,
        item.difficulty,
    )


@pytest.mark.parametrize("grade", [0, 5, -1])
def test_other_grades_are_refused(grade: int) -> None:
    """Grades are 1 to 4."""
    with pytest.raises(ValueError, match="1 to 4"):
        memory.reviewed(None, grade)


def test_grade_of_a_mark() -> None:
    """Right with high confidence 4, unsure 2, without a word 3; anything less than right 1."""
    assert [memory.grade_of(1.0, level) for level in (3, 2, None, 1)] == [4, 3, 3, 2]
    assert [memory.grade_of(0.0, 3), memory.grade_of(0.0, 1), memory.grade_of(0.5)] == [1, 1, 1]
