"""What is in the store and what leaves it: keys, deleted people, tables, results files."""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from glasscan.learning.review import memory
from glasscan.learning.review.due import Scored, due_day, due_today
from glasscan.learning.review.memory import Progress
from glasscan.learning.scoring.confidence import Said
from glasscan.learning.store.csv_export import answers_csv, write_csv
from glasscan.learning.store.csv_text import cell_text
from glasscan.learning.store.erasing import delete_person
from glasscan.learning.store.history import said, scored
from glasscan.learning.store.results_files import (
    file_text,
    handed_in_text,
    import_results,
    load_results,
    marked_text,
    results_of,
)
from glasscan.learning.store.review_cards import StoredCard, cards_of, keep_card, review
from glasscan.learning.store.rows import Sitting, StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.learning.store.tables import APPLICATION_ID, VERSION_1, VERSION_2, VERSION_3

SECRET = "KEYWORDQZX"


def all_bytes(folder: Path) -> bytes:
    """Everything in the files of a store."""
    return b"".join(path.read_bytes() for path in sorted(folder.iterdir()))


def test_an_exam_goes_on_after_a_crash(store: Store) -> None:
    """A sitting not handed in is found again with its seed, its answers and its time left."""
    wen = store.person("Wen")
    exam = store.begin(wen, "exam", "cold-start", seed=7, left_s=600.0)
    store.answer(exam, StoredAnswer("p1", "b", 2, 30.0, left_s=570.0))
    store.tick(exam, 560.0)
    with Store(store.path) as again:
        (found,) = again.unfinished(wen)
        assert (found.uid, found.seed, found.left_s, found.ended) == (exam.uid, 7, 560.0, False)
        assert [one.given.given for one in again.answers(found)] == ["b"]
        again.end(found)
        assert again.unfinished(wen) == []


def test_no_key_before_marking(store: Store) -> None:
    """An exam cannot be marked before it is handed in; its key is in the file only after marking."""
    exam = store.begin(store.person("Wen"), "exam", "cold-start")
    number = store.answer(exam, StoredAnswer("p1", "b"))
    with pytest.raises(StoreProblem, match="after it is handed in"):
        store.mark(number, StoredMarks(1.0, 1.0, SECRET))
    assert SECRET.encode() not in all_bytes(store.path.parent)
    with pytest.raises(StoreProblem, match="not handed in"):
        handed_in_text(store, exam)
    store.end(exam)
    assert SECRET not in file_text(results_of(store, exam))
    store.mark(number, StoredMarks(1.0, 1.0, SECRET))
    assert SECRET.encode() in all_bytes(store.path.parent)
    assert SECRET in file_text(results_of(store, exam))


def test_last_answer_counts(store: Store) -> None:
    """A changed answer replaces the one before; both are kept; marks belong to the answer they were given."""
    lesson = store.begin(store.person("Wen"), "lesson", "cold-start")
    first = store.answer(lesson, StoredAnswer("p1", "a"))
    store.mark(first, StoredMarks(0.0, 1.0, "b"))
    store.answer(lesson, StoredAnswer("p1", "b", 3))
    (now,) = store.answers(lesson)
    assert (now.given.given, now.given.confidence, now.mark) == ("b", 3, None)
    assert len(store.rows("SELECT * FROM answers")) == 2


def test_nicknames(store: Store) -> None:
    """Capital letters and spaces round a nickname make no second person."""
    assert store.person("Wen  C") == store.person(" wen c ")
    assert store.people() == {1: "Wen C"}


def test_delete_a_person_wholly(store: Store, marked_exam: Sitting) -> None:
    """Nothing of a deleted person is left in any table, nor in the bytes of the files; others stay."""
    store.person("Priya")
    zed = store.person("Zedekiahx")
    sitting = store.begin(zed, "lesson", "cold-start")
    store.mark(store.answer(sitting, StoredAnswer("p", "SAYINGQZX" * 500)), StoredMarks(1.0, 1.0, SECRET))
    keep_card(store, zed, StoredCard("ITEMQZX", "can", Progress(2.3, 5.0, 2), date(2031, 3, 1)))
    words = (b"Zedekiahx", b"SAYINGQZX", SECRET.encode(), b"ITEMQZX")
    assert all(word in all_bytes(store.path.parent) for word in words)
    delete_person(store, zed)
    assert not any(word in all_bytes(store.path.parent) for word in words)
    assert store.people() == {marked_exam.person: "Wen", 2: "Priya"}
    assert len(store.answers(marked_exam)) == 3
    with pytest.raises(StoreProblem, match="no person"):
        delete_person(store, zed)


