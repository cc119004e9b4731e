"""Review cards of a person in the store."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from glasscan.learning.review import sm2
from glasscan.learning.review.due import ReviewCard
from glasscan.learning.review.sm2 import Progress
from glasscan.learning.store.store import Store


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
        return ReviewCard(
            self.item, self.topic, self.reviewed, self.progress.wait_days, self.progress.again_today
        )


def keep_card(store: Store, person: int, stored: StoredCard) -> None:
    """Store a card, in place of the one before."""
    p = stored.progress
    values = (person, stored.item, stored.topic, p.factor, p.run, p.wait_days, p.again_today)
    with store.writing() as db:
        query = "INSERT OR REPLACE INTO cards VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
        db.execute(query, (*values, stored.reviewed.isoformat()))


def review(store: Store, person: int, item: str, topic: str, grade: int, today: date) -> StoredCard:
    """Store what a review does to an item, new or known.

    A second review on one day changes no wait, only whether the item stays on today's list: doing a lesson
    twice in an evening does not make it known for a week.

    Args:
        store: where the cards are.
        person: whose item.
        item: id of the prompt.
        topic: filter family or the like.
        grade: 0..5, for instance from `sm2.grade_of`.
        today: day of the review.
    """
    old = next((card for card in cards_of(store, person) if card.item == item), None)
    if old and old.reviewed == today:
        new = StoredCard(item, topic, sm2.repeated_today(old.progress, grade), today)
    else:
        new = StoredCard(item, topic, sm2.reviewed(old.progress if old else Progress(), grade), today)
    keep_card(store, person, new)
    return new


def cards_of(store: Store, person: int) -> list[StoredCard]:
    """All cards of a person."""
    return [
        StoredCard(
            row["item"],
            row["topic"],
            Progress(row["factor"], row["run"], row["wait_days"], bool(row["again_today"])),
            date.fromisoformat(row["reviewed_on"]),
        )
        for row in store.rows("SELECT * FROM cards WHERE person = ? ORDER BY item", person)
    ]
