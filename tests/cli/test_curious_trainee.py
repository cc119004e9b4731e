"""What a curious trainee tries on a sealed paper, each by a door that a user has, and that it fails.

No outside number: the promises of the README are held against the attacks that once worked.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tests.cli.exam_files import SECRET, make_words, scenario, typed
from tests.cli.test_exam import mark, marked_file, sit

pytestmark = pytest.mark.usefixtures("run_once")


@pytest.fixture
def sealed(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A sealed paper of an instructor whose data folder is `tmp_path`."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)
    told = cli(*make_words(tmp_path, tmp_path / "sealed.json", "--seal", "--json"))
    (tmp_path / "sealed.word").write_text(json.loads(told.out)["start_word"])
    return tmp_path / "sealed.json"


def changed(folder: Path, query: str) -> None:
    """The store changed with another program."""
    with closing(sqlite3.connect(folder / "results.sqlite3")) as db, db:
        db.execute(query)


def begun(cli: Cli, monkeypatch: pytest.MonkeyPatch, paper: Path, who: str) -> None:
    """A sitting with one answer, broken off."""
    assert sit(cli, monkeypatch, paper, who, "1").code == 130


def go_on(cli: Cli, monkeypatch: pytest.MonkeyPatch, paper: Path, who: str) -> None:
    """The same sitting, gone on with and handed in."""
    typed(monkeypatch, paper.with_suffix(".word").read_text(), "seated", "yes")
    out = paper.parent / "handed" / f"{who}.results.json"
    words = ("exam", "sit", str(paper), "--who", who, "--data-dir", str(paper.parent / who))
    assert cli(*words, "--out", str(out)).code == 0


def notes(cli: Cli, paper: Path, who: str) -> str:
    """What marking tells of the course of a sitting."""
    (row,) = json.loads(mark(cli, paper, who).out)["results"]
    return str(row["notes"])


def test_marking_an_empty_hand_in_gives_no_keys(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """The start word and everything on the trainee's computer mark nothing: there is no key there."""
    sit(cli, monkeypatch, sealed, "spy", ":end", "yes")
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", sealed.with_suffix(".word").read_text())
    handed = tmp_path / "handed" / "spy.results.json"
    home = ("--data-dir", str(tmp_path / "spy"))
    said = cli("exam", "mark", str(sealed), str(handed), "--out", str(tmp_path / "own"), *home)
    assert (said.code, said.out) == (2, "")
    assert not list((tmp_path / "own").glob("*"))
    said = cli("class", str(handed), "--out", str(tmp_path / "c"), "--paper", str(sealed), *home)
    assert said.code == 2


