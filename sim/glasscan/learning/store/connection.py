"""Find and open the file of the store."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from pathlib import Path

from glasscan.learning.store.store_problems import StoreProblem, in_one_line
from glasscan.learning.store.tables import migrate, version_of
from glasscan.paths import own_folder

FILE_NAME = "results.sqlite3"
PATIENCE_S = 5.0
AGAIN_S = 0.02  # wait between two tries
"""How long a write waits for another window."""


def store_path(data_dir: Path | None = None) -> Path:
    """File of the store: in the folder given, else in the user's own data folder."""
    return (data_dir or own_folder()) / FILE_NAME


def connect(path: Path) -> sqlite3.Connection:
    """Open the store, made or brought to the newest version where needed.

    Every commit is on the disk before it returns: write-ahead log with full syncing.

    Raises:
        StoreProblem: not to be opened or written, damaged, another program's, or too new.
    """
    with in_one_line(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        connection = sqlite3.connect(path, timeout=PATIENCE_S, isolation_level=None)
        try:
            _patiently(lambda: _prepare(connection, path))
        except BaseException:
            connection.close()
            raise
        return connection


def _patiently(prepare: Callable[[], None]) -> None:
    """Do it again while another program opens or leaves: there SQLite itself does not wait."""
    until = time.monotonic() + PATIENCE_S
    while True:
        try:
            return prepare()
        except sqlite3.OperationalError as held:
            if not held.sqlite_errorname.startswith("SQLITE_BUSY") or time.monotonic() > until:
                raise
            time.sleep(AGAIN_S)


def _prepare(connection: sqlite3.Connection, path: Path) -> None:
    connection.row_factory = sqlite3.Row
    _refuse_strange(connection, path)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA fullfsync = ON")  # without it macOS leaves a commit in the drive's cache
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")  # a deleted person leaves no readable bytes
    if connection.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
        raise StoreProblem(f"{path}: is damaged: glasscan results salvage reads what is left")
    migrate(connection, path)


def _refuse_strange(connection: sqlite3.Connection, path: Path) -> None:
    """Look before anything is changed: what is not ours is not even switched to another journal."""
    connection.execute("BEGIN")  # one moment of the file, while another program may be making it
    try:
        version_of(connection, path)
    finally:
        connection.execute("ROLLBACK")
