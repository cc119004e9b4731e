"""The commands of the README, given as they are written there (SCENARIO stands for a shipped lesson)."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest

from tests.cli.conftest import TOP, Cli, Said
from tests.cli.exam_files import typed

README = (TOP / "README.md").read_text(encoding="utf-8")
LINES = [shlex.split(line, comments=True)[1:] for line in re.findall(r"^glasscan .*$", README, re.M)]
WINDOW = {"open", "tour"}
"""Need a desk; `tests/window` opens them."""
LONG = {"bench"}
TALKS = {"study", "exam", "class", "results"}
"""Ask, or need what another one made: below, in order."""

pytestmark = pytest.mark.usefixtures("run_once")


@pytest.fixture
def give(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Cli:
    """Gives a line of the README in a folder of its own, with a data folder of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", "lapwing over wet grass")
    typed(monkeypatch)

    def given(*words: str) -> Said:
        here = [word.replace("SCENARIO", "warm-start") for word in words]
        return cli(*here, "--data-dir", str(tmp_path / "data"))

    return given


def lines_of(*verbs: str) -> list[list[str]]:
    """Lines of the README that begin with a verb, in their order."""
    return [line for line in LINES if line and line[0] in verbs]


def test_lines_that_ask_nothing(give: Cli, tmp_path: Path) -> None:
    """Each ends well; those with --json print one object; those with --out write it."""
    asking = WINDOW | LONG | TALKS | {"case", "run", "inspect", "shot"}
    for line in LINES:
        if line and line[0] not in asking:
            said = give(*line)
            assert said.code == 0, (line, said.err)
            assert said.out or said.err
    assert (tmp_path / "plan.html").is_file()
    assert (tmp_path / "guide.html").is_file()
    assert (tmp_path / "my-lesson.yaml").is_file()


@pytest.mark.parametrize("line", lines_of("run", "inspect", "shot"), ids=" ".join)
def test_lines_that_run_a_rig(give: Cli, line: list[str]) -> None:
    """Each ends well and says or writes something."""
    said = give(*line)
    assert said.code == 0, said.err
    if "--json" in line:
        assert isinstance(json.loads(said.out), dict)
    if "--out" in line:
        assert Path(line[line.index("--out") + 1]).exists()


def test_from_paper_to_class_as_written(give: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """The exam's lines one after the other: a sealed paper, a sitting, its marks, the class."""
    make, sit, mark = lines_of("exam")
    said = give(*make)
    assert said.code == 0, said.err
    told = re.search(r"start word: (.+?)   ", said.out)
    assert told is not None
    typed(monkeypatch, told[1], "", ":end", "yes")
    said = give(*sit)
    assert said.code == 0, said.err
    for line in (mark, *lines_of("class"), *lines_of("results")):
        if line[:2] != ["results", "hand-in"]:  # Wen has played no hidden fault here
            said = give(*line)
            assert said.code == 0, (line, said.err)
    assert Path("class/class.html").is_file()
    assert Path("answers.csv").is_file()
