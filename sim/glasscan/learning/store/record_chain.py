"""The chain of a sitting's record: each answer and event hangs on all before it.

The key of the chain comes from the paper's questions and is not in the store, so a record that is changed
with another program no longer fits its head. Whoever writes a program that opens the paper can make a head
that fits: no program on a trainee's own computer can stop that.
"""

from __future__ import annotations

import hmac
import json
import sqlite3
from collections.abc import Iterable

ABOUT = """SELECT s.uid, s.kind, s.paper, s.seed, s.digest, s.salt, s.begun_utc, s.ended_utc, s.left_s,
    s.seen_utc, s.seen_ticks, s.seen_boot, p.nickname
    FROM sittings s JOIN people p ON p.id = s.person WHERE s.id = ?"""
ANSWERS = (
    "SELECT id, prompt, given, confidence, spent_s, answered_utc FROM answers WHERE sitting = ? ORDER BY id"
)
EVENTS = "SELECT id, what, at_utc, away_s, by FROM events WHERE sitting = ? ORDER BY id"


def head(db: sqlite3.Connection, sitting: int, key: str) -> str:
    """The head of the chain as the record stands now, 64 hexadecimal letters."""
    link = b""
    for row in (*_rows(db, ANSWERS, sitting), *_rows(db, EVENTS, sitting), *_rows(db, ABOUT, sitting)):
        link = hmac.new(bytes.fromhex(key), link + _line(row), "sha256").digest()
    return link.hex()


def put_head(db: sqlite3.Connection, sitting: int, key: str) -> None:
    """Store the head; called in the transaction that changed the record."""
    db.execute("UPDATE sittings SET head = ? WHERE id = ?", (head(db, sitting, key), sitting))


def fits(db: sqlite3.Connection, sitting: int, key: str) -> bool:
    """Whether the record is as this program left it."""
    stored = db.execute("SELECT head FROM sittings WHERE id = ?", (sitting,)).fetchone()[0]
    return hmac.compare_digest(str(stored).encode(), head(db, sitting, key).encode())


def _rows(db: sqlite3.Connection, query: str, sitting: int) -> Iterable[sqlite3.Row]:
    return db.execute(query, (sitting,)).fetchall()


def _line(row: sqlite3.Row) -> bytes:
    return json.dumps(list(row), separators=(",", ":")).encode()
