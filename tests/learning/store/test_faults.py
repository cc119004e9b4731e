"""Every fault of the store is one clear line, never a traceback, and harms no file."""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

import pytest
from glasscan.learning.store.connection import store_path
from glasscan.learning.store.rows import Sitting, StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.learning.store.tables import STEPS, VERSION_1
from platformdirs.windows import Windows

from tests.learning.store.conftest import Program


def problem(path: Path) -> str:
    """The one line that opening a store gives."""
    with pytest.raises(StoreProblem) as caught:
        Store(path)
    line = str(caught.value)
    assert line.startswith(f"{path}: ")
    assert "\n" not in line
    return line


@pytest.mark.parametrize("content", [b"not a database at all, but long enough " * 10, os.urandom(5000)])
def test_not_a_store(tmp_path: Path, content: bytes) -> None:
    """A file of something else is named as such, and left as it was."""
    path = tmp_path / "s.sqlite3"
    path.write_bytes(content)
    assert "is not a results store, or is damaged" in problem(path)
    assert path.read_bytes() == content


def test_damaged_pages(tmp_path: Path) -> None:
    """A store with pages overwritten in the middle is called damaged."""
    path = tmp_path / "s.sqlite3"
    with Store(path) as store:
        sitting = store.begin(store.person("Wen"), "lesson", "cold-start")
        store.answer(sitting, StoredAnswer("p", "x" * 20_000))
    data = bytearray(path.read_bytes())
    data[4096:12288] = b"\xa5" * 8192
    path.write_bytes(data)
    assert "damaged" in problem(path)


def test_cut_short(tmp_path: Path) -> None:
    """A store cut to half is called damaged."""
    path = tmp_path / "s.sqlite3"
    with Store(path) as store:
        store.answer(store.begin(store.person("Wen"), "lesson", "a"), StoredAnswer("p", "x" * 50_000))
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    assert "damaged" in problem(path)


def test_database_of_another_program(tmp_path: Path) -> None:
    """A database with tables of somebody else is not touched."""
    path = tmp_path / "s.sqlite3"
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE theirs (x)")
    db.close()
    before = path.read_bytes()
    assert "belongs to another program" in problem(path)
    assert path.read_bytes() == before  # not even switched to another journal
    db = sqlite3.connect(path)
    assert db.execute("SELECT name FROM sqlite_master").fetchall() == [("theirs",)]
    db.close()


def test_folder_is_a_file(tmp_path: Path) -> None:
    """A folder that cannot be made is one line with the way out."""
    (tmp_path / "file").write_text("")
    assert "choose another folder with --data-dir" in problem(tmp_path / "file" / "s.sqlite3")
    assert "choose another folder" in problem(tmp_path)


@pytest.mark.skipif(os.name == "nt", reason="folders are write-protected by other means there")
@pytest.mark.parametrize("exists", [False, True])
def test_read_only_folder(program: Program, exists: bool) -> None:
    """A folder without the right to write, with and without a store in it: one line, exit 2."""
    folder = Path(tempfile.mkdtemp())
    try:
        if exists:
            Store(folder / "s.sqlite3").close()
            (folder / "s.sqlite3").chmod(0o444)
        folder.chmod(0o555)
        other = ["user=65534"] if os.geteuid() == 0 else []
        writer = program("writing.py", folder / "s.sqlite3", "Wen", 1, *other)
        said, told = writer.communicate(timeout=60)
        assert (writer.returncode, said, len(told.splitlines())) == (2, "", 1), told
        assert "choose another folder with --data-dir" in told
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


def test_held_by_another_window(store: Store) -> None:
    """A write lock that is not given up is one line after the wait."""
    person = store.person("Wen")
    other = sqlite3.connect(store.path)
    other.execute("BEGIN IMMEDIATE")
    store.connection.execute("PRAGMA busy_timeout = 50")
    with pytest.raises(StoreProblem, match="held by another window"):
        store.begin(person, "lesson", "cold-start")
    other.close()


