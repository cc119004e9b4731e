"""`glasscan exam` and `glasscan class`, from the paper to the page of the class."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from glasscan.cli.main import main
from glasscan.cli.talk import IN_THE_OPEN
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.store.results_files import load_results, marked_text

from tests.cli.conftest import TOP, Cli, Said
from tests.cli.exam_files import SECRET, make_words, rows, scenario, table, typed

REST = ("--seed", "1", "--minutes", "5", "--out", "p")
"""What `exam make` needs besides the scenarios."""

pytestmark = pytest.mark.usefixtures("run_once")

KEY_WORDS = ("true_when", "bypass-cracks", "Cold oil is thick", "inlet minus outlet", '"key"', '"share"')
"""What a key could be read or worked out from, and what only a mark has."""


@pytest.fixture
def sealing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pass-phrase stands in the environment."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)


@pytest.fixture
def paper(cli: Cli, tmp_path: Path) -> Path:
    """A paper that is not sealed."""
    assert cli(*make_words(tmp_path, tmp_path / "paper.json")).code == 0
    return tmp_path / "paper.json"


@pytest.fixture
def sealed(cli: Cli, tmp_path: Path, sealing: None) -> Path:  # noqa: ARG001 - a fixture for its effect
    """A sealed paper; its start word stands beside it, for `sit`."""
    told = cli(*make_words(tmp_path, tmp_path / "sealed.json", "--seal", "--json"))
    assert told.code == 0
    (tmp_path / "sealed.word").write_text(json.loads(told.out)["start_word"])
    return tmp_path / "sealed.json"


def opening(paper: Path) -> list[str]:
    """What is typed first: the start word where the paper is sealed, and Enter for the clock."""
    word = paper.with_suffix(".word")
    return [word.read_text(), ""] if word.is_file() else [""]


def sit(cli: Cli, monkeypatch: pytest.MonkeyPatch, paper: Path, who: str, *lines: str) -> Said:
    """Sit a paper in its folder; the results file is WHO.results.json."""
    typed(monkeypatch, *opening(paper), *lines)
    folder = paper.parent
    out = folder / "handed" / f"{who}.results.json"
    return cli(
        "exam", "sit", str(paper), "--who", who, "--data-dir", str(folder / who), "--out", str(out), "--json"
    )


def mark(cli: Cli, paper: Path, *names: str) -> Said:
    """Mark results files of a paper's folder."""
    files = [str(paper.parent / "handed" / f"{name}.results.json") for name in names]
    out = str(paper.parent / "marked")
    return cli("exam", "mark", str(paper), *files, "--out", out, "--data-dir", str(paper.parent), "--json")


def marked_file(paper: Path, name: str) -> Path:
    """The marked results of a person."""
    return next((paper.parent / "marked").glob(f"{name}-*.marked.json"))


def key_of(paper: Path, cli: Cli, monkeypatch: pytest.MonkeyPatch) -> str:
    """The key of the first question, learnt by sitting and marking the paper."""
    assert sit(cli, monkeypatch, paper, "Probe", "1", "cracked", "yes").code == 0
    assert mark(cli, paper, "Probe").code == 0
    items = json.loads(marked_file(paper, "Probe").read_text())["results"]["items"]
    return str(items[0]["mark"]["key"])


