"""What a person has done so far, sitting by sitting."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass

from glasscan.learning.store.rows import Sitting
from glasscan.learning.store.store import Store

CASE = "case-"
"""How the papers of hidden faults begin."""

HISTORY = """SELECT s.id, s.kind, s.paper, s.seed, s.begun_utc, s.ended_utc FROM sittings s
    WHERE s.person = ? ORDER BY s.id"""


@dataclass(frozen=True)
class ToldSitting:
    """One sitting in numbers.

    Attributes:
        paper, kind, seed: what.
        begun_utc, ended_utc: when; the second is None where it goes on.
        answers, marked: how many questions were answered, and how many of them have a mark.
        gained, out_of: marks.
        spent_s: time spent on the answers, s.
        said: the answer itself, where there was one only.
    """

    paper: str
    kind: str
    seed: int
    begun_utc: str
    ended_utc: str | None
    answers: int
    marked: int
    gained: float
    out_of: float
    spent_s: float
    said: str

    @property
    def share(self) -> float | None:
        """Share of the marks, or None where there are none."""
        return self.gained / self.out_of if self.out_of > 0.0 else None

    @property
    def line(self) -> str:
        """All of it in one line of text."""
        score = "not marked" if self.share is None else f"{100 * self.share:.0f} of 100"
        said = f"; {self.said}" if self.said and self.answers == 1 else ""
        minutes = f"{self.spent_s / 60:.0f} min"
        return f"{self.begun_utc[:16].replace('T', ' ')}  {self.paper}  {score}  {minutes}{said}"


def told_of(store: Store, person: int) -> list[ToldSitting]:
    """Every sitting of a person, in order of entry."""
    return [_told(store, store.sitting(row["id"]), row) for row in store.rows(HISTORY, person)]


def _told(store: Store, sitting: Sitting, row: sqlite3.Row) -> ToldSitting:
    answers = store.answers(sitting)
    marks = [one.mark for one in answers if one.mark is not None]
    return ToldSitting(
        paper=sitting.paper,
        kind=sitting.kind,
        seed=sitting.seed,
        begun_utc=row["begun_utc"],
        ended_utc=row["ended_utc"],
        answers=len(answers),
        marked=len(marks),
        gained=sum(mark.share * mark.out_of for mark in marks),
        out_of=sum(mark.out_of for mark in marks),
        spent_s=sum(one.given.spent_s for one in answers),
        said=answers[0].given.given if len(answers) == 1 else "",
    )


def cases_of(store: Store, person: int) -> list[Sitting]:
    """Hidden faults that a person has diagnosed, in order of entry."""
    query = "SELECT id FROM sittings WHERE person = ? AND paper LIKE ? AND ended_utc IS NOT NULL ORDER BY id"
    return [store.sitting(row["id"]) for row in store.rows(query, person, f"{CASE}%")]