def test_delete_while_another_reads(store: Store) -> None:
    """Where another window still reads old pages, that is said, not hidden."""
    person = store.person("Wen")
    with Store(store.path) as other:
        other.connection.execute("BEGIN")
        assert other.people() == {1: "Wen"}
        store.connection.execute("PRAGMA busy_timeout = 50")
        with pytest.raises(StoreProblem, match="close the other windows"):
            delete_person(store, person)
    assert store.people() == {}


def test_cards(store: Store) -> None:
    """A review card comes back as it was kept; keeping it again replaces it."""
    wen = store.person("Wen")
    for run in (1, 2):
        card = StoredCard("p1", "can", Progress(2.36, 4.5, 6, True), date(2031, 3, run))
        keep_card(store, wen, card)
    assert cards_of(store, wen) == [card]
    assert card.card.wait_days == 6


def test_review_of_an_item(store: Store) -> None:
    """Reviews on the days they are due: waits grow; a miss shortens them and comes again today."""
    wen, day, waits = store.person("Wen"), date(2031, 3, 1), []
    for grade in (3, 3, 3, 1):
        card = review(store, wen, "p1", "can", grade, day)
        waits.append(card.progress.wait_days)
        day = due_day(card.card)
    assert waits[0] < waits[1] < waits[2] > waits[3]
    assert (day, card.progress.again_today) == (date(2031, 3, 1) + timedelta(days=sum(waits[:3])), True)
    done = review(store, wen, "p1", "can", 4, day)
    assert done.progress == replace(card.progress, again_today=False)
    assert review(store, wen, "p1", "can", 4, day).progress == done.progress
    later = review(store, wen, "p1", "can", 3, day + timedelta(days=waits[3]))
    assert later.progress.wait_days > waits[3]


def test_forty_good_days_and_a_clock_gone_mad(store: Store) -> None:
    """Known on forty days running, with the clock set back and forth, an item keeps its due day in reach.

    Without a longest wait it would leave the calendar.
    """
    wen, day = store.person("Wen"), date(2031, 3, 1)
    for n in range(40):
        today = day + timedelta(days=n - (400 if n % 7 == 3 else 0))
        known = review(store, wen, "a", "can", 4, today)
        assert 1 <= known.progress.wait_days <= memory.LONGEST_DAYS
        assert due_today([card.card for card in cards_of(store, wen)], today) == []
    assert due_today([known.card], known.reviewed - timedelta(days=400)) == [known.card]
    review(store, wen, "b", "can", 4, date(9999, 12, 31))
    listed = due_today([card.card for card in cards_of(store, wen)], today)
    assert [card.item for card in listed] == ["b"]


def test_clocks_of_other_computers_are_not_told(store: Store, marked_exam: Sitting, tmp_path: Path) -> None:
    """Imported results made on a computer whose clock is ahead say nothing about this one's clock."""
    tree = json.loads(handed_in_text(store, marked_exam))
    tree["results"] |= {"sitting": "0" * 32, "origin": "1" * 32}
    tree["results"] |= {"begun_utc": "2999-01-01T00:00:00+00:00", "ended_utc": "2999-01-01T00:00:00+00:00"}
    path = tmp_path / "r.json"
    path.write_text(json.dumps(tree))
    assert import_results(store, load_results(path).results)
    assert store.clock_note() is None


def test_a_strange_name_moves_no_cursor(store: Store, marked_exam: Sitting, tmp_path: Path) -> None:
    """A nickname with control characters is refused, and a key with them is told on one short line."""
    good = json.loads(handed_in_text(store, marked_exam))
    path = tmp_path / "r.json"
    for change in ({"nickname": "a\x1b[2Jb"}, {"nickname": "a\nb"}, {"k\n" * 9000: 1}):
        path.write_text(json.dumps(good | {"results": good["results"] | change}))
        with pytest.raises(StoreProblem) as told:
            load_results(path)
        assert str(told.value).isprintable()
        assert len(str(told.value)) < 400