def test_from_paper_to_class(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path) -> None:
    """Three sit a sealed paper, are marked with digests checked, and stand on one page and two tables."""
    number = key_of(sealed, cli, monkeypatch).removesuffix(" kPa")
    assert json.loads(sit(cli, monkeypatch, sealed, "Ann", number, "cracked", "yes").out)["answered"] == 2
    sit(cli, monkeypatch, sealed, "Bo", number, "seated", "yes")
    sit(cli, monkeypatch, sealed, "Cy", "", "other", "yes")
    said = mark(cli, sealed, "Ann", "Bo", "Cy")
    found = {row["nickname"]: row for row in json.loads(said.out)["results"]}
    assert {name: row["marks"] for name, row in found.items()} == {"Ann": 3.0, "Bo": 2.0, "Cy": 0.0}
    assert [row["passed"] for row in found.values()] == [True, False, False]  # 3, 2 and 0 of 3 at 75 %
    assert all(row["digest_checked"] for row in found.values())
    files = [str(marked_file(sealed, name)) for name in ("Ann", "Bo", "Cy")]
    out, home = tmp_path / "class", ("--data-dir", str(tmp_path))
    told = json.loads(cli("class", *files, "--out", str(out), "--paper", str(sealed), *home, "--json").out)
    assert (told["bad_files"], [r["digest_checked"] for r in told["results"]]) == (0, [True] * 3)
    people = table(out / "people.csv")
    assert [(p["nickname"], float(p["score"])) for p in people] == [
        ("Ann", 1.0), ("Bo", pytest.approx(2 / 3, abs=1e-4)), ("Cy", 0.0),
    ]  # fmt: skip
    items = {i["question"]: i for i in table(out / "items.csv")}
    assert float(items["oil-morning/at-four"]["facility"]) == pytest.approx(2 / 3, abs=1e-4)
    assert items["oil-morning/at-four"]["not given"] == "1"
    page = (out / "class.html").read_text(encoding="utf-8")
    assert "marked on this computer: Ann-" in page
    assert _cells(page, "cracked") == ["oil-morning/who", "cracked", "key", "33", ""]
    assert _cells(page, "other") == ["oil-morning/who", "other", "", "33", ""]


class _Rows(HTMLParser):
    """Rows of all tables as texts."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:  # noqa: ARG002 - the parser's signature
        """Begin a row or a cell."""
        if tag == "tr":
            self.rows.append([])
        elif tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        """What follows a table is no cell of it."""
        if tag == "table":
            self.rows.append([])

    def handle_data(self, data: str) -> None:
        """Text of a cell."""
        if self.rows and self.rows[-1]:
            self.rows[-1][-1] += data.strip()


def _cells(page: str, second: str) -> list[str]:
    parser = _Rows()
    parser.feed(page)
    return next(row for row in parser.rows if row[1:2] == [second])


def test_the_seed_picks_the_variant(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One seed gives the same bytes twice; among five seeds questions differ, and so do their keys."""
    texts = {}
    for seed in range(5):
        cli(*make_words(tmp_path, tmp_path / f"p{seed}.json", seed=seed))
        texts[seed] = json.loads((tmp_path / f"p{seed}.json").read_text())["questions"]["questions"][0]
    cli(*make_words(tmp_path, tmp_path / "again.json", seed=3))
    assert (tmp_path / "again.json").read_bytes() == (tmp_path / "p3.json").read_bytes()
    asked = {seed: text["asked"]["text"] for seed, text in texts.items()}
    one, other = next((a, b) for a in asked for b in asked if asked[a] != asked[b])
    keys = []
    for seed in (one, other):
        (tmp_path / str(seed)).mkdir()
        moved = (tmp_path / f"p{seed}.json").rename(tmp_path / str(seed) / "paper.json")
        keys.append(key_of(moved, cli, monkeypatch))
    assert keys[0] != keys[1]


