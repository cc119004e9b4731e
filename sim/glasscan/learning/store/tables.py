"""Tables of the store, as the steps that lead from one version to the next."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from glasscan.learning.identity import identity
from glasscan.learning.store.store_problems import StoreProblem

APPLICATION_ID = 0x676C7363
"""Mark in the header of the file: the letters glsc."""

VERSION_1 = (
    "CREATE TABLE about (store_uid TEXT NOT NULL)",
    "INSERT INTO about VALUES (lower(hex(randomblob(16))))",
    """CREATE TABLE people (
        id INTEGER PRIMARY KEY,
        origin TEXT NOT NULL DEFAULT '',
        nickname TEXT NOT NULL COLLATE NOCASE,
        made_utc TEXT NOT NULL,
        UNIQUE (origin, nickname))""",
    """CREATE TABLE sittings (
        id INTEGER PRIMARY KEY,
        uid TEXT NOT NULL UNIQUE DEFAULT (lower(hex(randomblob(16)))),
        person INTEGER NOT NULL REFERENCES people (id) ON DELETE CASCADE,
        kind TEXT NOT NULL CHECK (kind IN ('lesson', 'practice', 'exam')),
        paper TEXT NOT NULL,
        seed INTEGER NOT NULL,
        begun_utc TEXT NOT NULL,
        ended_utc TEXT,
        left_s REAL)""",
    "CREATE INDEX sittings_person ON sittings (person)",
    """CREATE TABLE answers (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        sitting INTEGER NOT NULL REFERENCES sittings (id) ON DELETE CASCADE,
        prompt TEXT NOT NULL,
        given TEXT NOT NULL,
        confidence INTEGER CHECK (confidence BETWEEN 1 AND 3),
        spent_s REAL NOT NULL,
        answered_utc TEXT NOT NULL)""",
    "CREATE INDEX answers_sitting ON answers (sitting, prompt)",
    """CREATE TABLE marks (
        answer INTEGER PRIMARY KEY REFERENCES answers (id) ON DELETE CASCADE,
        share REAL NOT NULL CHECK (share BETWEEN 0 AND 1),
        out_of REAL NOT NULL CHECK (out_of >= 0),
        answer_key TEXT NOT NULL,
        reason TEXT NOT NULL,
        slip TEXT,
        codes TEXT NOT NULL DEFAULT '',
        marked_utc TEXT NOT NULL)""",
)
VERSION_2 = (
    """CREATE TABLE cards (
        person INTEGER NOT NULL REFERENCES people (id) ON DELETE CASCADE,
        item TEXT NOT NULL,
        topic TEXT NOT NULL,
        factor REAL NOT NULL,
        run INTEGER NOT NULL,
        wait_days INTEGER NOT NULL,
        again_today INTEGER NOT NULL,
        reviewed_on TEXT NOT NULL,
        PRIMARY KEY (person, item)) WITHOUT ROWID""",
)
VERSION_3 = (
    "ALTER TABLE sittings ADD COLUMN salt TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE sittings ADD COLUMN digest TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE sittings ADD COLUMN head TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE sittings ADD COLUMN seen_utc TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE sittings ADD COLUMN seen_ticks REAL NOT NULL DEFAULT 0",
    "ALTER TABLE sittings ADD COLUMN seen_boot TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE sittings ADD COLUMN handed TEXT NOT NULL DEFAULT ''",
    """CREATE TABLE events (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        sitting INTEGER NOT NULL REFERENCES sittings (id) ON DELETE CASCADE,
        what TEXT NOT NULL CHECK (what IN ('opened', 'left', 'altered', 'clock-set')),
        at_utc TEXT NOT NULL,
        away_s REAL NOT NULL DEFAULT 0,
        by TEXT NOT NULL DEFAULT '')""",
    "CREATE INDEX events_sitting ON events (sitting)",
    "ALTER TABLE people ADD COLUMN identity TEXT NOT NULL DEFAULT ''",
    "UPDATE people SET identity = identity_of(nickname)",
    """UPDATE people SET identity = identity || ' #' || id WHERE id NOT IN
        (SELECT min(id) FROM people GROUP BY origin, identity)""",
    "CREATE UNIQUE INDEX people_identity ON people (origin, identity)",
)
VERSION_4 = (
    # the schedule of a model of memory: its stability is the wait so far; the old factor, 1.3 (hard) to
    # 2.8 (easy), becomes the difficulty, 10 to 1
    "ALTER TABLE cards ADD COLUMN stability REAL NOT NULL DEFAULT 1",
    "ALTER TABLE cards ADD COLUMN difficulty REAL NOT NULL DEFAULT 5",
    "UPDATE cards SET stability = max(1, wait_days), difficulty = min(10, max(1, 10 - 6 * (factor - 1.3)))",
    "ALTER TABLE cards DROP COLUMN factor",
    "ALTER TABLE cards DROP COLUMN run",
)
STEPS = (VERSION_1, VERSION_2, VERSION_3, VERSION_4)
"""STEPS[n] leads from version n to version n + 1; a step that has been released is never edited."""


def migrate(connection: sqlite3.Connection, path: Path) -> None:
    """Bring a store to the newest version, all or nothing.

    Raises:
        StoreProblem: it belongs to another program, or was made by a newer version of this one.
    """
    connection.create_function("identity_of", 1, identity, deterministic=True)
    connection.execute("BEGIN IMMEDIATE")
    try:
        _take_steps(connection, path)
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def _take_steps(connection: sqlite3.Connection, path: Path) -> None:
    version = version_of(connection, path)
    for step in STEPS[version:]:
        for statement in step:
            connection.execute(statement)
    if version < len(STEPS):
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(STEPS)}")


def version_of(connection: sqlite3.Connection, path: Path) -> int:
    """Version of a store; 0 for a new file. Reads only.

    Raises:
        StoreProblem: it belongs to another program, or was made by a newer version of this one.
    """
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    owner = connection.execute("PRAGMA application_id").fetchone()[0]
    tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if owner != APPLICATION_ID and (owner or version or tables):
        raise StoreProblem(f"{path}: belongs to another program; choose another folder with --data-dir")
    if version > len(STEPS):
        raise StoreProblem(
            f"{path}: store version {version}, this program knows {len(STEPS)}; update it first"
        )
    return version
