"""`glasscan case`: one JSON object, nothing leaked, one line for bad words."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from glasscan.learning.cases import atlas
from glasscan.learning.cases.case_play import Case, hidden_of
from glasscan.learning.cases.generate import generate

from tests.cli.conftest import Cli
from tests.learning.cases.conftest import shared_folder

KEYS = {
    "seed",
    "filter",
    "fault",
    "verdict",
    "correct",
    "decidable",
    "cost_min",
    "reference_cost_min",
    "beliefs",
}


@pytest.fixture(autouse=True, scope="module")
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A cache folder of this module."""
    folder = shared_folder(tmp_path_factory)
    patch = pytest.MonkeyPatch()
    patch.setattr(atlas, "_folder", lambda: folder)
    yield
    patch.undo()


@pytest.fixture(autouse=True)
def no_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Standard input is an empty pipe."""
    monkeypatch.setattr("sys.stdin", io.StringIO(""))


def test_solve_prints_one_object(cli: Cli) -> None:
    """The agreed keys, a belief that sums to one, and the verdict its strongest."""
    said = cli("case", "--seed", "5", "--filter", "can", "--solve", "--json")
    told = json.loads(said.out)
    assert said.code == 0
    assert set(told) == KEYS
    assert sum(told["beliefs"].values()) == pytest.approx(1.0)
    assert told["verdict"] in (None, max(told["beliefs"], key=told["beliefs"].get))
    assert told["correct"] == (told["verdict"] == told["fault"])


def test_without_solve_nothing_is_told(cli: Cli) -> None:
    """Complaint and menu, as text and as JSON, without code or word of the fault."""
    fault = generate(3, "can").fault
    plain = cli("case", "--seed", "3")
    data = cli("case", "--seed", "3", "--json")
    assert "Flight line:" in plain.out
    assert "dp-two-gauges" in plain.out
    assert fault.title not in plain.out + data.out
    assert fault.fault not in plain.out
    told = json.loads(data.out)
    assert "fault" not in told
    assert set(told["suspects"]) >= {fault.fault, "F01"}


def test_a_saved_case_is_taken_up(cli: Cli, tmp_path: Path) -> None:
    """`--resume` lays the saved case on the table; a damaged file is bad input."""
    from glasscan.learning.cases.case_files import save

    path = tmp_path / "case.json"
    save(Case.begin(9, "can", 3), path)
    assert "Case 9, level 3" in cli("case", "--resume", str(path)).out
    path.write_text("{", encoding="utf-8")
    said = cli("case", "--resume", str(path))
    assert (said.code, len(said.err)) == (2, 1)


@pytest.mark.parametrize(
    "words",
    [
        ("--filter", "cam"),
        ("--level", "4"),
        ("--level", "two"),
        ("--seed", "-1"),
        ("--seed", "1e3"),
        ("--seed", "99999999999"),
        ("--seed", ""),
        ("--sove",),
        ("left-over",),
        ("--resume",),
        ("--resume", "no-such-file.json"),
        ("--resume", "."),
        ("--resume", "bad\0name"),
        ("--solve", "--resume", "x.json"),
    ],
)
def test_bad_words_are_one_line(cli: Cli, words: tuple[str, ...]) -> None:
    """Code 2 and one line."""
    said = cli("case", *words)
    assert said.code == 2
    assert len(said.err) == 1
    assert said.out == ""


@pytest.mark.parametrize("kind", ["can", "cartridge", "disc"])
@pytest.mark.parametrize("level", ["1", "2", "3"])
def test_every_filter_and_level_is_solved(cli: Cli, kind: str, level: str) -> None:
    """One object with the agreed keys, the verdict among the suspects of the level."""
    said = cli("case", "--seed", "11", "--filter", kind, "--level", level, "--solve", "--json")
    told = json.loads(said.out)
    assert (said.code, set(told)) == (0, KEYS)
    assert told["verdict"] in (None, *told["beliefs"])
    assert (len(told["beliefs"]) == 8) is (level == "1")
    assert any("+" in code for code in told["beliefs"]) is (level == "3")


def test_a_verdict_goes_into_the_results(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Played as text with a name: it stands in list, show and table, is handed in, and makes a class."""
    code = hidden_of(5, "can").code
    typed = io.StringIO(f"think {code}\ntest read-log\nverdict {code}\n")
    typed.isatty = lambda: True  # type: ignore[method-assign]
    monkeypatch.setattr("sys.stdin", typed)
    monkeypatch.setattr("builtins.input", lambda _="": typed.readline().rstrip("\n"))
    monkeypatch.setenv("GLASSCAN_DATA_DIR", str(tmp_path / "data"))
    assert "Entered in the results of Wen." in cli("case", "--seed", "5", "--who", "Wen").out
    (wen,) = json.loads(cli("results", "list", "--json").out)["people"]
    assert (wen["nickname"], wen["sittings"], wen["cases"]) == ("Wen", 1, 1)
    (told,) = json.loads(cli("results", "show", "--who", "wen", "--json").out)["sittings"]
    assert told["paper"] == "case-can-5-level-2"
    assert 0.5 <= told["share"] <= 1.0
    assert "; 1 test, 5 min" in cli("results", "show", "--who", "Wen").out
    handed = cli("results", "hand-in", "--who", "Wen", "--out", str(tmp_path / "class"), "--json")
    (file,) = json.loads(handed.out)["files"]
    assert re.fullmatch(r"wen-case-can-5-level-2-[0-9a-f]{6}\.results\.json", Path(file).name)
    assert cli("class", str(tmp_path / "class"), "--out", str(tmp_path / "report")).code == 0
    assert "case-can-5-level-2" in (tmp_path / "report" / "class.html").read_text(encoding="utf-8")
    nobody = cli("results", "hand-in", "--who", "Bo", "--out", str(tmp_path / "class"))
    assert (nobody.code, len(nobody.err)) == (2, 1)
