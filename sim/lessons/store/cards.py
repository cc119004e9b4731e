"""Review cards of a person in the store."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sim.lessons.review.due import Card
from sim.lessons.review.sm2 import Progress
from sim.lessons.store.store import Store


@dataclass(frozen=True)
class StoredCard:
    """An item of the review list with its schedule."""

    item: str
    topic: str
    progress: Progress
    reviewed: date

    @property
    def card(self) -> Card:
        """As the list for today takes it."""
        return Card(self.item, self.topic, self.reviewed, self.progress.wait_days, self.progress.again_today)


def keep_card(store: Store, person: int, stored: StoredCard) -> None:
    """Store a card, in place of the one before."""
    p = stored.progress
    values = (person, stored.item, stored.topic, p.factor, p.run, p.wait_days, p.again_today)
    with store.writing() as db:
        query = "INSERT OR REPLACE INTO cards VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
        db.execute(query, (*values, stored.reviewed.isoformat()))


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