def test_no_key_in_any_file_before_marking(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """Paper, results file and every byte of the store hold no key; after marking the marked file does."""
    number = key_of(sealed, cli, monkeypatch)
    sit(cli, monkeypatch, sealed, "Ann", "1", "seated", "yes")
    files = [sealed, tmp_path / "handed" / "Ann.results.json", *(tmp_path / "Ann").rglob("*")]
    texts = {path.name: path.read_bytes() for path in files if path.is_file()}
    assert {"sealed.json", "Ann.results.json", "results.sqlite3"} <= set(texts)
    found = [(n, w) for n, text in texts.items() for w in (*KEY_WORDS, number) if w.encode() in text]
    assert found == []
    mark(cli, sealed, "Ann")
    assert number in marked_file(sealed, "Ann").read_text()


def test_no_key_in_the_memory_of_the_sitting(cli: Cli, monkeypatch: pytest.MonkeyPatch, sealed: Path) -> None:
    """While someone sits, no scenario with its keys is made into a record, and no run is worked out."""

    def refused(*_: object, **__: object) -> None:
        raise AssertionError("a sitting needs no scenario")

    monkeypatch.setattr(Scenario, "model_validate_json", refused)
    monkeypatch.setattr("glasscan.learning.exam.paper.read_sources", refused)
    monkeypatch.setattr("glasscan.rig.runner.run", refused)
    assert sit(cli, monkeypatch, sealed, "Ann", "1", "seated", "yes").code == 0


@pytest.mark.parametrize("action", ["sit", "mark", "class"])
def test_a_wrong_secret_is_one_line(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path, action: str
) -> None:
    """Another start word or pass-phrase opens nothing: exit code 2, one line, nothing on standard output."""
    sit(cli, monkeypatch, sealed, "Ann", "1", "seated", "yes")
    handed = tmp_path / "handed" / "Ann.results.json"
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", "another phrase")
    typed(monkeypatch, "another-start-word")
    home = ("--data-dir", str(tmp_path))
    words = {
        "sit": ("exam", "sit", str(sealed), "--who", "Bo", "--data-dir", str(tmp_path / "bo")),
        "mark": ("exam", "mark", str(sealed), str(handed), "--out", str(tmp_path / "m"), *home),
        "class": ("class", str(handed), "--out", str(tmp_path / "c"), "--paper", str(sealed), *home),
    }
    said = cli(*words[action])
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert "another secret opens it" in said.err[0]


def test_no_secret_at_hand(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path) -> None:
    """Without a terminal one line says where the pass-phrase is expected; no option takes a secret."""
    sit(cli, monkeypatch, sealed, "Ann", "1", "seated", "yes")
    monkeypatch.delenv("GLASSCAN_PASSPHRASE")
    typed(monkeypatch)
    said = mark(cli, sealed, "Ann")
    assert (said.code, len(said.err)) == (2, 1)
    assert "GLASSCAN_PASSPHRASE" in said.err[0]
    said = cli("exam", "sit", str(sealed), "--who", "Bo", "--data-dir", str(tmp_path / "bo"))
    assert (said.code, said.err) == (2, ("start word: none was typed",))
    said = cli("exam", "sit", str(sealed), "--who", "Bo", "--passphrase", SECRET)
    assert (said.code, said.err) == (
        2, ("glasscan exam sit: unknown argument '--passphrase' (see glasscan exam sit --help)",),
    )  # fmt: skip


def test_a_pass_phrase_in_the_environment_is_told(
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    sealing: None,  # noqa: ARG001 - a fixture for its effect
) -> None:
    """Whoever keeps the pass-phrase where other programs can read it is told so."""
    main(make_words(tmp_path, tmp_path / "p.json", "--seal"))
    assert IN_THE_OPEN in capsys.readouterr().err


def test_a_short_pass_phrase_is_refused(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pass-phrase of seven letters makes no seal, and no file."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", "1234567")
    said = cli(*make_words(tmp_path, tmp_path / "p.json", "--seal"))
    assert (said.code, said.err[-1]) == (2, "pass-phrase: expected 8 characters or more")
    assert not (tmp_path / "p.json").exists()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"share": 0.0', '"share": 1.0'),
        ('"given": "1"', '"given": "2"'),
        ('"nickname": "Ann"', '"nickname": "Zed"'),
        ('"marked_here": "', '"marked_here": "0'),
    ],
)
def test_an_altered_marked_file_is_seen(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path, old: str, new: str
) -> None:
    """A changed mark, answer, name or proof: one line names the file, the others count, and the code is 2."""
    for who in ("Ann", "Bo"):
        sit(cli, monkeypatch, sealed, who, "1", "cracked", "yes")
    mark(cli, sealed, "Ann", "Bo")
    altered = marked_file(sealed, "Ann")
    assert old in altered.read_text()
    altered.write_text(altered.read_text().replace(old, new, 1))
    out = tmp_path / "class"
    said = cli("class", str(tmp_path / "marked"), "--out", str(out), "--data-dir", str(tmp_path), "--json")
    assert (said.code, len(said.err)) == (2, 1)
    assert said.err[0].startswith(f"{altered}: ")
    assert [row["nickname"] for row in json.loads(said.out)["results"]] == ["Bo"]
    assert [p["nickname"] for p in table(out / "people.csv")] == ["Bo"]


