"""`glasscan shot --json`: facts of the picture, by the command as a user types it."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest
from glasscan.window.lesson.picture_facts import FACTS, VIEWS

from tests.cli.conftest import Cli

FULL_MM = (115.0, 96.0)
QUICK_S = 20.0  # of one core; frame by frame this night took many minutes


def drawn(cli: Cli, where: Path, scenario: str, at_s: float, *more: str) -> dict[str, object]:
    """The facts of one picture."""
    words = ["shot", scenario, "--at", str(at_s), "--size", "960x540", "--no-names", "--json", *more]
    said = cli(*words, "--out", str(where / "a.png"))
    assert said.code == 0, said.err
    return dict(json.loads(said.out)["drawn"])


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_names_every_fact(cli: Cli, tmp_path: Path, view: str) -> None:
    """Promised to others who measure: the keys are there, null where nothing of it was drawn."""
    facts = drawn(cli, tmp_path, "cold-start", 1.0, "--view", view)
    assert set(FACTS) <= set(facts)


def test_a_night_at_rest_is_jumped_over(cli: Cli, tmp_path: Path) -> None:
    """The picture of the next morning takes seconds."""
    begun = time.process_time()
    drawn(cli, tmp_path, "after-the-night", 59_990.0)
    assert time.process_time() - begun < QUICK_S


def test_the_valve_is_drawn_open_in_the_cold(cli: Cli, tmp_path: Path) -> None:
    """Shut before the start, off its seat while thick oil is pumped (the lesson's own first statement)."""
    assert drawn(cli, tmp_path, "cold-start", 0.0)["valve_lift_mm"] == 0.0
    assert float(str(drawn(cli, tmp_path, "cold-start", 12.0)["valve_lift_mm"])) > 0.5


def levels(cli: Cli, where: Path, at_s: float) -> tuple[float, float]:
    """Heights of the oil drawn on the dirty and on the clean side, mm."""
    found = drawn(cli, where, "after-the-night", at_s)["oil_level_mm"]
    assert isinstance(found, dict)
    return found["dirty"], found["clean"]


def test_a_filter_run_dry_over_night_is_drawn_empty_and_fills(cli: Cli, tmp_path: Path) -> None:
    """The lesson's own words: a hard diaphragm lets the can run empty by morning; the start fills it again.

    115 and 96 mm are the inside heights of can and centre in the section, from the filter's data file.
    """
    assert levels(cli, tmp_path, 50.0) == FULL_MM
    assert levels(cli, tmp_path, 59_990.0) == (0.0, 0.0)
    dirty, clean = levels(cli, tmp_path, 60_001.2)
    assert 20.0 < dirty < 100.0
    assert clean < 10.0
    assert levels(cli, tmp_path, 60_008.0) == FULL_MM
