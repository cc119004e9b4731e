"""A sitting entered in one piece: begun, answered, marked and handed in, all or nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from sim.lessons.store.rows import Given, Kind, Marked
from sim.lessons.store.store import Store

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
    answers: Sequence[tuple[Given, Marked]]


def enter_whole(store: Store, person: int, whole: Whole) -> bool:
    """Enter a sitting; False where it is there already, whoever's it is.

    Raises:
        StoreProblem: the store cannot be written; then nothing of it is there.
    """
    with store.writing() as db:
        if db.execute("SELECT 1 FROM sittings WHERE uid = ?", (whole.uid,)).fetchone():
            return False
        ended, begun = store.stamp(), store.now() - timedelta(seconds=min(whole.spent_s, LONGEST_S))
        query = """INSERT INTO sittings (uid, person, kind, paper, seed, begun_utc, ended_utc)
            VALUES (?, ?, ?, ?, ?, ?, ?)"""
        values = (whole.uid, person, whole.kind, whole.paper, whole.seed)
        row = db.execute(query, (*values, begun.isoformat(timespec="seconds"), ended)).lastrowid
        for given, marked in whole.answers:
            _enter(db, int(row or 0), given, marked, ended)
    return True


def owner(store: Store, uid: str) -> str | None:
    """Nickname of the person whose sitting this is, or None where it is not there."""
    query = "SELECT p.nickname FROM sittings s JOIN people p ON p.id = s.person WHERE s.uid = ?"
    found = store.rows(query, uid)
    return str(found[0]["nickname"]) if found else None


def _enter(db: sqlite3.Connection, sitting: int, given: Given, marked: Marked, when: str) -> None:
    query = """INSERT INTO answers (sitting, prompt, given, confidence, spent_s, answered_utc)
        VALUES (?, ?, ?, ?, ?, ?)"""
    values = (sitting, given.prompt, given.given, given.confidence, given.spent_s, when)
    answer = db.execute(query, values).lastrowid
    rest = (marked.key, marked.reason, marked.slip, " ".join(marked.codes), when)
    db.execute(
        "INSERT INTO marks VALUES (?, ?, ?, ?, ?, ?, ?, ?)", (answer, marked.share, marked.out_of, *rest)
    )
