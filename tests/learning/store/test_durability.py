"""What was acknowledged is there after a kill, with another writer, and when the disk is full.

A kill ends a process at any instruction; it is no test of a power cut. The outside reference is SQLite's
own integrity check, read with the standard library and not through the store.
"""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from glasscan.cli.files import write_whole
from glasscan.content import BadInput
from glasscan.learning.cases.case_files import save
from glasscan.learning.cases.case_play import Case
from glasscan.learning.store.csv_export import answers_csv, write_csv
from glasscan.learning.store.rows import StoredAnswer
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem

from tests.learning.store.conftest import Program

KILLS = 200


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork; the test after it kills without")
def test_hundreds_of_kills_lose_nothing(tmp_path: Path, program: Program) -> None:
    """200 writers of one store killed at random moments: nothing acknowledged is lost, the file is whole."""
    said, errors = program("killing.py", tmp_path / "s.sqlite3", KILLS).communicate(timeout=120)
    kills, acknowledged, lost, check = said.split()
    assert (int(kills), int(lost), check) == (KILLS, 0, "ok"), errors
    assert int(acknowledged) > KILLS


def test_kill_of_a_program(tmp_path: Path, program: Program) -> None:
    """A whole program killed while it writes: all it printed is there, and the exam goes on with its time."""
    path = tmp_path / "s.sqlite3"
    writer = program("writing.py", path, "Wen", 100_000)
    assert writer.stdout is not None
    said = [int(writer.stdout.readline()) for _ in range(50)]
    writer.kill()
    said += [int(line) for line in writer.communicate()[0].splitlines(keepends=True) if line.endswith("\n")]
    with Store(path) as store:
        stored = {row["id"] for row in store.rows("SELECT id FROM answers")}
        assert set(said) <= stored
        assert len(store.unfinished(store.person("wen"))) == 1


def test_two_programs_on_one_store(tmp_path: Path, program: Program) -> None:
    """Two programs write to a new store at once: nothing is lost or mixed."""
    path = tmp_path / "s.sqlite3"
    both = [program("writing.py", path, name, 100) for name in ("Wen", "Priya")]
    ends = [one.communicate(timeout=60) for one in both]
    assert [one.returncode for one in both] == [0, 0], ends
    db = sqlite3.connect(path)
    query = """SELECT p.nickname, count(*) FROM answers a JOIN sittings s ON s.id = a.sitting
        JOIN people p ON p.id = s.person GROUP BY 1 ORDER BY 1"""
    assert db.execute(query).fetchall() == [("Priya", 100), ("Wen", 100)]
    assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    db.close()


def test_two_writers_and_a_reader(tmp_path: Path, program: Program) -> None:
    """While two programs write, a third window exports and writes: no lock reaches anyone, all is there.

    The answers of each person stand in the order in which they were given.
    """
    path = tmp_path / "s.sqlite3"
    both = [program("writing.py", path, name, 150) for name in ("Wen", "Priya")]
    with Store(path) as store:
        own = store.begin(store.person("Bo"), "lesson", "cold-start")
        given = 0
        while any(one.poll() is None for one in both):
            assert answers_csv(store).startswith("nickname")
            store.answer(own, StoredAnswer(f"p{given}", "x"))
            given += 1
        ends = [one.communicate(timeout=60) for one in both]
        assert [(one.returncode, told) for one, (_, told) in zip(both, ends, strict=True)] == [(0, "")] * 2
        assert given > 10
        query = """SELECT prompt FROM answers a JOIN sittings s ON s.id = a.sitting
            JOIN people p ON p.id = s.person WHERE nickname = ? ORDER BY a.id"""
        for name, count in (("Wen", 150), ("Priya", 150), ("Bo", given)):
            assert [row[0] for row in store.rows(query, name)] == [f"p{n}" for n in range(count)]


def _save_case(path: Path) -> None:
    save(Case(1, "can", 2, "0" * 32, "0" * 64), path)


@pytest.mark.parametrize(
    "write",
    [_save_case, lambda path: write_csv("new", path), lambda path: write_whole(path, "new")],
    ids=["case", "table", "results"],
)
def test_a_full_disk_leaves_the_file_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, write: Callable[[Path], object]
) -> None:
    """No space when bytes go to the disk: one line, the old file whole, nothing left beside it."""

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    path = tmp_path / "kept.json"
    path.write_text("the old one")
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises((BadInput, StoreProblem), match=os.strerror(errno.ENOSPC)) as told:
        write(path)
    assert str(told.value).isprintable()
    assert path.read_text() == "the old one"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.skipif(os.name == "nt", reason="the limit of file sizes is a POSIX one")
def test_full_disk(tmp_path: Path, program: Program) -> None:
    """When the system refuses more bytes: one line, exit 2, all acknowledged answers kept, and it goes on."""
    path = tmp_path / "s.sqlite3"
    writer = program("writing.py", path, "Wen", 100_000, "limit=300000")
    said, told = writer.communicate(timeout=60)
    assert writer.returncode == 2
    assert len(told.splitlines()) == 1
    assert "what was just entered is not stored" in told
    with Store(path) as store:
        assert {row["id"] for row in store.rows("SELECT id FROM answers")} == set(map(int, said.split()))
        assert len(said.split()) > 10
        sitting = store.unfinished(store.person("Wen"))[0]
        assert store.answer(sitting, StoredAnswer("after", "room again")) == int(said.split()[-1]) + 1


def test_full_store(store: Store) -> None:
    """The same with SQLite's own word for a full disk, forced by a limit of pages."""
    sitting = store.begin(store.person("Wen"), "lesson", "cold-start")
    pages = store.rows("PRAGMA page_count")[0][0]
    store.connection.execute(f"PRAGMA max_page_count = {pages + 1}")
    stored = [store.answer(sitting, StoredAnswer("small", "x"))]
    with pytest.raises(Exception, match="the disk is full; what was just entered is not stored") as caught:
        store.answer(sitting, StoredAnswer("large", "x" * 50_000))
    assert "\n" not in str(caught.value)
    stored.append(store.answer(sitting, StoredAnswer("small again", "x")))
    assert [one.id for one in store.answers(sitting)] == stored


def test_commits_are_synced(store: Store) -> None:
    """The settings that make a commit durable: write-ahead log and full syncing (sqlite.org/pragma.html)."""
    assert store.rows("PRAGMA journal_mode")[0][0] == "wal"
    assert store.rows("PRAGMA synchronous")[0][0] == 2
    assert store.rows("PRAGMA fullfsync")[0][0] == 1