def test_clock_set_back(tmp_path: Path) -> None:
    """A clock set back is told in one line; order and time left are as entered."""
    path, clock = tmp_path / "s.sqlite3", [datetime(2031, 3, 1, 9, tzinfo=UTC)]
    with Store(path, lambda: clock[0]) as store:
        sitting = store.begin(store.person("Wen"), "exam", "cold-start", left_s=600.0)
        first = store.answer(sitting, StoredAnswer("p1", "a", left_s=500.0))
        assert store.clock_note() is None
        clock[0] = datetime(2021, 1, 1, tzinfo=UTC)
        note = store.clock_note()
        assert note is not None
        assert "\n" not in note
        assert "2021-01-01" in note
        second = store.answer(sitting, StoredAnswer("p1", "b", left_s=400.0))
        assert [one.given.given for one in store.answers(sitting)] == ["b"]
        assert (second > first, store.sitting(sitting.id).left_s) == (True, 400.0)


def test_migration_keeps_what_is_there(tmp_path: Path) -> None:
    """A store of version 1 is brought to the newest with its answers; opening it again changes nothing."""
    path = tmp_path / "s.sqlite3"
    db = sqlite3.connect(path)
    for statement in (*VERSION_1, "PRAGMA application_id = 0x676C7363", "PRAGMA user_version = 1"):
        db.execute(statement)
    db.execute("INSERT INTO people (nickname, made_utc) VALUES ('Priya', '2030')")
    db.commit()
    db.close()
    for _ in range(2):
        with Store(path) as store:
            assert store.people() == {1: "Priya"}
            assert store.rows("SELECT * FROM cards") == []
            assert store.rows("PRAGMA user_version")[0][0] == len(STEPS)


def test_migration_is_all_or_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A step that fails leaves the version before, whole."""
    path = tmp_path / "s.sqlite3"
    Store(path).close()
    broken = (*STEPS, ("CREATE TABLE new (x)", "no such word"))
    monkeypatch.setattr("glasscan.learning.store.tables.STEPS", broken)
    problem(path)
    db = sqlite3.connect(path)
    assert db.execute("PRAGMA user_version").fetchone() == (len(STEPS),)
    assert db.execute("SELECT count(*) FROM sqlite_master WHERE name = 'new'").fetchone() == (0,)
    db.close()


def test_newer_version(tmp_path: Path) -> None:
    """A store of a newer program is refused, not guessed at."""
    path = tmp_path / "s.sqlite3"
    with Store(path) as store:
        store.connection.execute("PRAGMA user_version = 99")
    assert "store version 99" in problem(path)


@pytest.mark.parametrize("name", ["", "   ", "x" * 41, "a\x00b", "a\u202eb"])
def test_bad_nickname(store: Store, name: str) -> None:
    """Empty, long and unprintable nicknames are refused in one line."""
    with pytest.raises(StoreProblem, match="printable"):
        store.person(name)


def test_unknown_things(store: Store, marked_exam: Sitting) -> None:
    """Unknown persons and sittings, answers after the end and marks out of range are one line each."""
    for act in (
        lambda: store.begin(99, "lesson", "a"),
        lambda: store.sitting(99),
        lambda: store.answer(marked_exam, StoredAnswer("p", "late")),
        lambda: store.mark(99, StoredMarks(1.0, 1.0, "k")),
        lambda: store.mark(1, StoredMarks(1.5, 1.0, "k")),
    ):
        with pytest.raises(StoreProblem) as caught:
            act()
        assert "\n" not in str(caught.value)
        assert store.person("Wen") == marked_exam.person  # and the store goes on


def test_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The folder given wins; else the user's data folder, which on Windows is not nested in itself."""
    assert store_path(tmp_path) == tmp_path / "results.sqlite3"
    assert store_path().parent.name == "glasscan"
    monkeypatch.setattr("platformdirs.windows.get_win_folder", lambda _name: str(tmp_path))
    monkeypatch.setattr("platformdirs.user_data_path", _as_on_windows)
    assert store_path() == tmp_path / "glasscan" / "results.sqlite3"


def _as_on_windows(name: str, appauthor: str | Literal[False] | None = None) -> Path:
    return Windows(name, appauthor).user_data_path