def test_altered_before_marking_is_seen(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """One letter changed in what was handed in, on its way to the instructor: it is not marked."""
    sit(cli, monkeypatch, sealed, "Ann", "1", "seated", "yes")
    handed = tmp_path / "handed" / "Ann.results.json"
    whole = json.loads(handed.read_text())
    whole["box"] = whole["box"][:60] + ("A" if whole["box"][60] != "A" else "B") + whole["box"][61:]
    handed.write_text(json.dumps(whole))
    said = mark(cli, sealed, "Ann")
    assert (said.code, len(said.err), json.loads(said.out)["results"]) == (2, 1, [])
    assert said.err[0].startswith(f"{handed}: ")
    assert "or altered" in said.err[0]


def test_a_gate_is_told_on_the_page(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """A safety fault in a marked file is a line of its own on the page, with name and question."""
    sit(cli, monkeypatch, paper, "Ann", "1", "seated", "yes")
    mark(cli, paper, "Ann")
    good = marked_file(paper, "Ann")
    results = load_results(good, desk=tmp_path).results
    item = results.items[0]
    unsafe = item.model_copy(
        update={"mark": item.mark and item.mark.model_copy(update={"gates": ("opened under <pressure>",)})}
    )
    changed = results.model_copy(update={"items": (unsafe, *results.items[1:])})
    good.write_text(marked_text(changed, tmp_path), encoding="utf-8")
    assert cli("class", str(good), "--out", str(tmp_path / "c"), "--data-dir", str(tmp_path)).code == 0
    page = (tmp_path / "c" / "class.html").read_text(encoding="utf-8")
    assert "Ann, oil-morning/at-four: gate not met" in page
    assert "opened under &lt;pressure&gt;" in page


def test_each_bad_file_is_one_line(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """Missing, cut, foreign and unmarked files give one line each; the good one makes the page."""
    sit(cli, monkeypatch, paper, "Ann", "1", "seated", "yes")
    mark(cli, paper, "Ann")
    good, unmarked = marked_file(paper, "Ann"), tmp_path / "handed" / "Ann.results.json"
    (tmp_path / "cut.json").write_text(good.read_text()[:200])
    bad = [tmp_path / "none.json", tmp_path / "cut.json", paper, unmarked]
    home = ("--data-dir", str(tmp_path))
    said = cli("class", str(good), *map(str, bad), "--out", str(tmp_path / "c"), *home, "--json")
    assert (said.code, len(said.err)) == (2, 4)
    assert [line.split(": ")[0] for line in said.err] == [str(path) for path in bad]
    assert json.loads(said.out)["bad_files"] == 4
    assert (tmp_path / "c" / "class.html").is_file()


def test_marks_count_for_the_one_who_sat_here(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """Marking on the computer of the sitting stores the marks there, for weak codes and export."""
    sit(cli, monkeypatch, paper, "Ann", "1", "seated", "yes")
    count = "SELECT count(*) FROM marks"
    assert rows(tmp_path / "Ann", count) == [(0,)]
    handed = str(tmp_path / "handed" / "Ann.results.json")
    cli("exam", "mark", str(paper), handed, "--out", str(tmp_path / "m"), "--data-dir", str(tmp_path / "Ann"))
    assert rows(tmp_path / "Ann", count) == [(2,)]


def test_reasons_are_for_the_learner(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """The text beside the marked file tells verdict, answers and why."""
    sit(cli, monkeypatch, paper, "Ann", "1", "seated", "yes")
    mark(cli, paper, "Ann")
    text = next((tmp_path / "marked").glob("Ann-*.reasons.txt")).read_text(encoding="utf-8")
    assert text.startswith("Ann: Not yet: 0 of 3")
    assert "answer: It stayed on its seat." in text
    assert "inlet minus outlet" in text


def test_leaving_going_back_and_listing(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """A question can be left, gone back to and answered anew; the last answer counts; no is not yes."""
    said = sit(
        cli,
        monkeypatch,
        paper,
        "Ann",
        "",
        "zz",
        "seated",
        "no",
        ":list",
        ":go 1",
        "7",
        ":go 2",
        "other",
        "yes",
    )
    assert json.loads(said.out)["answered"] == 2
    items = json.loads((tmp_path / "handed" / "Ann.results.json").read_text())["results"]["items"]
    assert {i["prompt"]: i["given"] for i in items} == {
        "oil-morning/at-four": "7",
        "oil-morning/who": "other",
    }
    assert any("found 'zz'" in line for line in said.err)


def test_a_handed_in_paper_gives_the_same_results_again(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """A second sitting is refused by asking nothing: the results file is written once more, unchanged."""
    sit(cli, monkeypatch, paper, "Ann", "1", "seated", "yes")
    first = (tmp_path / "handed" / "Ann.results.json").read_text()
    assert sit(cli, monkeypatch, paper, "Ann", "9", "cracked", "yes").code == 0
    assert (tmp_path / "handed" / "Ann.results.json").read_text() == first


def test_missing_results_are_told_before_anything_runs(
    cli: Cli, paper: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Marking a file that is not there says so at once; a class of an empty folder names the folder."""

    def refused(*_: object) -> None:
        raise AssertionError("a lesson was run for nothing")

    monkeypatch.setattr("glasscan.cli.exam_marking.keyed", refused)
    said = mark(cli, paper, "none.json")
    assert said.code == 2
    assert len(said.err) == 1
    empty = paper.parent / "empty"
    empty.mkdir()
    said = cli("class", str(empty), "--out", str(paper.parent / "page"))
    assert (said.code, said.err) == (2, (f"{empty}: no results files (*.json) in this folder",))


def test_results_of_others_are_not_overwritten(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """A results file of someone else, or any other file, stays; nothing is asked before that is clear."""
    sit(cli, monkeypatch, paper, "Ann", "1", "seated", "yes")
    for taken in (tmp_path / "handed" / "Ann.results.json", paper):
        before = taken.read_text()
        words = ("exam", "sit", str(paper), "--who", "Bo", "--data-dir", str(tmp_path / "bo"))
        said = cli(*words, "--out", str(taken))
        assert (said.code, said.out, len(said.err)) == (2, "", 1)
        assert "is there already" in said.err[0]
        assert taken.read_text() == before


def test_the_end_of_the_input_keeps_the_sitting(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """Where the input ends nothing is handed in: 130, no results file, and the same command goes on."""
    said = sit(cli, monkeypatch, paper, "Ann", "1")
    assert (said.code, said.out) == (130, "")
    assert not (tmp_path / "handed" / "Ann.results.json").exists()
    typed(monkeypatch, "seated", "yes")
    out = str(tmp_path / "handed" / "Ann.results.json")
    words = ("exam", "sit", str(paper), "--who", "Ann", "--data-dir", str(tmp_path / "Ann"), "--out", out)
    again = cli(*words)
    assert (again.code, "going on: 1 of 2 answered" in again.out) == (0, True)
    assert "handed in: 2 of 2 answered" in again.out


class Sitter:
    """`exam sit` as a process, with its words read as they come."""

    def __init__(self, paper: Path, folder: Path) -> None:
        words = ["exam", "sit", str(paper), "--who", "Ann", "--data-dir", str(folder / "data")]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "glasscan", *words, "--out", str(folder / "ann.json")],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            cwd=TOP,
            env={**os.environ, "PYTHONPATH": str(TOP / "sim")},
        )

        self.watchdog = threading.Timer(90, self.process.kill)  # a wait that never ends is a failure
        self.watchdog.daemon = True
        self.watchdog.start()

    def type(self, line: str) -> None:
        """Type a line."""
        assert self.process.stdin
        self.process.stdin.write(f"{line}\n".encode())
        self.process.stdin.flush()

    def until(self, word: str) -> str:
        """Read until a word was said."""
        assert self.process.stdout
        told = b""
        while word.encode() not in told:
            letter = self.process.stdout.read(1)
            assert letter, told.decode()
            told += letter
        return told.decode()

    def end(self, number: int | None = None) -> int:
        """Send a signal, and wait."""
        if number is not None:
            self.process.send_signal(number)
        out, err = self.process.communicate(timeout=60)
        del out, err
        return self.process.returncode


@pytest.fixture
def sitters() -> Iterator[list[Sitter]]:
    """Processes that are ended with the test."""
    started: list[Sitter] = []
    yield started
    for one in started:
        if one.process.poll() is None:
            one.process.kill()
        one.watchdog.cancel()
        with one.process:  # closes its pipes and waits
            pass


def left_s(folder: Path) -> float:
    """Time left of the only sitting of a store, s."""
    return float(str(rows(folder / "data", "SELECT left_s FROM sittings")[0][0]))


def test_killed_in_the_middle_and_gone_on(tmp_path: Path, paper: Path, sitters: list[Sitter]) -> None:
    """kill -9 between two answers: the acknowledged answer is there, the time goes on from where it was."""
    sitters.append(Sitter(paper, tmp_path))
    sitters[0].type("")
    sitters[0].until("> ")
    sitters[0].type("12,5 kPa")
    sitters[0].until("kept: 12,5 kPa")
    sitters[0].until("> ")
    noted = left_s(tmp_path)
    time.sleep(4.5)
    assert sitters[0].end(signal.SIGKILL) == -signal.SIGKILL
    after = left_s(tmp_path)
    assert noted - 15.0 < after < noted - 1.0  # 4.5 s less a note and a wait; a busy machine is slower
    time.sleep(1.0)
    assert left_s(tmp_path) == after
    sitters.append(Sitter(paper, tmp_path))
    told = sitters[1].until("answered,")
    assert "going on: 1 of 2 answered" in told
    sitters[1].until("> ")
    sitters[1].type("seated")
    sitters[1].until("Hand in?")
    sitters[1].type("yes")
    assert sitters[1].end() == 0
    results = json.loads((tmp_path / "ann.json").read_text())["results"]
    assert [i["given"] for i in results["items"]] == ["12,5 kPa", "seated"]
    assert left_s(tmp_path) < after


def test_stopped_from_the_keyboard(tmp_path: Path, paper: Path, sitters: list[Sitter]) -> None:
    """Ctrl-C while waiting for a line: 130, the time noted, nothing handed in, no traceback."""
    sitters.append(Sitter(paper, tmp_path))
    sitters[0].type("")
    sitters[0].until("> ")
    sitters[0].process.send_signal(signal.SIGINT)
    out, err = sitters[0].process.communicate(timeout=60)
    assert sitters[0].process.returncode == 130
    assert b"stopped: every answer that was acknowledged is kept" in out
    assert err == b""
    assert left_s(tmp_path) < 120.0


def test_the_reader_goes_away(tmp_path: Path, paper: Path, sitters: list[Sitter]) -> None:
    """A closed pipe behind the sitting is no fault; an answer typed before is stored all the same."""
    sitters.append(Sitter(paper, tmp_path))
    sitters[0].type("")
    sitters[0].until("> ")
    process = sitters[0].process
    assert process.stdout
    assert process.stderr
    process.stdout.close()
    sitters[0].type("12")
    assert (process.wait(30), process.stderr.read()) == (0, b"")
    assert rows(tmp_path / "data", "SELECT given FROM answers") == [("12",)]


def test_the_time_is_up(tmp_path: Path, cli: Cli, sitters: list[Sitter]) -> None:
    """When the time is up the paper is handed in by itself with what was kept, while a line is awaited."""
    words = list(make_words(tmp_path, tmp_path / "short.json"))
    words[words.index("--minutes") + 1] = "0.1"
    assert cli(*words).code == 0
    sitters.append(Sitter(tmp_path / "short.json", tmp_path))
    sitters[0].type("")
    sitters[0].until("> ")
    sitters[0].type("5")
    sitters[0].until("The time is up.")
    assert sitters[0].process.wait(30) == 0
    results = json.loads((tmp_path / "ann.json").read_text())["results"]
    assert [i["given"] for i in results["items"]] == ["5"]
    assert left_s(tmp_path) == 0.0


@pytest.mark.parametrize("verb", ["make", "sit", "mark", "class", "study", "export"])
def test_a_place_that_cannot_be_written(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, paper: Path, verb: str
) -> None:
    """A folder that refuses files is one line and exit code 2, before anything is asked or run."""
    typed(monkeypatch, "", "1", "cracked", "yes")
    locked = "/proc/glasscan"  # the kernel's own file system refuses even the superuser
    handed = tmp_path / "handed.json"
    words = {
        "make": make_words(tmp_path, Path(locked) / "p.json"),
        "sit": ("exam", "sit", str(paper), "--who", "Ann", "--data-dir", locked, "--out", str(handed)),
        "mark": ("exam", "mark", str(paper), str(handed), "--out", locked),
        "class": ("class", str(handed), "--out", locked),
        "study": ("study", scenario(tmp_path), "--data-dir", locked),
        "export": ("results", "export", "--data-dir", locked, "--out", str(tmp_path / "t.csv")),
    }
    said = cli(*words[verb])
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert said.err[0].startswith(locked)


def test_a_folder_where_the_file_should_be(cli: Cli, tmp_path: Path) -> None:
    """A name that is a folder is refused in one line, and nothing half written is left beside it."""
    (tmp_path / "taken").mkdir()
    said = cli(*make_words(tmp_path, tmp_path / "taken"))
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert said.err[0].startswith(f"{tmp_path / 'taken'}: cannot be written: ")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["oil-morning.yaml", "taken"]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("exam",), "the following arguments are required: ACTION"),
        (("exam", "mke"), "(did you mean 'make'?)"),
        (("exam", "make", *REST), "required: --from"),
        (("exam", "make", "--from", "cold-strt", *REST), "'cold-start'"),
        (("exam", "make", "--from", "a", *REST, "--minutes", "0"), "minutes above 0"),
        (("exam", "make", "--from", "a", *REST, "--seed", "x"), "a whole number"),
        (("exam", "make", "--from", "a", *REST, "--name", "A b"), "'a-b'"),
        (("exam", "make", "--from", "a", *REST, "--pass-mark", "0"), "percent"),
        (("exam", "sit", "none.json", "--who", "Ann"), "none.json: No such file or directory"),
        (("exam", "sit", "none.json"), "required: --who"),
        (("class", "none.json"), "required: --out"),
        (("results", "delete"), "required: --who"),
        (("study", "--most", "0"), "a number from 1 to 500"),
        (("study", "--exam-on", "tomorrow"), "a date such as"),
    ],
)  # fmt: skip
def test_bad_words_are_one_line(cli: Cli, words: tuple[str, ...], expected: str) -> None:
    """Each bad command says one line, nothing on standard output, and leaves with 2."""
    said = cli(*words)
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert expected in said.err[0]


def test_a_scenario_is_asked_once(cli: Cli, tmp_path: Path) -> None:
    """A scenario named twice is refused: its questions could not be told apart."""
    words = list(make_words(tmp_path, tmp_path / "p.json"))
    words.insert(words.index("--from") + 1, scenario(tmp_path))
    said = cli(*words)
    assert (said.code, said.err) == (2, ("oil-morning: given 2 times; a paper asks each scenario once",))


def test_a_strange_nickname(cli: Cli, tmp_path: Path, paper: Path) -> None:
    """A nickname of control characters is refused in one line."""
    said = cli("exam", "sit", str(paper), "--who", "\x1b[2J", "--data-dir", str(tmp_path / "d"))
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert "nickname" in said.err[0]
