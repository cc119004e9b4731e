"""A diagnosed case in the results store: once, whole, and out again as table, results file and class report.

No outside number: the store is read with the standard library's SQLite, the score is that of the review.
"""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from glasscan.learning.cases import enter_result
from glasscan.learning.cases.case_play import Case, CaseEntry
from glasscan.learning.cases.enter_result import CODES, PROMPT, enter, paper_of
from glasscan.learning.scoring.case import CaseScore
from glasscan.learning.store.csv_export import answers_csv
from glasscan.learning.store.erasing import delete_person
from glasscan.learning.store.history_report import cases_of, told_of
from glasscan.learning.store.import_sitting import owner
from glasscan.learning.store.results_files import file_text, import_results, load_results, results_of
from glasscan.learning.store.store import Store
from glasscan.learning.syllabus import codes
from glasscan.reports.classroom.gathering import gather
from glasscan.reports.classroom.report import class_report

TOP = Path(__file__).parents[3]
SALT = "0123456789abcdef" * 2


def over(verdict: str = "F06", salt: str = SALT, unsafe: str = "") -> Case:
    """A case that is over."""
    entries = [CaseEntry("hypothesis", ("F06",)), CaseEntry("test", ("read-log",), (0.0,) * 5)]
    entries.append(CaseEntry("unsafe", (unsafe,)) if unsafe else CaseEntry("verdict", (verdict,)))
    return Case(7, "can", 2, salt, "0" * 64, entries, ended="verdict", spent_s=240.0)


def review(score: float = 0.82, gates: tuple[str, ...] = ()) -> SimpleNamespace:
    """What the review tells, without working a case out."""
    return SimpleNamespace(
        hidden=SimpleNamespace(code="F06"), score=CaseScore(score, {"correct": 0.5, "cost": 0.12}, gates)
    )


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """A new store, closed by the system."""
    return Store(tmp_path / "results.sqlite3")


def test_what_when_score_time_and_level(store: Store) -> None:
    """One line of the person tells all of it; the codes are lines of the syllabus."""
    assert enter(store, "Wen", over(), review())
    (told,) = told_of(store, store.person("wen"))
    assert (told.paper, told.seed, told.share, told.spent_s) == ("case-can-7-level-2", 7, 0.82, 240.0)
    assert told.ended_utc is not None
    assert told.begun_utc < told.ended_utc
    assert told.said == "F06 Element clogged; 1 test, 5 min"
    assert "82 of 100" in told.line
    assert "4 min" in told.line
    assert set(CODES) <= set(codes())


def test_a_case_counts_once(store: Store) -> None:
    """Looked at again, entered under another name, or played again from its record: still one sitting."""
    assert enter(store, "Wen", over(), review())
    assert not enter(store, "Wen", over(), review())
    assert not enter(store, "Priya", over("F12"), review())
    replayed = over()
    replayed.replayed, replayed.salt = True, "f" * 32
    assert not enter(store, "Wen", replayed, review())
    assert owner(store, SALT) == "Wen"
    assert len(store.rows("SELECT * FROM sittings")) == len(store.rows("SELECT * FROM marks")) == 1


STRUCK = """
import os, pathlib, signal, sys
from glasscan.learning.cases.enter_result import enter
from glasscan.learning.store import import_sitting
from glasscan.learning.store.store import Store
from tests.learning.cases.test_entering import over, review

path, after = sys.argv[1:]
name = "put_answer" if after == "sitting" else "put_mark"
real = getattr(import_sitting, name)

def struck(*args):
    if after == "mark":
        real(*args)
    os.kill(os.getpid(), signal.SIGKILL)

setattr(import_sitting, name, struck)
enter(Store(pathlib.Path(path)), "Wen", over(), review())
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a kill that nothing survives")
@pytest.mark.parametrize("after", ["sitting", "answer", "mark"])
def test_a_kill_in_the_middle_leaves_all_or_nothing(store: Store, after: str) -> None:
    """Killed between its rows: no half sitting is there, and the case is entered when it is tried again.

    In a program of its own: a forked copy of the tests would go on as a second tester where it fails.
    """
    store.person("Wen")
    store.close()
    words = [sys.executable, "-c", STRUCK, str(store.path), after]
    done = subprocess.run(words, cwd=TOP, capture_output=True, text=True, timeout=60)
    assert done.returncode == -signal.SIGKILL, done.stderr
    db = sqlite3.connect(store.path)
    counts = [db.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in ("sittings", "answers", "marks")]
    db.close()
    assert counts == [0, 0, 0]
    with Store(store.path) as again:
        assert enter(again, "Wen", over(), review())
        assert owner(again, SALT) == "Wen"


def test_out_and_in_again(store: Store, tmp_path: Path) -> None:
    """Table, results file, another computer's store, class report: score and time come through, once."""
    enter(store, "Wen", over(), review())
    assert "case-can-7-level-2,7,verdict,F06 Element clogged; 1 test" in answers_csv(store).replace('"', "")
    (sitting,) = cases_of(store, store.person("Wen"))
    path = tmp_path / "wen.json"
    path.write_text(file_text(results_of(store, sitting)), encoding="utf-8")
    loaded = load_results(path).results
    with Store(tmp_path / "other.sqlite3") as other:
        assert import_results(other, loaded)
        assert not import_results(other, loaded)
        assert owner(other, SALT) == "Wen"
    priya = loaded.model_copy(update={"nickname": "Priya", "sitting": "e" * 32})
    report = class_report(gather([loaded, priya]))
    assert report.table.paper == paper_of(over())
    assert report.table.prompts == (PROMPT,)
    assert list(report.table.totals) == [0.82, 0.82]
    assert report.passed == (True, True)


def test_an_unsafe_end_is_a_gate(store: Store, tmp_path: Path) -> None:
    """No marks, and the reason goes with the results file and through another store as a gate."""
    gate = "the system was opened under pressure"
    enter(store, "Wen", over(unsafe=gate), review(0.0, (gate,)))
    (sitting,) = cases_of(store, store.person("Wen"))
    path = tmp_path / "wen.json"
    path.write_text(file_text(results_of(store, sitting)), encoding="utf-8")
    loaded = load_results(path).results
    assert gate in loaded.items[0].mark.gates[0]  # type: ignore[union-attr]
    with Store(tmp_path / "other.sqlite3") as other:
        import_results(other, loaded)
        again = file_text(results_of(other, other.handed_in(paper_of(over()))[0]))
    assert gate in again
    assert loaded.items[0].mark.share == 0.0  # type: ignore[union-attr]


def test_deleted_means_gone(store: Store) -> None:
    """A person who is deleted takes the cases along."""
    enter(store, "Wen", over(), review())
    delete_person(store, store.person("Wen"))
    assert owner(store, SALT) is None


def test_a_store_from_before_takes_cases(tmp_path: Path) -> None:
    """The tables are those of the version before: an older program still opens the file."""
    with Store(tmp_path / "s.sqlite3") as store:
        before = store.rows("PRAGMA user_version")[0][0]
        enter(store, "Wen", over(), review())
        assert store.rows("PRAGMA user_version")[0][0] == before == 4


def test_titles_of_what_is_no_fault() -> None:
    """An honest "cannot tell yet" and two faults at once are told in words."""
    assert enter_result._titled("cannot-tell") == "cannot tell"
    assert enter_result._titled("F01+F06") == "F01+F06 Bypass valve stuck shut and Element clogged"
