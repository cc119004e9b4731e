"""What users of command lines look for: versions, completion, a manual page, examples that are commands."""

from __future__ import annotations

import json
import shlex
import subprocess
import sys

import pytest
from glasscan.cli.examples import EXAMPLES
from glasscan.cli.main import parser_of

LINES = [line for rows in EXAMPLES.values() for line, _ in rows]


@pytest.mark.parametrize("line", LINES)
def test_every_example_is_a_command(line):
    """Each parses as it stands; what a shell does with the output does not count."""
    parser, verbs = parser_of()
    words = shlex.split(line.partition(" > ")[0])
    assert words[0] in verbs
    parser.parse(words)


def test_every_verb_has_examples_in_its_help(cli):
    """But those that hold further verbs, which have their own."""
    _, verbs = parser_of()
    assert set(verbs) - set(EXAMPLES) <= {"exam", "results"}
    for verb in EXAMPLES:
        assert "examples:" in cli(verb, "--help").out


def test_versions(cli):
    """Short, and with all libraries for a report."""
    assert cli("-V").out == cli("--version").out
    told = json.loads(cli("about", "--json").out)
    assert {"glasscan", "python", "system", "numpy", "SDL"} <= told.keys()


def test_completion_is_a_script_that_the_shell_takes(cli, tmp_path):
    """The shell itself reads it (bash -n)."""
    script = tmp_path / "glasscan.bash"
    script.write_text(cli("completion", "bash").out)
    assert subprocess.run(["bash", "-n", str(script)], check=False).returncode == 0
    assert "inspect" in script.read_text()


def test_the_manual_page_names_every_verb(cli):
    """In roff, as `man` takes it."""
    page = cli("man").out
    assert page.startswith(".TH GLASSCAN")
    _, verbs = parser_of()
    assert all(verb in page for verb in verbs)


def test_help_loads_no_large_library() -> None:
    """The list of verbs is there at once: large libraries are imported by the verb that needs them."""
    large = {"pydantic", "yaml", "numpy", "scipy", "pygame", "fsrs"}
    code = (
        "import atexit, sys; from glasscan.cli.main import main; "
        "atexit.register(lambda: print(*sys.modules, file=sys.stderr)); main(['--help'])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "glasscan.cli.main" in said.stderr.split()
    assert not large & set(said.stderr.split())
