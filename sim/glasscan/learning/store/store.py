"""The store itself: short transactions, each on the disk before the call returns."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from glasscan.learning.identity import identity, shows
from glasscan.learning.shuffling import new_salt
from glasscan.learning.store.connection import connect
from glasscan.learning.store.healing import keep_copy, note_digest, note_mark
from glasscan.learning.store.record_chain import fits, put_head
from glasscan.learning.store.rows import Answered, Kind, Sitting, StoredAnswer, StoredMarks
from glasscan.learning.store.rows_sql import put_answer, put_mark
from glasscan.learning.store.store_problems import StoreProblem, in_one_line
from glasscan.learning.store.two_clocks import Gap, moment

NICKNAME_LENGTH = 40

LATEST = """SELECT a.*, m.share, m.out_of, m.answer_key, m.reason, m.slip, m.codes
    FROM answers a LEFT JOIN marks m ON m.answer = a.id
    WHERE a.id IN (SELECT max(id) FROM answers WHERE sitting = ? GROUP BY prompt) ORDER BY a.id"""
"""The last answer to each prompt; order is that of entry, since clocks can be set back."""


def utc_now() -> datetime:
    """The clock of this computer, in UTC."""
    return datetime.now(UTC)


def _identity(path: Path) -> tuple[int, int] | None:
    """Which file a path names; None where there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


class Store:
    """An open store; use it from the thread that opened it, and close it.

    Args:
        path: of the file.
        now: clock; times are for reading only, order and time left never depend on it.

    Raises:
        StoreProblem: from every method, one line for the user.
    """

    def __init__(self, path: Path, now: Callable[[], datetime] = utc_now) -> None:
        self.path = path
        self.now = now
        self.connection = connect(path)
        keep_copy(self.connection, path, now().date())
        self._file = _identity(path)

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; closing twice is harmless."""
        self.connection.close()

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: on the disk when the block is left, or not at all."""
        with in_one_line(self.path):
            self.connection.execute("BEGIN IMMEDIATE")
            try:
                yield self.connection
                self.connection.execute("COMMIT")
                self._still_there()
            except BaseException:
                if self.connection.in_transaction:
                    self.connection.execute("ROLLBACK")
                raise

    def _still_there(self) -> None:
        """A commit into a file that nobody can find any more is no answer kept."""
        if _identity(self.path) != self._file:
            raise StoreProblem(f"{self.path}: was moved or deleted; what was just entered is not kept there")

    def rows(self, query: str, *values: object) -> list[sqlite3.Row]:
        """Rows of a query."""
        with in_one_line(self.path):
            return self.connection.execute(query, values).fetchall()

    def stamp(self) -> str:
        """The time now, as it is stored."""
        return self.now().isoformat(timespec="seconds")

    def person(self, nickname: str) -> int:
        """Id of a person of this computer, entered where new; spellings of one `identity` are one person."""
        name = " ".join(nickname.split())
        if len(name) > NICKNAME_LENGTH or not name.isprintable() or not shows(name):
            raise StoreProblem(f"nickname: expected 1 to {NICKNAME_LENGTH} printable characters")
        with self.writing() as db:
            query = "INSERT OR IGNORE INTO people (nickname, identity, made_utc) VALUES (?, ?, ?)"
            db.execute(query, (name, identity(name), self.stamp()))
            query = "SELECT id FROM people WHERE origin = '' AND identity = ?"
            return int(db.execute(query, (identity(name),)).fetchone()[0])

    def people(self) -> dict[int, str]:
        """Nicknames by id."""
        return {
            row["id"]: row["nickname"] for row in self.rows("SELECT id, nickname FROM people ORDER BY id")
        }

    def begin(
        self,
        person: int,
        kind: Kind,
        paper: str,
        seed: int = 0,
        left_s: float | None = None,
        salt: str | None = None,
        digest: str = "",
    ) -> Sitting:
        """Begin a sitting; `left_s` is its limit, s; `salt` its secret, fresh where none is given."""
        query = """INSERT INTO sittings (person, kind, paper, seed, begun_utc, left_s, salt, digest)
            VALUES (?, ?, ?, ?, ?, ?, ?, ?)"""
        row = (person, kind, paper, seed, self.stamp(), left_s, new_salt() if salt is None else salt, digest)
        with self.writing() as db:
            new = db.execute(query, row).lastrowid
        return self.sitting(int(new or 0))

    def sitting(self, number: int) -> Sitting:
        """A sitting by its id."""
        found = self.rows("SELECT * FROM sittings WHERE id = ?", number)
        if not found:
            raise StoreProblem(f"{self.path}: there is no sitting {number}")
        return _sitting(found[0])

    def unfinished(self, person: int) -> list[Sitting]:
        """Sittings begun and not handed in, the newest first: after a crash they go on from here."""
        query = "SELECT * FROM sittings WHERE person = ? AND ended_utc IS NULL ORDER BY id DESC"
        return [_sitting(row) for row in self.rows(query, person)]

    def handed_in(self, paper: str) -> list[Sitting]:
        """Sittings of a paper that were handed in, of everyone, in order of entry."""
        query = "SELECT * FROM sittings WHERE paper = ? AND ended_utc IS NOT NULL ORDER BY id"
        return [_sitting(row) for row in self.rows(query, paper)]

    def tick(self, sitting: Sitting, left_s: float, key: str = "") -> None:
        """Store the time left, so that a crash costs no more than the time since the last tick.

        Args:
            sitting: under way.
            left_s: s.
            key: of the chain of its record, where it has one.
        """
        with self.writing() as db:
            _seen(db, sitting.id, left_s)
            _chained(db, sitting.id, key)

    def note(self, sitting: Sitting, what: str, passed: Gap | None = None, key: str = "") -> None:
        """Store that a sitting was opened, left or found altered; see `tick`."""
        values = (
            sitting.id,
            what,
            self.stamp(),
            passed.seconds if passed else 0.0,
            passed.by if passed else "",
        )
        with self.writing() as db:
            db.execute(
                "INSERT INTO events (sitting, what, at_utc, away_s, by) VALUES (?, ?, ?, ?, ?)", values
            )
            _chained(db, sitting.id, key)

    def is_as_left(self, sitting: Sitting, key: str) -> bool:
        """Whether the record of a sitting is as this program left it; see `record_chain`."""
        with in_one_line(self.path):
            return fits(self.connection, sitting.id, key)

    def answer(self, sitting: Sitting, given: StoredAnswer, key: str = "") -> int:
        """Store an answer; when this returns it is on the disk and may be acknowledged.

        A later answer to the same prompt replaces an earlier one for marking; both are kept. See `tick`.
        """
        with self.writing() as db:
            row = db.execute("SELECT ended_utc FROM sittings WHERE id = ?", (sitting.id,)).fetchone()
            if row is None or row["ended_utc"] is not None:
                raise StoreProblem(f"{self.path}: this sitting was handed in; it takes no more answers")
            if given.left_s is not None:
                _seen(db, sitting.id, given.left_s)
            number = put_answer(db, sitting.id, given, self.stamp())
            _chained(db, sitting.id, key)
            return number

    def end(self, sitting: Sitting, key: str = "") -> None:
        """Hand a sitting in; the time of the first call stays. See `tick`."""
        with self.writing() as db:
            query = "UPDATE sittings SET ended_utc = ? WHERE id = ? AND ended_utc IS NULL"
            if db.execute(query, (self.stamp(), sitting.id)).rowcount:
                _chained(db, sitting.id, key)
            note_digest(db, sitting.id)

    def handed(self, sitting: Sitting, make: Callable[[], str]) -> str:
        """The file that was handed in: made once, then always the same text, whatever the record says."""
        with self.writing() as db:
            row = db.execute("SELECT handed FROM sittings WHERE id = ?", (sitting.id,)).fetchone()
            text = str(row["handed"]) or make()
            db.execute("UPDATE sittings SET handed = ? WHERE id = ?", (text, sitting.id))
        return text

    def handed_text(self, sitting: Sitting) -> str:
        """The file that was handed in, or "" where none was made yet."""
        return str(self.rows("SELECT handed FROM sittings WHERE id = ?", sitting.id)[0]["handed"])

    def mark(self, answer: int, marked: StoredMarks) -> None:
        """Store the mark of an answer, and with it, for the first time, the key.

        An exam is marked after it was handed in, not before, so that no key can be read from the file.
        """
        with self.writing() as db:
            if db.execute(OPEN_EXAM, (answer,)).fetchone():
                raise StoreProblem(f"{self.path}: an exam is marked after it is handed in")
            put_mark(db, answer, marked, self.stamp())
            note_mark(db, answer)

    def answers(self, sitting: Sitting) -> list[Answered]:
        """The last answer to each prompt, in order of entry."""
        return [_answered(row) for row in self.rows(LATEST, sitting.id)]

    def clock_note(self) -> str | None:
        """One line where the clock shows less than the newest entry made on this computer, else None."""
        query = """SELECT max(t) FROM (SELECT max(s.begun_utc, coalesce(max(a.answered_utc), '')) t
            FROM sittings s JOIN people p ON p.id = s.person LEFT JOIN answers a ON a.sitting = s.id
            WHERE p.origin = '' GROUP BY s.id)"""
        newest = self.rows(query)[0][0]
        if newest is None or self.stamp() >= newest:
            return None
        return f"the clock shows {self.stamp()}, the last entry {newest}: order and time left do not use it"


