"""`glasscan study` and `glasscan results`."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest
from glasscan.cli.talk import Talk
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.store.connection import store_path
from glasscan.learning.store.rows import StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store

from tests.cli.conftest import TOP, Cli, Said
from tests.cli.exam_files import rows, scenario, table, typed

pytestmark = pytest.mark.usefixtures("run_once")

GUESS, FOUR, WHO = "oil-morning/guess", "oil-morning/at-four", "oil-morning/who"
ITEMS = [FOUR, WHO, GUESS]
"""In the order of the file; the guess is asked first all the same, since it comes before the run."""


def study(cli: Cli, folder: Path, *more: str) -> Said:
    """Study the short scenario; the store is in the folder."""
    return cli("study", scenario(folder), "--data-dir", str(folder / "data"), *more)


def listed(cli: Cli, folder: Path) -> dict[str, object]:
    """The lists as JSON."""
    told: dict[str, object] = json.loads(study(cli, folder, "--json").out)
    return told


def test_lists_of_a_new_learner(cli: Cli, tmp_path: Path) -> None:
    """Nothing is due, everything is new, nothing is weak; asking for lists enters nobody."""
    told = listed(cli, tmp_path)
    assert (told["due"], told["new"], told["weak_codes"]) == ([], ITEMS, [])
    assert rows(tmp_path / "data", "SELECT * FROM people") == []
    assert study(cli, tmp_path, "--list").out.splitlines()[:2] == ["Due today: 0", "New: 3"]


def test_all_shipped_lessons_are_offered(cli: Cli, tmp_path: Path) -> None:
    """Without a name every prompt of every shipped scenario is on the list."""
    told = json.loads(cli("study", "--json", "--data-dir", str(tmp_path)).out)
    shipped = {f"{name}/{p.id}" for name in scenario_names() for p in load_scenario(name).prompts}
    assert set(told["new"]) == shipped != set()


def test_a_session_from_question_to_next_review(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three answers are kept, marked against the run; wrong comes again today, sure later than unsure.

    Waits: first stabilities of the library `fsrs`, 8.2956 d for "easy", 2.3065 d for "good", at least one.
    """
    typed(monkeypatch, "opens", "3", "0", "1", "zz", "cracked", "2")
    said = study(cli, tmp_path, "--seed", "7")
    assert said.code == 0
    order = [said.out.index(text) for text in ("Will the valve open?", "The run:", "at 4 s?", "What did the")]
    assert order == sorted(order)  # the prediction before the run, the readings before the rest
    assert said.out.count("kept: ") == 3
    assert "found 'zz'" in said.out
    shares = dict(
        rows(tmp_path / "data", "SELECT prompt, share FROM answers JOIN marks ON answer = answers.id")
    )
    assert shares == {GUESS: 1.0, FOUR: 0.0, WHO: 1.0}
    cards = {r[0]: r[1:] for r in rows(tmp_path / "data", "SELECT item, wait_days, again_today FROM cards")}
    assert cards == {GUESS: (8, 0), FOUR: (1, 1), WHO: (2, 0)}
    assert rows(tmp_path / "data", "SELECT ended_utc IS NULL, seed FROM sittings") == [(0, 7)]


