"""A store that heals: a copy of every day, a digest of each sitting, salvage of a damaged file.

SQLite notices a page that does not parse; it does not notice a letter that has changed. Each finished sitting
therefore carries a digest of its rows, and `damaged_sittings` works them out again. A copy is made by the
backup of SQLite itself, so that it is whole also while another window writes: copying the file alone loses
its log.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from datetime import date
from pathlib import Path

from glasscan.learning.store.store_problems import StoreProblem, in_one_line
from glasscan.learning.store.tables import migrate

COPIES, KEPT = "copies", 7
"""Folder of the copies beside the store, and how many days stay (PRACTICE)."""
TABLES = ("people", "sittings", "answers", "marks", "cards", "events")
DIGESTS = """CREATE TABLE IF NOT EXISTS sitting_digests (
    sitting INTEGER PRIMARY KEY REFERENCES sittings (id) ON DELETE CASCADE, digest TEXT NOT NULL)"""


def copy_path(store: Path, day: date) -> Path:
    """Where the copy of a day lies."""
    return store.parent / COPIES / f"{store.stem}-{day.isoformat()}{store.suffix}"


def keep_copy(connection: sqlite3.Connection, store: Path, day: date) -> Path | None:
    """Make the copy of a day unless it is there; only the newest stay. A full disk is no reason to stop.

    Returns:
        The file that was made; None where it was there, nothing is in the store, or it cannot be written.
    """
    path = copy_path(store, day)
    if path.exists() or not connection.execute("SELECT EXISTS (SELECT 1 FROM answers)").fetchone()[0]:
        return None
    part = path.with_suffix(".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        back_up(connection, part)
        part.replace(path)
    except (OSError, sqlite3.Error):
        part.unlink(missing_ok=True)
        return None
    for old in sorted(path.parent.glob(f"{store.stem}-*{store.suffix}"))[:-KEPT]:
        with suppress(OSError):
            old.unlink()
    return path


def back_up(connection: sqlite3.Connection, path: Path) -> None:
    """Write a whole copy of an open store, by SQLite's own backup."""
    with closing(sqlite3.connect(path)) as other:
        connection.backup(other)
        other.execute("PRAGMA journal_mode = DELETE")


def digest_of(connection: sqlite3.Connection, sitting: int) -> str:
    """Digest of a sitting with its answers and marks, of their text as it is stored."""
    rows: list[tuple[object, ...]] = []
    for query in (
        "SELECT uid, kind, paper, seed, begun_utc, ended_utc FROM sittings WHERE id = ?",
        """SELECT id, prompt, given, confidence, spent_s, answered_utc FROM answers
            WHERE sitting = ? ORDER BY id""",
        "SELECT m.* FROM marks m JOIN answers a ON a.id = m.answer WHERE a.sitting = ? ORDER BY m.answer",
    ):
        rows += [tuple(row) for row in connection.execute(query, (sitting,))]
    return hashlib.sha256(json.dumps(rows, ensure_ascii=False).encode()).hexdigest()


def note_digest(connection: sqlite3.Connection, sitting: int) -> None:
    """Note the digest of a sitting that is finished or marked anew, within the transaction that does it."""
    connection.execute(DIGESTS)
    row = (sitting, digest_of(connection, sitting))
    connection.execute("INSERT OR REPLACE INTO sitting_digests VALUES (?, ?)", row)


def note_mark(connection: sqlite3.Connection, answer: int) -> None:
    """The digest anew where an answer of a finished sitting was marked."""
    query = """SELECT s.id FROM sittings s JOIN answers a ON a.sitting = s.id
        WHERE a.id = ? AND s.ended_utc IS NOT NULL"""
    found = connection.execute(query, (answer,)).fetchone()
    if found:
        note_digest(connection, int(found[0]))