def _seen(db: sqlite3.Connection, sitting: int, left_s: float) -> None:
    """Note the time left, and on both clocks the moment it was so."""
    now = moment()
    query = "UPDATE sittings SET left_s = ?, seen_utc = ?, seen_ticks = ?, seen_boot = ? WHERE id = ?"
    db.execute(query, (left_s, now.utc, now.ticks_s, now.boot, sitting))


def _chained(db: sqlite3.Connection, sitting: int, key: str) -> None:
    if key:
        put_head(db, sitting, key)


OPEN_EXAM = """SELECT 1 FROM answers a JOIN sittings s ON s.id = a.sitting
    WHERE a.id = ? AND s.kind = 'exam' AND s.ended_utc IS NULL"""


def _sitting(row: sqlite3.Row) -> Sitting:
    ended = row["ended_utc"] is not None
    return Sitting(
        row["id"],
        row["uid"],
        row["person"],
        row["kind"],
        row["paper"],
        row["seed"],
        row["left_s"],
        ended,
        row["salt"],
        row["digest"],
    )


def _answered(row: sqlite3.Row) -> Answered:
    given = StoredAnswer(row["prompt"], row["given"], row["confidence"], row["spent_s"])
    if row["share"] is None:
        return Answered(row["id"], given, None)
    codes = tuple(row["codes"].split())
    mark = StoredMarks(row["share"], row["out_of"], row["answer_key"], row["reason"], row["slip"], codes)
    return Answered(row["id"], given, mark)
