"""Copies, digests and salvage of the store; what is promised is what SQLite's own reader finds afterwards."""

from __future__ import annotations

import random
import shutil
import sqlite3
from datetime import date, timedelta
from pathlib import Path

import pytest
from glasscan.learning.store import healing
from glasscan.learning.store.rows import StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem

DAY = date(2031, 3, 1)


def filled(path: Path, people: int = 3, answers: int = 40) -> None:
    """A store with people, finished sittings, answers and marks."""
    with Store(path) as store:
        for p in range(people):
            sitting = store.begin(store.person(f"Wen {p}"), "practice", "cold-start")
            for n in range(answers):
                answer = store.answer(sitting, StoredAnswer(f"q{n}", f"answer {n} of {p} " * 5))
                store.mark(answer, StoredMarks(1.0, 1.0, "k"))
            store.end(sitting)


def counted(path: Path) -> tuple[int, int]:
    """People and answers that SQLite reads."""
    with sqlite3.connect(path) as db:
        return tuple(db.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in ("people", "answers"))


def test_a_copy_of_every_day_is_whole_and_the_last_seven_stay(tmp_path):
    """Also while another connection holds an open write: the backup reads what was committed."""
    path = tmp_path / "results.sqlite3"
    filled(path)
    with Store(path) as store:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        made = [healing.keep_copy(store.connection, path, DAY + timedelta(days=n)) for n in range(9)]
        assert healing.keep_copy(store.connection, path, DAY + timedelta(days=8)) is None
        other.execute("ROLLBACK")
        other.close()
    assert all(made)
    left = sorted((tmp_path / healing.COPIES).glob("*.sqlite3"))
    assert [p.name[-18:-8] for p in left] == [str(DAY + timedelta(days=n)) for n in range(2, 9)]
    assert counted(left[-1]) == (3, 120)


def test_an_empty_store_is_not_copied(tmp_path):
    """A copy of nothing would push out one of something."""
    path = tmp_path / "results.sqlite3"
    with Store(path) as store:
        assert healing.keep_copy(store.connection, path, DAY) is None


def test_a_changed_letter_is_noticed(tmp_path):
    """What SQLite takes for a sound page: one answer reads otherwise."""
    path = tmp_path / "results.sqlite3"
    filled(path)
    with Store(path) as store:
        assert healing.damaged_sittings(store.connection) == []
    raw = path.read_bytes()
    at = raw.rindex(b"answer 7 of 1")
    path.write_bytes(raw[:at] + b"enswer" + raw[at + 6 :])
    with Store(path) as store:
        assert healing.damaged_sittings(store.connection) == [2]


@pytest.fixture(scope="module")
def class_of_a_year(tmp_path_factory):
    """The bytes of a store of four people with 200 answers each."""
    path = tmp_path_factory.mktemp("year") / "results.sqlite3"
    filled(path, people=4, answers=200)
    return path.read_bytes()


@pytest.mark.parametrize("seed", range(12))
def test_what_can_be_read_of_a_damaged_store_is_saved(tmp_path, seed, class_of_a_year):
    """A page overwritten with noise costs what stood on it, not the class of a year."""
    path, into = tmp_path / "results.sqlite3", tmp_path / "saved.sqlite3"
    path.write_bytes(class_of_a_year)
    with Store(path) as store:
        healing.keep_copy(store.connection, path, DAY)
        answer = store.answer(store.begin(store.person("Late"), "practice", "x"), StoredAnswer("q", "today"))
    raw, dice = bytearray(path.read_bytes()), random.Random(seed)
    page = int.from_bytes(raw[16:18], "big")
    hit = dice.randrange(4, len(raw) // page) * page
    raw[hit : hit + page] = dice.randbytes(page)
    path.write_bytes(raw)
    try:
        taken = healing.salvage(path, into)
    except StoreProblem:
        pytest.fail("nothing was read")
    with Store(into) as store:
        saved = store.rows("SELECT count(*) FROM answers")[0][0]
        assert store.rows("PRAGMA integrity_check")[0][0] == "ok"
    assert taken["people"] >= 4
    assert saved >= 800  # what the copy has, and what else the file still gives
    assert answer > 800


def test_salvage_writes_over_nothing(tmp_path):
    """A file that is there stays."""
    path = tmp_path / "results.sqlite3"
    filled(path)
    with pytest.raises(StoreProblem, match="exists already"):
        healing.salvage(path, path)


def test_a_deleted_person_is_in_no_copy(tmp_path):
    """Neither as a row nor as bytes: a deletion is whole."""
    from glasscan.learning.store.erasing import delete_person

    path = tmp_path / "results.sqlite3"
    filled(path)
    with Store(path) as store:
        made = healing.keep_copy(store.connection, path, DAY)
        assert b"Wen 1" in made.read_bytes()
        delete_person(store, store.person("Wen 1"))
    assert b"Wen 1" not in made.read_bytes()
    assert b"of 1 answer" not in made.read_bytes()
    assert counted(made) == (2, 80)


def test_the_command_takes_care_of_the_store(tmp_path, capsys):
    """backup, check and salvage as a user types them."""
    from glasscan.cli.main import main

    path, data = tmp_path / "results.sqlite3", ["--data-dir", str(tmp_path)]
    filled(path)
    assert main(["results", "backup", "--out", str(tmp_path / "b.sqlite3"), *data]) == 0
    assert counted(tmp_path / "b.sqlite3") == (3, 120)
    assert main(["results", "check", *data]) == 0
    raw = path.read_bytes()
    at = raw.rindex(b"answer 7 of 1")
    path.write_bytes(raw[:at] + b"enswer" + raw[at + 6 :])
    assert main(["results", "check", *data]) == 2
    assert "sittings 2" in capsys.readouterr().err
    assert main(["results", "salvage", "--out", str(tmp_path / "s.sqlite3"), *data]) == 0
    assert counted(tmp_path / "s.sqlite3") == (3, 120)


@pytest.mark.parametrize("way", ["deleted", "moved"])
def test_an_answer_into_a_store_that_is_gone_is_not_called_kept(tmp_path, way):
    """The folder goes under an open sitting: before, the next answers were acknowledged and lay nowhere."""
    folder = tmp_path / "data"
    with Store(folder / "results.sqlite3") as store:
        sitting = store.begin(store.person("Wen"), "practice", "x")
        store.answer(sitting, StoredAnswer("q1", "1"))
        if way == "deleted":
            shutil.rmtree(folder)
        else:
            folder.rename(tmp_path / "elsewhere")
        with pytest.raises(StoreProblem, match="was moved or deleted"):
            store.answer(sitting, StoredAnswer("q2", "2"))
