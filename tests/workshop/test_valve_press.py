"""A valve under a rod: force = preload + rate x lift, friction either way; the same valve the rig runs with.

Closed form: Hooke's law with Coulomb friction. The sheet's force is cracking pressure times seat area.
"""

from __future__ import annotations

import json
from dataclasses import replace
from math import pi

import numpy as np
import pytest
from glasscan.cli.main import main
from glasscan.faults.apply import apply
from glasscan.faults.fault_data import faults
from glasscan.window.bench.filter_sources import network_of, sound_rig
from glasscan.workshop.valve_press import MOST_N, ValvePress

KINDS = ("can", "cartridge", "disc")


@pytest.mark.parametrize("kind", KINDS)
def test_lift_against_force_is_the_springs_law(kind):
    """Slope and offset of the line that the hand draws, going in and coming back."""
    spec = network_of(kind).valve
    press, inward, back = ValvePress(spec, spec), [], []
    top = spec.preload_n + 0.9 * spec.rate_n_m * spec.max_lift_m
    for force in np.linspace(0.0, top, 200):
        press = press.pushed(float(force))
        inward.append((press.lift_m, force))
    for force in np.linspace(top, 0.0, 200):
        press = press.pushed(float(force))
        back.append((press.lift_m, force))
    for line, friction in ((inward, spec.friction_n), (back, -spec.friction_n)):
        lift, force = np.array([p for p in line if 1e-5 < p[0] < 0.8 * spec.max_lift_m]).T
        moving = np.concatenate([[False], np.abs(np.diff(lift)) > 1e-9])
        slope, offset = np.polyfit(lift[moving], force[moving], 1)
        assert slope == pytest.approx(spec.rate_n_m, rel=0.02)
        assert offset == pytest.approx(spec.preload_n + friction, rel=0.02)
    assert press.lift_m == 0.0


@pytest.mark.parametrize("kind", KINDS)
def test_it_moves_at_cracking_pressure_times_area(kind):
    """The force of the sheet is p A, with A from the seat's diameter."""
    spec = network_of(kind).valve
    press = ValvePress(spec, spec)
    assert press.sheet_n == pytest.approx(spec.cracking_pa * pi * spec.seat_d_m**2 / 4)
    assert press.moves_at_n == pytest.approx(press.sheet_n)
    assert press.pushed(0.98 * press.sheet_n).lift_m == 0.0
    assert press.pushed(1.02 * press.sheet_n).lift_m > 0.0


@pytest.mark.parametrize(
    ("code", "right"),
    [("F01", "sticks"), ("F02", "open"), ("F03", "open"), ("F04", "weak"), (None, "sound")],
)
def test_faults_feel_as_they_are(code, right):
    """Gummed, chipped, weak: the rod finds the fault that the rig has."""
    sound = sound_rig("can")
    ill = apply(faults()[code], 0.5, sound) if code else sound
    press = ValvePress(ill.network.valve, sound.network.valve)
    assert press.right == right
    if right == "sticks":
        assert press.pushed(MOST_N).feel == "It does not move."
    if right == "open":
        assert press.lift_m > 0.0


def test_never_past_its_stop_and_never_more_than_a_hand():
    """The stop ends the travel; a hand gives no more than it has."""
    spec = replace(network_of("can").valve, preload_n=1.0)
    press = ValvePress(spec, spec).pushed(1e9)
    assert (press.force_n, press.lift_m) == (MOST_N, spec.max_lift_m)


def test_press_in_text(capsys):
    """`inspect --press`: lift at a force; nonsense is told in one line."""
    assert main(["inspect", "--story", "flange-paint", "--press", "25", "--json"]) == 0
    valve = json.loads(capsys.readouterr().out)["valve"]
    assert valve["lift_mm"] > 0.0
    assert main(["inspect", "--story", "flange-paint", "--press", "1e9"]) == 2
    assert "--press: expected 0 to" in capsys.readouterr().err
