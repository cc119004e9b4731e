"""A sitting entered in one piece: begun, answered, marked and handed in, all or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from glasscan.learning.store.rows import Kind, StoredAnswer, StoredMarks
from glasscan.learning.store.rows_sql import put_answer, put_mark, put_over
from glasscan.learning.store.store import Store

LONGEST_S = 1e7
"""A sitting is not told as begun longer ago than this, s: four months."""


@dataclass(frozen=True)
class Whole:
    """A sitting that is over.

    Attributes:
        uid: the same on every computer, 32 hexadecimal digits; what is there already is not entered again.
        kind, paper, seed: as of any sitting.
        spent_s: time it took, s.
        answers: with their marks.
    """

    uid: str
    kind: Kind
    paper: str
    seed: int
    spent_s: float
    answers: Sequence[tuple[StoredAnswer, StoredMarks]]


def enter_whole(store: Store, person: int, whole: Whole) -> bool:
    """Enter a sitting; False where it is there already, whoever's it is.

    Raises:
        StoreProblem: the store cannot be written; then nothing of it is there.
    """
    with store.writing() as db:
        if db.execute("SELECT 1 FROM sittings WHERE uid = ?", (whole.uid,)).fetchone():
            return False
        ended, begun = store.stamp(), store.now() - timedelta(seconds=min(whole.spent_s, LONGEST_S))
        what, when = (whole.kind, whole.paper, whole.seed), (begun.isoformat(timespec="seconds"), ended)
        sitting = put_over(db, whole.uid, person, what, when)
        for given, marked in whole.answers:
            put_mark(db, put_answer(db, sitting, given, ended), marked, ended)
    return True


def owner(store: Store, uid: str) -> str | None:
    """Nickname of the person whose sitting this is, or None where it is not there."""
    query = "SELECT p.nickname FROM sittings s JOIN people p ON p.id = s.person WHERE s.uid = ?"
    found = store.rows(query, uid)
    return str(found[0]["nickname"]) if found else None
