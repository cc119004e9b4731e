"""Bad words on the command line: exit code 2, one line, the nearest good word, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
from glasscan.cli.main import parser_of

from tests.cli.conftest import Cli


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (
            ["rn"],
            f"expected one of {', '.join(parser_of()[1])}, found 'rn' (did you mean 'run'?)",
        ),
        (["run"], "the following arguments are required: SCENARIO"),
        (["--jsn"], "the following arguments are required: VERB"),
        (["check"], "the following arguments are required: FILE"),
        (["run", "cold-strt"], "cold-strt: expected a file NAME.yaml or one of "),
        (["run", "cold-strt"], "(did you mean 'cold-start'?)"),
        (["run", "cold-start", "--jsn"], "unknown argument '--jsn' (did you mean '--json'?)"),
        (["run", "cold-start", "extra"], "unknown argument 'extra'"),
        (["run", "cold-start", "--for", "0"], "expected more than 0 seconds"),
        (["run", "cold-start", "--for", "nan"], "expected seconds from 0 to 36000000, found 'nan'"),
        (["run", "cold-start", "--for", "-1"], "expected seconds from 0 to 36000000, found '-1'"),
        (["run", "cold-start", "--for"], "argument --for: expected one argument"),
        (["run", "cold-start", "--seed", "1.5"], "expected a whole number from 0 to 2147483647, found '1.5'"),
        (["run", "cold-start", "--seed", "9" * 20], "expected a whole number from 0 to 2147483647"),
        (["run", "cold-start", "--set", "air_c"], "--set:1:1: expected dotted.key=value, found text 'air_c'"),
        (["run", "cold-start", "--set", "air_f=3"], "(did you mean 'air_c'?)"),
        (["run", "none.yaml"], "none.yaml: no such file"),
        (["shot", "cold-start", "--at", "1", "--out", "a.jpg"], "a.jpg: expected the name of a .png file"),
        (
            ["shot", "cold-start", "--at", "1", "--out", "a.png", "--theme", "drak"],
            "invalid choice: 'drak' (choose from 'light', 'dark') (did you mean 'dark'?)",
        ),
        (
            ["shot", "cold-start", "--at", "1", "--out", "a.png", "--size", "9x9"],
            "expected WIDTHxHEIGHT in pixels up to 8192, such as 1920x1080, found '9x9'",
        ),
        (["figure", "densty", "rho15=900", "at_c=20"], "(did you mean 'density'?)"),
        (["figure", "density", "rho15"], "figure: expected key=value, found 'rho15'"),
        (["figure", "density", "rho15=1", "rho15=2"], "figure: rho15: expected once, given twice"),
        (["figure", "density", "rho15=900"], "missing at_c"),
    ],
)
def test_one_line_and_exit_code_two(cli: Cli, words: list[str], expected: str) -> None:
    """Each bad command says one line on standard error, nothing on standard output, and leaves with 2."""
    said = cli(*words)
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert expected in said.err[0]


@pytest.mark.parametrize("place", ["file", "locked"])
def test_a_folder_that_cannot_be_written(cli: Cli, tmp_path: Path, place: str) -> None:
    """An `--out` inside a file, or on a read-only file system, is refused before the run starts."""
    (tmp_path / "file").write_text("")
    out = tmp_path / "file" / "deep" if place == "file" else Path("/proc/glasscan")
    said = cli("run", "cold-start", "--for", "1", "--out", str(out))
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert said.err[0].startswith(f"{out}: cannot be written: ")