def test_unsettled_item_of_yesterday(store: Store) -> None:
    """An item left unsettled yesterday is reviewed today like any other."""
    wen = store.person("Wen")
    first = review(store, wen, "p1", "can", 1, date(2031, 3, 1)).progress
    second = review(store, wen, "p1", "can", 3, date(2031, 3, 2)).progress
    assert second == memory.reviewed(first, 3, 1)
    assert not second.again_today


def test_history(store: Store, marked_exam: Sitting) -> None:
    """Marked answers come back with their codes and confidence; unmarked ones and other people's do not."""
    other = store.begin(store.person("Priya"), "lesson", "cold-start")
    store.mark(store.answer(other, StoredAnswer("p", "x")), StoredMarks(1.0, 1.0, "x", codes=("7.2",)))
    assert scored(store, marked_exam.person) == [Scored(("16.3",), 1.0), Scored((), 0.0)]
    assert said(store, marked_exam.person) == [Said(2, True), Said(2, False)]
    assert said(store, other.person) == []


@pytest.mark.parametrize("bad", ["=1+1", "+cmd", "-x", "@SUM(A1)", "\t=1", "  =1", "＝1", "=-3.2"])
def test_formulas_are_neutralised(bad: str) -> None:
    """Cells that a spreadsheet would run get an apostrophe in front (common practice list)."""
    assert cell_text(bad) == "'" + bad


@pytest.mark.parametrize("good", ["-3.2", "+4", "-0,83", "1e-5", "a=b", "", 3.5, -2])
def test_plain_cells_stay(good: object) -> None:
    """Numbers and plain words stay as they are."""
    assert cell_text(good) == str(good)


def test_csv(store: Store, tmp_path: Path) -> None:
    """The table of answers is read back by Python's csv, with injected formulas as plain text."""
    person = store.person('=HYPERLINK("http://x")')
    lesson = store.begin(person, "lesson", "cold-start", seed=3)
    store.mark(
        store.answer(lesson, StoredAnswer("p1", 'a "b",\nc', 2, 1.5)), StoredMarks(0.5, 2.0, "k", slip="unit")
    )
    store.answer(lesson, StoredAnswer("p2", "@SUM(A1)"))
    write_csv(answers_csv(store, person), tmp_path / "out" / "a.csv")
    text = (tmp_path / "out" / "a.csv").read_bytes().decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["given"] for row in rows] == ['a "b",\nc', "'@SUM(A1)"]
    assert rows[0]["nickname"] == '\'=HYPERLINK("http://x")'
    assert (rows[0]["share"], rows[0]["slip"], rows[1]["share"]) == ("0.5", "unit", "")
    assert len(answers_csv(store).splitlines()) == 4
    assert answers_csv(store, 99).count("\r\n") == 1


def test_csv_to_nowhere(tmp_path: Path) -> None:
    """A table that cannot be written is one line."""
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreProblem, match="file"):
        write_csv("a", tmp_path / "file" / "a.csv")


def exported(store: Store, sitting: Sitting, path: Path) -> Path:
    """The results file of a sitting, with its marks and the proof of this computer."""
    path.write_text(marked_text(results_of(store, sitting), path.parent), encoding="utf-8")
    return path


def test_results_travel(store: Store, marked_exam: Sitting, tmp_path: Path) -> None:
    """A results file entered in another store gives the same answers and marks, and only once."""
    path = exported(store, marked_exam, tmp_path / "r.json")
    with Store(tmp_path / "teacher" / "s.sqlite3") as teacher:
        teacher.person("Wen")
        results = load_results(path, desk=tmp_path).results
        assert import_results(teacher, results) is True
        assert import_results(teacher, results) is False
        assert list(teacher.people().values()) == ["Wen", "Wen"]
        there = teacher.answers(teacher.sitting(1))
        here = store.answers(marked_exam)
        assert [one.given for one in there] == [one.given for one in here]
        assert [one.mark for one in there] == [one.mark for one in here]
        assert results_of(teacher, teacher.sitting(1)) == results


