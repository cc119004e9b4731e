"""The command as a function and as a process."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest
from glasscan.cli import case, headless
from glasscan.cli.main import main
from glasscan.cli.talk import IN_THE_OPEN
from glasscan.learning.scenario_schema import Scenario
from glasscan.rig.run_log import RunLog

TOP = Path(__file__).parents[2]
RUNS: dict[str, RunLog] = {}


@dataclass(frozen=True)
class Said:
    """What a command said: exit code, standard output and the lines of standard error."""

    code: int
    out: str
    err: tuple[str, ...]


Cli = Callable[..., Said]


@pytest.fixture(autouse=True)
def _no_window_for_cases(monkeypatch: pytest.MonkeyPatch) -> None:
    """A case is played as text here, also on a desk with a display."""
    monkeypatch.setattr(case, "has_display", lambda: False)


@pytest.fixture
def cli(capsys: pytest.CaptureFixture[str]) -> Cli:
    """`glasscan` with the given words, in this process."""

    def call(*words: str) -> Said:
        try:
            code = main(words)
        except SystemExit as leaving:  # --help and --version leave by themselves
            code = int(leaving.code or 0)
        caught = capsys.readouterr()
        return Said(code, caught.out, tuple(_told(caught.err)))

    return call


def _told(err: str) -> list[str]:
    """Lines of standard error, without the warning about a pass-phrase in the environment."""
    lines = (line.removeprefix("start word: ") for line in err.splitlines())
    return [line for line in lines if line and line != IN_THE_OPEN]


@pytest.fixture
def run_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Runs are repeatable (a test of its own says so): each different scenario is run once for all tests."""
    real = headless.run_scenario

    def kept(scenario: Scenario, for_s: float | None, watch: headless.Watch) -> RunLog:
        key = f"{for_s} {scenario.model_dump_json()}"
        if key not in RUNS:
            RUNS[key] = real(scenario, for_s, watch)
        return RUNS[key]

    monkeypatch.setattr(headless, "run_scenario", kept)


def command(
    *words: str, env: Mapping[str, str] | None = None, cwd: Path | None = None
) -> subprocess.Popen[str]:
    """`glasscan` as a process of its own, without a display."""
    clean = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    return subprocess.Popen(
        [sys.executable, "-m", "glasscan", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=cwd or TOP,
        env={**clean, "PYTHONPATH": str(TOP / "sim"), "SDL_VIDEODRIVER": "dummy", **(env or {})},
    )
