"""The list for today, the cap before an exam, and weak codes (rules: common practice, no source)."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from glasscan.learning.review.due import (
    ReviewCard,
    Scored,
    due_day,
    due_today,
    exam_recall,
    lessons_for,
    weak_codes,
)

DAY = date(2031, 3, 1)


@pytest.mark.parametrize(
    ("wait", "exam_in", "due_in"),
    [
        (38, 40, 20),
        (38, 41, 20),
        (6, 40, 6),
        (38, 1, 38),
        (38, 15, 38),
        (38, 20, 10),
        (38, None, 38),
        (38, -5, 38),
        (38, 0, 38),
    ],
)
def test_cap_before_the_exam(wait: int, exam_in: int | None, due_in: int) -> None:
    """What would not be known on the exam comes after half the days left; after the exam the wait is free."""
    exam = None if exam_in is None else DAY + timedelta(days=exam_in)
    assert (due_day(ReviewCard("a", "can", DAY, wait, stability=float(wait)), exam) - DAY).days == due_in


def test_known_on_the_day_of_the_exam() -> None:
    """The mean over all items: nine in ten at the stability, none for a wrong one or one never asked."""
    cards = [ReviewCard("a", "can", DAY, 30, stability=30.0), ReviewCard("b", "can", DAY, 9, True, 9.0)]
    assert exam_recall(cards, 4, DAY + timedelta(days=30)) == pytest.approx(0.9 / 4)


def test_due_today() -> None:
    """An item is due on its day and after it, not before; an unsettled one on the day of the review."""
    cards = [
        ReviewCard("late", "can", DAY, 3),
        ReviewCard("today", "can", DAY, 5),
        ReviewCard("later", "can", DAY, 6),
    ]
    cards.append(ReviewCard("unsettled", "can", DAY + timedelta(days=5), 9, again_today=True))
    names = [card.item for card in due_today(cards, DAY + timedelta(days=5))]
    assert names == ["late", "today", "unsettled"]


def test_topics_take_turns() -> None:
    """Filters are interleaved; within one the longest overdue comes first."""
    cards = [
        ReviewCard(f"{topic}{wait}", topic, DAY, wait) for topic in ("can", "edge") for wait in (3, 1, 2)
    ]
    names = [card.item for card in due_today(cards, DAY + timedelta(days=9))]
    assert names == ["can1", "edge1", "can2", "edge2", "can3", "edge3"]


def test_clock_set_back() -> None:
    """A review stamped in a year that the clock no longer shows makes the item due, not hidden for a year."""
    card = ReviewCard("a", "can", DAY + timedelta(days=365), 2)
    assert due_today([card], DAY) == [card]


def test_weak_codes() -> None:
    """Means below the pass mark, weakest first; fewer than three answers say nothing."""
    answers = [
        *[Scored(("11.14", "7.2"), share) for share in (0.0, 0.5, 1.0)],
        *[Scored(("16.3",), share) for share in (0.0, 0.0, 0.5)],
        *[Scored(("7.2",), 1.0)] * 5,
        Scored(("9.1",), 0.0),
    ]
    assert list(weak_codes(answers)) == ["16.3", "11.14"]
    assert weak_codes(answers)["11.14"] == pytest.approx(0.5)


def test_lessons_for_weak_codes() -> None:
    """Lessons that teach most of the weak codes come first, others not at all."""
    lessons = {"cold": ["16.3"], "bowl": ["16.3", "11.14"], "count": ["7.2"]}
    assert lessons_for(["16.3", "11.14"], lessons) == ["bowl", "cold"]