def test_marks_count_only_where_they_were_made(store: Store, marked_exam: Sitting, tmp_path: Path) -> None:
    """Any one field altered, or read on another computer: the marks of an exam are left out."""
    path = exported(store, marked_exam, tmp_path / "r.json")
    assert load_results(path, desk=tmp_path).marked_here
    assert all(item.mark is None for item in load_results(path).results.items)
    whole = path.read_text(encoding="utf-8")
    for old, new in (
        ('"share":0.0', '"share":1.0'),
        ('"nickname":"Wen"', '"nickname":"Ben"'),
        ('"given":"given 2"', '"given":"given 1"'),
        ('"out_of":2.0', '"out_of":9.0'),
        ('"seed":7', '"seed":8'),
        ('"slip":"unit"', '"slip":null'),
    ):
        old, new = old.replace('":', '": '), new.replace('":', '": ')
        assert old in whole
        path.write_text(whole.replace(old, new, 1), encoding="utf-8")
        read = load_results(path, desk=tmp_path)
        assert not read.checked
        assert all(item.mark is None for item in read.results.items)


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "JSON"),
        (b'{"results_format": 2', "JSON"),
        (b"[" * 100_000, "JSON"),
        (b"\xff\xfe\x00", "JSON"),
        (b'{"results_format": 3}', "results_format"),
        (b'{"results_format": 2, "results": {}}', "results.origin"),
        (b" " * 5_000_001, "larger"),
    ],
)
def test_bad_results_file(tmp_path: Path, content: bytes, told: str) -> None:
    """What is no results file is told in one line that names the place."""
    path = tmp_path / "r.json"
    path.write_bytes(content)
    with pytest.raises(StoreProblem, match=told) as caught:
        load_results(path)
    assert "\n" not in str(caught.value)


def test_marks_beyond_full_are_refused(store: Store, marked_exam: Sitting, tmp_path: Path) -> None:
    """A share above 1 or an unknown key in a results file is refused, with the item named."""
    path = exported(store, marked_exam, tmp_path / "r.json")
    data = json.loads(path.read_text(encoding="utf-8"))
    data["results"]["items"][1]["mark"]["share"] = 3.0
    path.write_text(json.dumps(data), encoding="utf-8")
    with pytest.raises(StoreProblem, match=r"results\.items\.1\.mark\.share"):
        load_results(path)


def test_missing_results_file(tmp_path: Path) -> None:
    """A file that is not there is one line."""
    with pytest.raises(StoreProblem, match=r"none\.json: No such file or directory$"):
        load_results(tmp_path / "none.json")


def test_handed_in(store: Store, marked_exam: Sitting) -> None:
    """A class report takes the sittings of one paper that were handed in, and no others."""
    store.begin(marked_exam.person, "exam", "cold-start")
    other = store.begin(marked_exam.person, "exam", "other")
    store.end(other)
    assert [one.id for one in store.handed_in("cold-start")] == [marked_exam.id]
    assert results_of(store, marked_exam).nickname == "Wen"


def test_cards_of_an_older_store(tmp_path: Path) -> None:
    """A card of version 3 keeps its day: the wait becomes the stability, an easy factor a low difficulty."""
    path = tmp_path / "old.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as old:
        old.create_function("identity_of", 1, str, deterministic=True)
        for statement in (*VERSION_1, *VERSION_2, *VERSION_3):
            old.execute(statement)
        old.execute("INSERT INTO people (id, nickname, identity, made_utc) VALUES (1, 'Wen', 'wen', '')")
        for item, factor, wait in (("easy", 2.8, 40), ("hard", 1.3, 3)):
            old.execute(
                "INSERT INTO cards VALUES (1, ?, 'can', ?, 2, ?, 0, '2031-03-01')", (item, factor, wait)
            )
        old.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        old.execute("PRAGMA user_version = 3")
    with Store(path) as store:
        easy, hard = cards_of(store, 1)
    assert (easy.progress.stability, easy.progress.wait_days) == (40.0, 40)
    assert (hard.progress.stability, hard.progress.wait_days) == (3.0, 3)
    assert (easy.progress.difficulty, hard.progress.difficulty) == pytest.approx((1.0, 10.0))
    assert due_day(easy.card) == date(2031, 4, 10)
