"""What is due today, and which lessons the weak codes point to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import zip_longest

from glasscan.learning.review.memory import recall

FEWEST_ANSWERS = 3
"""Answers below which a code is not called weak (PRACTICE, no source)."""
EXAM_RECALL = 0.95
"""Chance of recall wanted on the day of the exam (PRACTICE: more than the nine in ten of every day)."""


@dataclass(frozen=True)
class ReviewCard:
    """One item of the review list.

    Attributes:
        item: id of the prompt.
        topic: filter family or the like; topics are interleaved.
        reviewed: day of the last review.
        wait_days: wait set by the schedule, days.
        again_today: not settled yet; due on the day of the review itself.
        stability: wait after which it is recalled nine times in ten, days.
    """

    item: str
    topic: str
    reviewed: date
    wait_days: int
    again_today: bool = False
    stability: float = 1.0


@dataclass(frozen=True)
class Scored:
    """One marked answer: the syllabus codes of its prompt and the share of the full marks."""

    codes: tuple[str, ...]
    share: float


def due_day(card: ReviewCard, exam: date | None = None) -> date:
    """The day an item comes up.

    It is the end of its wait. Where it would be recalled on the day of the exam with a chance below
    EXAM_RECALL, it comes up after half the days left at the latest; what will be known by then is left alone.
    """
    if card.again_today:
        return card.reviewed
    left, wait = (exam - card.reviewed).days if exam else 0, card.wait_days
    if left > 0 and recall(card.stability, left) < EXAM_RECALL:
        wait = min(wait, max(1, left // 2))
    return date.fromordinal(min(card.reviewed.toordinal() + wait, date.max.toordinal()))


def due_today(cards: Iterable[ReviewCard], today: date, exam: date | None = None) -> list[ReviewCard]:
    """Items due, the longest overdue first within a topic, topics taken in turn.

    A review stamped after today was made before the clock was set back: such an item is due, since a wait
    counted from that day could hide it for years.
    """
    known = [(due_day(card, exam), card) for card in cards]
    ready = [pair for pair in known if pair[0] <= today or pair[1].reviewed > today]
    late = sorted(ready, key=lambda pair: (pair[0], pair[1].item))
    topics: dict[str, list[ReviewCard]] = defaultdict(list)
    for _, card in late:
        topics[card.topic].append(card)
    return [card for turn in zip_longest(*topics.values()) for card in turn if card is not None]


def exam_recall(cards: Collection[ReviewCard], items: int, exam: date) -> float:
    """Mean chance of recall on the day of the exam without another review; an item never answered counts 0.

    Args:
        cards: of the items answered so far.
        items: how many there are in all, 1 or more.
        exam: the day.
    """
    known = (0.0 if c.again_today else recall(c.stability, (exam - c.reviewed).days) for c in cards)
    return sum(known) / items


def weak_codes(answers: Iterable[Scored], pass_share: float = 0.75) -> dict[str, float]:
    """Codes whose mean share is below the pass mark, weakest first; codes with few answers are left out."""
    shares: dict[str, list[float]] = defaultdict(list)
    for answer in answers:
        for code in answer.codes:
            shares[code].append(answer.share)
    means = {code: sum(got) / len(got) for code, got in shares.items() if len(got) >= FEWEST_ANSWERS}
    return dict(sorted(((c, m) for c, m in means.items() if m < pass_share), key=lambda x: (x[1], x[0])))


def lessons_for(weak: Collection[str], lessons: Mapping[str, Sequence[str]]) -> list[str]:
    """Lessons that teach weak codes, those with most of them first.

    Args:
        weak: codes.
        lessons: codes by lesson id.
    """
    hits = {lesson: len(set(codes) & set(weak)) for lesson, codes in lessons.items()}
    return sorted((lesson for lesson in hits if hits[lesson]), key=lambda lesson: (-hits[lesson], lesson))
