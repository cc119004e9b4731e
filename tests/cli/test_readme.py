"""What the README tells people to type exists."""

from __future__ import annotations

import re
import shlex

import pytest
from glasscan.cli.main import parser_of
from glasscan.learning.catalogue import scenario_names

from tests.cli.conftest import TOP

README = (TOP / "README.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^(?:glasscan|python3 -m venv).*$", README, re.M)
VERBS = [c for c in COMMANDS if c.startswith("glasscan ") and not c.split()[1].startswith("#")]


@pytest.mark.parametrize("line", VERBS)
def test_commands_are_understood(line: str) -> None:
    """Every command of the README is one the parser takes."""
    words = shlex.split(line, comments=True)[1:]
    parser, verbs = parser_of()
    assert words[0] in verbs
    assert parser.parse(words).run is not None


def test_every_verb_is_told() -> None:
    """The README shows every verb."""
    assert {shlex.split(v, comments=True)[1] for v in VERBS} == set(parser_of()[1])


def test_two_commands_set_everything_up() -> None:
    """One command opens the trainer, one passes the tests, each from a bare checkout; .ci/run runs both."""
    opens, tests = [c for c in COMMANDS if c.startswith("python3 -m venv")]
    assert opens == "python3 -m venv .venv && .venv/bin/pip install -q . && .venv/bin/glasscan"
    assert tests.endswith('.venv/bin/pip install -q ".[test]" && .venv/bin/python -m pytest')
    script = (TOP / ".ci" / "run").read_text(encoding="utf-8")
    assert "readme_command 'pytest'" in script
    assert "readme_command 'glasscan'" in script


def test_named_scenarios_are_shipped() -> None:
    """The README names every shipped scenario."""
    assert [name for name in scenario_names() if f"`{name}`" not in README] == []
