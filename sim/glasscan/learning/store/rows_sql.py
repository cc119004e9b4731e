"""The rows that a sitting, an answer and a mark become; called within a transaction of the store."""

from __future__ import annotations

import sqlite3

from glasscan.learning.store.rows import StoredAnswer, StoredMarks


def put_over(
    db: sqlite3.Connection, uid: str, person: int, what: tuple[str, str, int], when: tuple[str, str]
) -> int:
    """A sitting that is over: kind, paper and seed, and when it was begun and ended; returns its id."""
    query = """INSERT INTO sittings (uid, person, kind, paper, seed, begun_utc, ended_utc)
        VALUES (?, ?, ?, ?, ?, ?, ?)"""
    return int(db.execute(query, (uid, person, *what, *when)).lastrowid or 0)


def put_answer(db: sqlite3.Connection, sitting: int, given: StoredAnswer, when: str) -> int:
    """An answer; returns its id."""
    query = """INSERT INTO answers (sitting, prompt, given, confidence, spent_s, answered_utc)
        VALUES (?, ?, ?, ?, ?, ?)"""
    values = (sitting, given.prompt, given.given, given.confidence, given.spent_s, when)
    return int(db.execute(query, values).lastrowid or 0)


def put_mark(db: sqlite3.Connection, answer: int, marked: StoredMarks, when: str) -> None:
    """The mark of an answer; a later one takes the place of an earlier."""
    rest = (marked.key, marked.reason, marked.slip, " ".join(marked.codes), when)
    query = "INSERT OR REPLACE INTO marks VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
    db.execute(query, (answer, marked.share, marked.out_of, *rest))
