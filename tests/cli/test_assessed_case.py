"""Assessed cases from a sealed file: made, played, broken off, marked, and what a curious trainee tries.

No outside number: the promises of the README are held, and the mark is that of practice for the same deeds.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from glasscan.cli.exam import own_key
from glasscan.faults.fault_data import faults, parts_of
from glasscan.learning.cases import atlas
from glasscan.learning.cases.case_play import Case, sealed
from glasscan.learning.cases.scoring import review
from glasscan.learning.cases.sealed_case import CaseSecret, read_secret, read_sheet

from tests.cli.conftest import Cli, Said
from tests.cli.exam_files import SECRET, typed
from tests.learning.cases.conftest import shared_folder

DEEDS = ("think F06 F01", "test read-log", "action look further", "log nothing found yet")


@pytest.fixture(autouse=True, scope="module")
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A cache folder of this module."""
    folder = shared_folder(tmp_path_factory)
    patch = pytest.MonkeyPatch()
    patch.setattr(atlas, "_folder", lambda: folder)
    yield
    patch.undo()


@pytest.fixture
def case(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A sealed case of an instructor whose data folder is `tmp_path`; its start word lies beside it."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)
    return made(cli, tmp_path / "case.json")


def made(cli: Cli, path: Path, *more: str) -> Path:
    """A case made by the command."""
    words = ("--filter", "can", "--out", str(path), "--json", "--data-dir", str(path.parent))
    said = cli("case", "make", *words, *more)
    assert said.code == 0, said.err
    path.with_suffix(".word").write_text(json.loads(said.out)["start_word"])
    return path


def play(cli: Cli, monkeypatch: pytest.MonkeyPatch, case: Path, who: str, *lines: str) -> Said:
    """Play in text, in a data folder of one's own."""
    typed(monkeypatch, case.with_suffix(".word").read_text(), *lines)
    out = case.parent / "handed" / f"{who}.results.json"
    home = ("--data-dir", str(case.parent / who))
    return cli("case", "--paper", str(case), "--who", who, "--out", str(out), *home)


def mark(cli: Cli, case: Path, *who: str) -> Said:
    """Mark what was handed in."""
    files = [str(case.parent / "handed" / f"{name}.results.json") for name in who]
    out = ("--out", str(case.parent / "marked"), "--data-dir", str(case.parent), "--json")
    return cli("exam", "mark", str(case), *files, *out)


def secret_of(case: Path) -> CaseSecret:
    """What the instructor's key opens."""
    return read_secret(case, own_key(case.parent))


def test_from_making_to_the_class(cli: Cli, monkeypatch: pytest.MonkeyPatch, case: Path) -> None:
    """Broken off and gone on with; a right verdict earns more than a wrong one; the class page is made."""
    code = secret_of(case).code
    wrong = next(c for c in faults() if c not in code and c in ("F06", "F12"))
    assert play(cli, monkeypatch, case, "Ann", *DEEDS).code == 130
    said = play(cli, monkeypatch, case, "Ann", f"verdict {code}")
    assert said.code == 0
    assert "your instructor marks it" in said.out
    assert play(cli, monkeypatch, case, "Bo", *DEEDS, f"verdict {wrong}").code == 0
    rows = json.loads(mark(cli, case, "Ann", "Bo").out)["results"]
    assert [row["nickname"] for row in rows] == ["Ann", "Bo"]
    assert rows[0]["marks"] > rows[1]["marks"] + 30
    assert "opened 2 times" in rows[0]["notes"]
    files = [str(case.parent / "handed" / f"{name}.results.json") for name in ("Ann", "Bo")]
    out = ("--out", str(case.parent / "class"), "--paper", str(case), "--data-dir", str(case.parent))
    assert cli("class", *files, *out).code == 0
    page = (case.parent / "class" / "class.html").read_text(encoding="utf-8")
    assert "Ann" in page
    assert "Bo" in page


def test_the_mark_is_that_of_practice(cli: Cli, monkeypatch: pytest.MonkeyPatch, case: Path) -> None:
    """The same deeds on the case itself, as practice scores them."""
    secret = secret_of(case)
    hidden = secret.hidden
    own = Case(secret.number, "can", 2, "", sealed(hidden, "", 2))
    own.think(["F06", hidden.code])
    own.order("read-log")
    own.decide(hidden.code)
    play(cli, monkeypatch, case, "Ann", f"think F06 {hidden.code}", "test read-log", f"verdict {hidden.code}")
    (row,) = json.loads(mark(cli, case, "Ann").out)["results"]
    assert row["share"] == pytest.approx(review(own).score.score, abs=1e-5)


def test_nothing_names_the_fault_before_it_is_marked(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, case: Path
) -> None:
    """Neither the sheet, nor what is said on verdict, nor store and results file."""
    code = secret_of(case).code
    sheet = read_sheet(case, lambda: case.with_suffix(".word").read_text()).sheet
    said = play(
        cli, monkeypatch, case, "Ann", *DEEDS, "hint 3", "alike", "save x.json", "verdict cannot-tell"
    )
    told = [sheet.model_dump_json(), said.out.rpartition("min left")[2]]
    told += [p.read_bytes().decode("latin-1") for p in (case.parent / "Ann").rglob("*") if p.is_file()]
    told.append((case.parent / "handed" / "Ann.results.json").read_text())
    for text in told:
        assert f'"{code}"' not in text
        assert not [fault.title for fault in parts_of(code) if fault.title in text]
    assert "gives no help" in said.out
    assert not (case.parent / "x.json").exists()


def test_no_number_draws_it(cli: Cli, tmp_path: Path, case: Path) -> None:
    """--seed is told not to count, two cases differ, and the secret is beyond what --seed takes."""
    again = made(cli, tmp_path / "again.json", "--seed", "3")
    also = made(cli, tmp_path / "also.json", "--seed", "3")
    secrets = [secret_of(path) for path in (case, again, also)]
    assert len({one.sheet.digest for one in secrets}) == 3
    assert all(one.number >= 2**127 for one in secrets)
    said = cli("case", "--seed", str(secrets[0].number), "--solve", "--json")
    assert (said.code, said.out) == (2, "")
    assert cli("case", "--seed", str(secrets[0].sheet.seed), "--solve", "--json").code == 0  # some other case


@pytest.mark.parametrize("words", [("--level", "1"), ()])
def test_what_cannot_be_made(cli: Cli, tmp_path: Path, words: tuple[str, ...]) -> None:
    """Level 1 shows a short list with the fault in it; without --out there is nowhere to write."""
    out = ("--out", str(tmp_path / "x.json")) if words else ()
    said = cli("case", "make", *words, *out, "--data-dir", str(tmp_path))
    assert (said.code, said.out, len(said.err)) == (2, "", 1)


def test_who_may_open_it(cli: Cli, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, case: Path) -> None:
    """Another start word, another instructor, an altered file: one line each, and nothing is told."""
    typed(monkeypatch, "tulo-meva-kiru")
    said = cli("case", "--paper", str(case), "--who", "Ann", "--data-dir", str(tmp_path / "Ann"))
    assert (said.code, said.out, len(said.err)) == (2, "", 1 + said.err[0].startswith("start word"))
    play(cli, monkeypatch, case, "Ann", *DEEDS, "verdict cannot-tell")
    (tmp_path / "spy").mkdir()
    made(cli, tmp_path / "spy" / "mine.json")
    handed = str(tmp_path / "handed" / "Ann.results.json")
    out = ("--out", str(tmp_path / "own"), "--data-dir", str(tmp_path / "spy"))
    said = cli("exam", "mark", str(case), handed, *out)
    assert (said.code, said.out) == (2, "")
    assert any("another instructor" in line for line in said.err)
    other = json.loads(made(cli, tmp_path / "other.json").read_text())
    mixed = json.loads(case.read_text())
    mixed["secret"] = other["secret"]
    case.write_text(json.dumps(mixed))
    assert mark(cli, case, "Ann").code == 2


def test_a_case_is_no_paper(cli: Cli, tmp_path: Path, case: Path) -> None:
    """Sat as a paper it is refused, with the command that plays it."""
    said = cli("exam", "sit", str(case), "--who", "Ann", "--data-dir", str(tmp_path))
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert "glasscan case --paper case.json" in said.err[0]


def test_results_of_another_case(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, case: Path
) -> None:
    """What was handed in for one case is not marked as another, though the instructor is the same."""
    play(cli, monkeypatch, case, "Ann", *DEEDS, "verdict cannot-tell")
    made(cli, tmp_path / "other.json", "--name", "case")
    said = mark(cli, tmp_path / "other.json", "Ann")
    assert (said.code, json.loads(said.out)["results"]) == (2, [])


def test_a_record_changed_meanwhile_is_told(cli: Cli, monkeypatch: pytest.MonkeyPatch, case: Path) -> None:
    """The dear test taken out of the store with another program: marking says so."""
    play(cli, monkeypatch, case, "Ann", *DEEDS)
    with closing(sqlite3.connect(case.parent / "Ann" / "results.sqlite3")) as db, db:
        db.execute("DELETE FROM answers WHERE given = 'test read-log'")
    play(cli, monkeypatch, case, "Ann", "verdict cannot-tell")
    (row,) = json.loads(mark(cli, case, "Ann").out)["results"]
    assert "its record was changed with another program" in row["notes"]
