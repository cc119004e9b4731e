"""Review cards of a person in the store."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from glasscan.learning.review import memory
from glasscan.learning.review.due import ReviewCard
from glasscan.learning.review.memory import Progress
from glasscan.learning.store.store import Store

COLUMNS = "person, item, topic, wait_days, again_today, reviewed_on, stability, difficulty"


@dataclass(frozen=True)
class StoredCard:
    """An item of the review list with its schedule."""

    item: str
    topic: str
    progress: Progress
    reviewed: date

    @property
    def card(self) -> ReviewCard:
        """As the list for today takes it."""
        p = self.progress
        return ReviewCard(self.item, self.topic, self.reviewed, p.wait_days, p.again_today, p.stability)


def keep_card(store: Store, person: int, stored: StoredCard) -> None:
    """Store a card, in place of the one before."""
    p = stored.progress
    values = (person, stored.item, stored.topic, p.wait_days, p.again_today, stored.reviewed.isoformat())
    with store.writing() as db:
        query = f"INSERT OR REPLACE INTO cards ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
        db.execute(query, (*values, p.stability, p.difficulty))


def review(store: Store, person: int, item: str, topic: str, grade: int, today: date) -> StoredCard:
    """Store what a review does to an item, new or known.

    A second review on one day changes no wait, only whether the item stays on today's list: doing a lesson
    twice in an evening does not make it known for a week.

    Args:
        store: where the cards are.
        person: whose item.
        item: id of the prompt.
        topic: filter family or the like.
        grade: 1..4, for instance from `memory.grade_of`.
        today: day of the review.
    """
    old = next((card for card in cards_of(store, person) if card.item == item), None)
    if old and old.reviewed == today:
        new = StoredCard(item, topic, memory.repeated_today(old.progress, grade), today)
    else:
        days = (today - old.reviewed).days if old else 0
        new = StoredCard(item, topic, memory.reviewed(old.progress if old else None, grade, days), today)
    keep_card(store, person, new)
    return new


def cards_of(store: Store, person: int) -> list[StoredCard]:
    """All cards of a person."""
    return [
        StoredCard(
            row["item"],
            row["topic"],
            Progress(row["stability"], row["difficulty"], row["wait_days"], bool(row["again_today"])),
            date.fromisoformat(row["reviewed_on"]),
        )
        for row in store.rows("SELECT * FROM cards WHERE person = ? ORDER BY item", person)
    ]