def forget(store: Path, person: int) -> None:
    """Delete a person from every copy too, with the bytes of them."""
    for copy in sorted((store.parent / COPIES).glob(f"{store.stem}-*{store.suffix}")):
        with in_one_line(copy), closing(sqlite3.connect(copy, isolation_level=None)) as connection:
            connection.execute("PRAGMA secure_delete = ON")
            connection.execute("PRAGMA foreign_keys = ON")
            connection.execute("DELETE FROM people WHERE id = ?", (person,))
            connection.execute("VACUUM")


def damaged_sittings(connection: sqlite3.Connection) -> list[int]:
    """Finished sittings whose rows are no longer what they were."""
    if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'sitting_digests'").fetchone():
        return []
    noted = connection.execute("SELECT sitting, digest FROM sitting_digests").fetchall()
    return [int(sitting) for sitting, digest in noted if _changed(connection, int(sitting), str(digest))]


def _changed(connection: sqlite3.Connection, sitting: int, digest: str) -> bool:
    try:
        return digest_of(connection, sitting) != digest
    except (sqlite3.Error, UnicodeDecodeError):
        return True


def salvage(store: Path, into: Path) -> dict[str, int]:
    """Read what can be read of a damaged store into a new one, and fill the gaps from its copies.

    Args:
        store: the damaged file; it is only read.
        into: the new store; there must be none.

    Returns:
        Rows taken over, by table.

    Raises:
        StoreProblem: the new file is there, or not one row can be read.
    """
    if into.exists():
        raise StoreProblem(f"{into}: exists already; name a new file")
    with in_one_line(into):
        into.parent.mkdir(parents=True, exist_ok=True)
        with closing(sqlite3.connect(into, isolation_level=None)) as fresh:
            migrate(fresh, into)
            fresh.execute("PRAGMA foreign_keys = OFF")
            copies = sorted((store.parent / COPIES).glob(f"{store.stem}-*{store.suffix}"), reverse=True)
            taken = {t: sum(_take(one, fresh, t) for one in (store, *copies)) for t in TABLES}
            for table, column, parent in (
                ("sittings", "person", "people"),
                ("answers", "sitting", "sittings"),
                ("marks", "answer", "answers"),
                ("cards", "person", "people"),
            ):
                fresh.execute(f"DELETE FROM {table} WHERE {column} NOT IN (SELECT id FROM {parent})")
    if not any(taken.values()):
        into.unlink(missing_ok=True)
        raise StoreProblem(f"{store}: nothing in it can be read; take the newest file of the folder {COPIES}")
    return taken


def _take(store: Path, fresh: sqlite3.Connection, table: str) -> int:
    """Rows of a table that can be read and stored; from both ends, so that one bad page costs only itself."""
    columns = [str(row[1]) for row in fresh.execute(f"PRAGMA table_info({table})")]
    before = fresh.total_changes
    for order in ("ASC", "DESC"):
        for row in _rows(store, table, columns, order):
            marks = ", ".join("?" * len(columns))
            with suppress(sqlite3.Error):
                fresh.execute(f"INSERT OR IGNORE INTO {table} ({', '.join(columns)}) VALUES ({marks})", row)
    return fresh.total_changes - before


def _rows(store: Path, table: str, columns: list[str], order: str) -> Iterator[tuple[object, ...]]:
    """Rows one by one until the file gives no more."""
    with closing(sqlite3.connect(f"{store.resolve().as_uri()}?mode=ro", uri=True)) as damaged:
        key = "rowid" if table != "cards" else "person"
        try:
            here = {str(row[1]) for row in damaged.execute(f"PRAGMA table_info({table})")}
            wanted = ", ".join(name if name in here else f"'' AS {name}" for name in columns)
            cursor = damaged.execute(f"SELECT {wanted} FROM {table} ORDER BY {key} {order}")
        except (sqlite3.Error, UnicodeDecodeError):
            return
        while True:
            try:
                row = cursor.fetchone()
            except (sqlite3.Error, UnicodeDecodeError):
                return
            if row is None:
                return
            yield row