def test_a_key_pair_of_ones_own_opens_nothing(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """A trainee who makes a sealed paper has a key too; it does not open another instructor's."""
    own = tmp_path / "spy"
    words = list(make_words(tmp_path, tmp_path / "mine.json", "--seal"))
    words[words.index("--data-dir") + 1] = str(own)
    assert cli(*words).code == 0
    sit(cli, monkeypatch, sealed, "Ann", ":end", "yes")
    handed = str(tmp_path / "handed" / "Ann.results.json")
    said = cli("exam", "mark", str(sealed), handed, "--out", str(tmp_path / "own"), "--data-dir", str(own))
    assert (said.code, said.out) == (2, "")
    assert "another instructor" in said.err[0]


def test_a_paper_made_again_is_another_paper(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """Name and number of the paper are known; a rehearsal made of them marks nothing that was handed in."""
    sit(cli, monkeypatch, sealed, "Ann", "1", "seated", "yes")
    (row,) = json.loads(mark(cli, sealed, "Ann").out)["results"]
    assert row["nickname"] == "Ann"
    with closing(sqlite3.connect(tmp_path / "Ann" / "results.sqlite3")) as db:
        name, seed = db.execute("SELECT paper, seed FROM sittings").fetchone()
    words = ["exam", "make", "--from", scenario(tmp_path), "--seed", str(seed), "--minutes", "2"]
    assert cli(*words, "--name", name, "--out", str(tmp_path / "again.json")).code == 0
    said = mark(cli, tmp_path / "again.json", "Ann")
    assert (said.code, json.loads(said.out)["results"]) == (2, [])


def test_no_seed_draws_a_sealed_paper(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two sealed papers of one seed are told apart by their secret; the seed is told not to count."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)
    digests = set()
    for name in ("a.json", "b.json"):
        said = cli(*make_words(tmp_path, tmp_path / name, "--seal", seed=3))
        assert any("--seed is not used" in line for line in said.err)
        digests.add(json.loads((tmp_path / name).read_text())["digest"])
    assert len(digests) == 2


@pytest.mark.parametrize(
    "query",
    [
        "UPDATE sittings SET left_s = 7200",
        "UPDATE answers SET given = '83'",
        "UPDATE people SET nickname = 'Cy', identity = 'cy'",
        "UPDATE sittings SET begun_utc = '2031-01-01T00:00:00+00:00'",
        "DELETE FROM events",
        "INSERT INTO answers (sitting, prompt, given, spent_s, answered_utc) "
        "VALUES (1, 'oil-morning/who', 'x', 1, '')",
    ],
)
def test_a_record_changed_meanwhile_is_told(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, sealed: Path, query: str
) -> None:
    """Broken off, changed with another program, gone on with: marking says so."""
    begun(cli, monkeypatch, sealed, "Ann")
    changed(sealed.parent / "Ann", query)
    who = "Cy" if "Cy" in query else "Ann"
    if who != "Ann":
        (sealed.parent / "Ann").rename(sealed.parent / who)
    go_on(cli, monkeypatch, sealed, who)
    assert "its record was changed with another program" in notes(cli, sealed, who)


def test_what_was_handed_in_is_handed_in_once(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """Answers put into the store after handing in: the file stays the same, byte by byte."""
    sit(cli, monkeypatch, sealed, "Ann", "1", "other", "yes")
    file = sealed.parent / "handed" / "Ann.results.json"
    before = file.read_bytes()
    changed(sealed.parent / "Ann", "UPDATE answers SET given = 'cracked' WHERE given = 'other'")
    sit(cli, monkeypatch, sealed, "Ann")
    assert file.read_bytes() == before
    file.unlink()
    changed(sealed.parent / "Ann", "UPDATE sittings SET handed = ''")
    sit(cli, monkeypatch, sealed, "Ann")
    assert "its record was changed with another program" in notes(cli, sealed, "Ann")


def test_a_sitting_deleted_and_sat_anew_is_two_sittings(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """One person in two data folders, under two spellings of one name: told by name."""
    sit(cli, monkeypatch, sealed, "Zoë", "1", "seated", "yes")
    sit(cli, monkeypatch, sealed, "ZOE\u0308", "2", "cracked", "yes")
    said = mark(cli, sealed, "Zoë", "ZOE\u0308")
    assert json.loads(said.out)["twice"] == ["Zoë: 2 sittings of one paper under this name"]
    files = [str(path) for path in (sealed.parent / "marked").glob("*.marked.json")]
    out = sealed.parent / "class"
    cli("class", *files, "--out", str(out), "--data-dir", str(sealed.parent))
    page = (out / "class.html").read_text(encoding="utf-8")
    assert "2 sittings of one paper under this name" in page


def test_an_open_file_is_not_taken_for_a_sealed_one(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """Results written by hand, with marks, for a sealed paper: neither marked nor counted."""
    sit(cli, monkeypatch, sealed, "Ann", "1", "cracked", "yes")
    mark(cli, sealed, "Ann")
    forged = json.loads(marked_file(sealed, "Ann").read_text())
    for item in forged["results"]["items"]:
        item["mark"]["share"] = 1.0
    handed = tmp_path / "handed" / "Bo.results.json"
    handed.write_text(json.dumps(forged))
    said = mark(cli, sealed, "Bo")
    assert (said.code, json.loads(said.out)["results"]) == (2, [])
    assert "is not sealed" in said.err[0]
    said = cli("class", str(handed), "--out", str(tmp_path / "c"), "--data-dir", str(tmp_path))
    assert said.code == 2
    assert "is not marked on this computer" in said.err[0]


def test_a_file_cannot_say_where_tables_are_written(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """A results file of the paper "x/../../victim" writes nothing outside its folder."""
    victim = tmp_path / "victim"
    victim.mkdir()
    (victim / "people.csv").write_text("mine")
    sit(cli, monkeypatch, sealed, "Ann", "1", "cracked", "yes")
    mark(cli, sealed, "Ann")
    forged = json.loads(marked_file(sealed, "Ann").read_text())
    forged["results"] |= {"paper": "x/../../victim", "kind": "practice"}
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "f.json").write_text(json.dumps(forged))
    cli("class", str(tmp_path / "in"), "--out", str(tmp_path / "in" / "c"), "--data-dir", str(tmp_path))
    assert (victim / "people.csv").read_text() == "mine"
    assert sorted(p.name for p in victim.iterdir()) == ["people.csv"]


@pytest.mark.parametrize(
    "names", [("Wen", "Wen!"), ("ärger", "arger"), ("\u9673\u6587", "\u738b\u82b3"), ("a/b", "a-b")]
)
def test_two_people_never_share_a_file(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, names: tuple[str, str]
) -> None:
    """Names that read alike in plain letters, in the same folder, without a name for the file: two files."""
    paper = tmp_path / "paper.json"
    cli(*make_words(tmp_path, paper))
    monkeypatch.chdir(tmp_path)
    for name in names:
        typed(monkeypatch, "", "1", "seated", "yes")
        words = ("exam", "sit", str(paper), "--who", name, "--data-dir", str(tmp_path / "d"))
        assert cli(*words).code == 0
    found = list(tmp_path.glob("*.results.json"))
    told = {json.loads(p.read_text())["results"]["nickname"] for p in found}
    assert (len(found), told) == (2, set(names))


@pytest.mark.parametrize("verb", ["make", "class"])
def test_nothing_is_replaced_without_force(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sealed: Path, verb: str
) -> None:
    """A paper or a class page that is there stays, until --force is said."""
    sit(cli, monkeypatch, sealed, "Ann", "1", "cracked", "yes")
    mark(cli, sealed, "Ann")
    out = {"make": tmp_path / "p.json", "class": tmp_path / "c" / "class.html"}[verb]
    marked = str(marked_file(sealed, "Ann"))
    words = {
        "make": make_words(tmp_path, out),
        "class": ("class", marked, "--out", str(out.parent), "--data-dir", str(tmp_path)),
    }[verb]
    out.parent.mkdir(exist_ok=True)
    out.write_text("mine")
    said = cli(*words)
    assert (said.code, len(said.err)) == (2, 1)
    assert "--force" in said.err[0]
    assert out.read_text() == "mine"
    assert cli(*words, "--force").code == 0
    assert out.read_text() != "mine"


def test_breaks_are_told_and_the_clock_runs_on(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, sealed: Path
) -> None:
    """Away a while: the time left is less by it, and marking tells the break."""
    begun(cli, monkeypatch, sealed, "Ann")
    folder = sealed.parent / "Ann"
    with closing(sqlite3.connect(folder / "results.sqlite3")) as db:
        left = db.execute("SELECT left_s FROM sittings").fetchone()[0]
    real = __import__("glasscan.learning.store.two_clocks", fromlist=["x"]).ticks_s
    monkeypatch.setattr("glasscan.learning.store.two_clocks.ticks_s", lambda: real() + 50.0)
    go_on(cli, monkeypatch, sealed, "Ann")
    with closing(sqlite3.connect(folder / "results.sqlite3")) as db:
        assert db.execute("SELECT left_s FROM sittings").fetchone()[0] < left - 49.0
    assert "opened 2 times, away 5" in notes(cli, sealed, "Ann")