def test_what_failed_is_due_the_same_day_and_the_rest_tomorrow(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The item answered wrong is on today's list; those answered right are not."""
    typed(monkeypatch, "opens", "3", "0", "1", "cracked", "2")
    study(cli, tmp_path, "--seed", "7")
    told = listed(cli, tmp_path)
    assert (told["due"], told["new"]) == ([FOUR], [])


def test_calibration_counts_what_was_said(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One right at level 3, one wrong at level 1, one without a level: the table has just these."""
    typed(monkeypatch, "opens", "3", "0", "1", "cracked", "")
    study(cli, tmp_path)
    said = listed(cli, tmp_path)["calibration"]
    assert [(c["answers"], c["share"]) for c in said] == [(1, 0.0), (0, None), (1, 1.0)]  # type: ignore[attr-defined]


def test_weak_codes_lead_to_lessons(cli: Cli, tmp_path: Path) -> None:
    """Three poor answers with a code of the scenario make it weak; the scenario is the lesson for it."""
    path = Path(scenario(tmp_path))
    text = path.read_text().replace("filter: can", "codes: [p66-16-9]\nfilter: can")
    path.write_text(text)
    with Store(store_path(tmp_path / "data")) as store:
        person = store.person("me")
        sitting = store.begin(person, "practice", "x")
        for n in range(3):
            store.mark(
                store.answer(sitting, StoredAnswer(f"p{n}", "1")),
                StoredMarks(0.5, 1.0, "k", codes=("p66-16-9",)),
            )
        store.end(sitting)
    told = json.loads(cli("study", str(path), "--data-dir", str(tmp_path / "data"), "--json").out)
    assert [(w["code"], w["share"], w["lessons"]) for w in told["weak_codes"]] == [
        ("p66-16-9", 0.5, ["oil-morning"])
    ]
    assert told["lessons"] == ["oil-morning"]


def test_an_exam_brings_items_up_earlier(cli: Cli, tmp_path: Path) -> None:
    """With an exam in 30 days an item that would be forgotten by then is due after half of them."""
    today = date.today()
    with Store(store_path(tmp_path / "data")) as store, store.writing() as db:
        db.execute("INSERT INTO people (id, nickname, identity, made_utc) VALUES (1, 'me', 'me', '')")
        day = (today - timedelta(days=15)).isoformat()
        values = (1, FOUR, "can", 40, 0, day, 40.0, 5.0)
        db.execute("INSERT INTO cards VALUES (?, ?, ?, ?, ?, ?, ?, ?)", values)
    assert listed(cli, tmp_path)["due"] == []
    soon = (today + timedelta(days=15)).isoformat()  # 30 days after the review: half of it is over today
    told = json.loads(study(cli, tmp_path, "--json", "--exam-on", soon).out)
    assert told["due"] == [FOUR]
    assert 0.9 / 3 < told["exam_recall"] < 0.95 / 3  # of three questions one was answered
    line = study(cli, tmp_path, "--list", "--exam-on", soon).out
    assert f"Known on the day of the exam if you stop now: {told['exam_recall']:.0%}" in line


def test_the_path_of_the_first_day(cli: Cli, tmp_path: Path) -> None:
    """It starts with an easy lesson on the spin-on filter; a filter, a code and a level narrow it."""
    here = ("--data-dir", str(tmp_path))
    new = json.loads(cli("study", "--json", *here).out)["new"]
    way = [load_scenario(name) for name in dict.fromkeys(item.partition("/")[0] for item in new)]
    assert way[0].filter.startswith("can")
    assert [s.level for s in way] == sorted(s.level for s in way)
    first = cli("study", "--list", *here).out.splitlines()[2]
    assert way[0].title in first
    assert "level 1" in first
    few = json.loads(
        cli("study", "--json", "--filter", "disc", "--code", "p66-11-11", "--level", "3", *here).out
    )
    assert {item.partition("/")[0] for item in few["new"]} == {"red-button"}
    none = cli("study", "--json", "--code", "no-such", *here)
    assert (none.code, none.out) == (2, "")
    assert "none has this filter" in none.err[0]


def test_cut_off_after_keeping_and_settled_later(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the input ends before the run the prediction is kept unmarked, and marked by the next session."""
    typed(monkeypatch, "opens", "3")
    assert study(cli, tmp_path, "--seed", "7").code == 130
    assert rows(tmp_path / "data", "SELECT given FROM answers") == [("opens",)]
    with Store(store_path(tmp_path / "data")) as store, store.writing() as db:
        db.execute("DELETE FROM marks")
        db.execute("DELETE FROM cards")
    typed(monkeypatch, "")
    said = study(cli, tmp_path)
    assert "marked 1 kept answers of a session that was cut off" in said.out
    assert rows(tmp_path / "data", "SELECT share FROM marks") == [(1.0,)]
    assert rows(tmp_path / "data", "SELECT item FROM cards") == [(GUESS,)]


def test_kept_on_the_disk_before_it_is_said(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the moment 'kept' is said, another connection reads the answer in the file."""
    found: list[list[tuple[object, ...]]] = []
    real = Talk.say

    def watched(self: Talk, *lines: str) -> None:
        if lines and lines[0].startswith("kept: "):
            found.append(rows(tmp_path / "data", "SELECT given FROM answers"))
        real(self, *lines)

    monkeypatch.setattr(Talk, "say", watched)
    typed(monkeypatch, "opens", "", "", "")
    study(cli, tmp_path)
    assert found == [[("opens",)]]


def test_stopped_from_the_keyboard(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C at a question: 130, the answer before it is in the file, and no traceback."""
    real = Talk.ask

    def pressed(self: Talk, prompt: str) -> str:
        if rows(tmp_path / "data", "SELECT 1 FROM answers"):
            raise KeyboardInterrupt
        return real(self, prompt)

    monkeypatch.setattr(Talk, "ask", pressed)
    typed(monkeypatch, "shut", "1")
    said = study(cli, tmp_path)
    assert (said.code, said.err) == (130, ())
    assert "stopped: every answer that was acknowledged is kept" in said.out
    assert rows(tmp_path / "data", "SELECT given, confidence FROM answers") == [("shut", 1)]


def test_a_closed_pipe_is_no_fault(tmp_path: Path) -> None:
    """A reader that goes away ends the lists quietly."""
    code = "import sys, glasscan.cli.main; raise SystemExit(glasscan.cli.main.main(sys.argv[1:]))"
    words = ["study", scenario(tmp_path), "--list", "--data-dir", str(tmp_path / "d")]
    with subprocess.Popen(
        [sys.executable, "-c", code, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=TOP
    ) as process:
        assert process.stdout
        assert process.stderr
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(60) == 0


@pytest.fixture
def two_people(tmp_path: Path) -> Path:
    """Ann and Bo with one answer each."""
    with Store(store_path(tmp_path)) as store:
        for who in ("Ann", "Bo"):
            sitting = store.begin(store.person(who), "practice", "x")
            store.answer(sitting, StoredAnswer("p1", f"=word of {who}"))
    return tmp_path


def test_list_and_export(cli: Cli, two_people: Path) -> None:
    """The list counts; the table has everyone, or one person, and no cell that a spreadsheet would run."""
    told = json.loads(cli("results", "list", "--data-dir", str(two_people), "--json").out)
    assert told["people"][0] == {"nickname": "Ann", "sittings": 1, "answers": 1, "cases": 0}
    out = two_people / "new" / "all.csv"
    assert cli("results", "export", "--data-dir", str(two_people), "--out", str(out)).code == 0
    read = table(out)
    assert [(r["nickname"], r["given"]) for r in read] == [("Ann", "'=word of Ann"), ("Bo", "'=word of Bo")]
    cli("results", "export", "--data-dir", str(two_people), "--who", "BO", "--out", str(out))
    assert [r["nickname"] for r in table(out)] == ["Bo"]


def test_delete_leaves_no_bytes(cli: Cli, two_people: Path) -> None:
    """After deletion no file of the store has a byte of Ann, and Bo is as before."""
    words = ("results", "delete", "--who", "ann", "--data-dir", str(two_people))
    assert cli(*words, "--yes").code == 0
    stored = b"".join(p.read_bytes() for p in two_people.glob("results.sqlite3*"))
    assert b"word of Ann" not in stored
    assert b"word of Bo" in stored
    assert cli(*words, "--yes").code == 2


def test_delete_asks_first(cli: Cli, two_people: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without --yes and without a terminal nothing is deleted; on a terminal only 'yes' deletes."""
    words = ("results", "delete", "--who", "Ann", "--data-dir", str(two_people))
    typed(monkeypatch, "yes")
    said = cli(*words)
    assert (said.code, said.err) == (2, ("results delete: expected --yes, or an answer on a terminal",))
    for answer, code in (("no", 2), ("yes", 0)):
        typed(monkeypatch, answer)
        monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
        assert cli(*words).code == code


def test_nobody_of_that_name(cli: Cli, two_people: Path) -> None:
    """An unknown nickname is one line with the nearest one; nobody is entered by asking."""
    said = cli("results", "delete", "--who", "Anne", "--yes", "--data-dir", str(two_people))
    assert (said.code, len(said.err)) == (2, 1)
    assert "(did you mean 'Ann'?)" in said.err[0]
    assert len(json.loads(cli("results", "list", "--data-dir", str(two_people), "--json").out)["people"]) == 2


def test_no_store_is_made_by_asking(cli: Cli, tmp_path: Path) -> None:
    """Listing a folder without a store says so and makes none."""
    said = cli("results", "list", "--data-dir", str(tmp_path / "none"))
    assert (said.code, len(said.err)) == (2, 1)
    assert not (tmp_path / "none").exists()
