"""A good element beside an overdue one: both from one run of the rig, and what differs follows from it.

The order of things is common practice: an element that is due drops more at the same flow, and from the
cracking pressure on oil goes past it; the pressures are those of the shipped filter.
"""

from __future__ import annotations

import json

import numpy as np
import pytest
from glasscan.cli.main import main
from glasscan.learning.catalogue import load_filter
from glasscan.window.bench.filter_sources import RIGS, sound_rig
from glasscan.workshop.inspection.side_by_side import ServedElement, differences, served, verdict_on

HOURS = (25.0, 150.0, 200.0)
FRICTION = 1.02


@pytest.fixture(scope="module")
def elements() -> tuple[ServedElement, ...]:
    """The can after some hours."""
    return served(sound_rig("can"), load_filter(RIGS["can"][0]), HOURS)


def test_more_hours_more_dirt_more_pressure(elements: tuple[ServedElement, ...]) -> None:
    """Dirt grows with the hours in proportion, since nearly all is caught; the pressure grows with it."""
    held = np.array([e.held_g for e in elements])
    assert held / np.array(HOURS) == pytest.approx(held[0] / HOURS[0], rel=0.05)
    assert elements[0].dp_kpa < elements[1].dp_kpa < elements[2].dp_kpa


def test_the_overdue_one_bypasses(elements: tuple[ServedElement, ...]) -> None:
    """Oil goes past the element once its pressure passes that of the valve, and not before.

    At the spring's own number friction still holds the disc for a part in fifty.
    """
    for e in elements:
        if not 1.0 < e.margin < FRICTION:
            assert (e.bypass_l_min > 0.05) == (e.margin > 1.0)
    assert elements[2].bypass_l_min > 0.05
    assert verdict_on(elements[0]).startswith("Good")
    assert verdict_on(elements[1]).startswith("Due")
    assert verdict_on(elements[2]).startswith("Overdue")


def test_what_differs_is_named_with_numbers_of_the_run(elements: tuple[ServedElement, ...]) -> None:
    """Each line tells the numbers of both; what does not differ is told as it is."""
    rows = differences(elements[0], elements[2])
    assert len(rows) == 5
    assert f"{elements[2].dp_kpa:.0f} kPa" in rows[2].overdue
    assert rows[4].good == rows[4].overdue


def test_beside_in_text(capsys: pytest.CaptureFixture[str]) -> None:
    """One JSON object with both; hours that do not rise are told in one line."""
    assert main(["inspect", "--beside", "--hours", "25,150", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["good"]["dp_kpa"] < 0.5 * told["overdue"]["dp_kpa"]
    assert main(["inspect", "--beside", "--hours", "150,25"]) == 2
    assert "two numbers that rise" in capsys.readouterr().err
