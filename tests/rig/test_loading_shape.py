"""How a pleated element loads in service: the curve of the running rig against what is published of it."""

import numpy as np
import pytest
from glasscan.laws.deposit import PleatRoom, compressed
from glasscan.laws.pleats import pair_drop_pa
from glasscan.learning.scenario_loading import load_scenario

from tests.learning.playing import shipped_run

CRACK_KPA = 96.5
HALF_AT = (0.72, 0.86)
"""A public lexicon of fluid power draws the rise as about a third-order curve: half of the permitted drop at
about 80 % of the life (MEMORY); cubic: 0.5^(1/3) = 0.79."""
CAPACITY_MG_CM2 = (5.0, 11.0)
"""Cellulose papers hold 5 to 10 mg/cm2 of in-service dirt (MEMORY)."""


def curve() -> tuple[np.ndarray, np.ndarray, float]:
    """Share of the load at cracking, share of the net drop, and the load there, mg."""
    log = shipped_run("element-clogs")
    cracked = next(e.t_s for e in log.events if e.word == "bypass-cracks")
    live = (log.times_s > 60.0) & (log.times_s < cracked)
    load, drop = log.trace["deposit"][live], log.trace["dp"][live]
    end = float(np.interp(CRACK_KPA, drop, load))
    return load / end, (drop - drop[0]) / (CRACK_KPA - drop[0]), end


def test_half_of_the_permitted_drop_comes_late() -> None:
    """Half of the net drop at about four fifths of the load that cracks the valve."""
    load, drop, _ = curve()
    assert HALF_AT[0] < np.interp(0.5, drop, load) < HALF_AT[1]


def test_the_curve_is_convex() -> None:
    """Each quarter of the load adds more than the one before (shape of multi-pass curves, MEMORY)."""
    load, drop, _ = curve()
    steps = np.diff(np.interp([0.0, 0.25, 0.5, 0.75, 1.0], load, drop))
    assert np.all(np.diff(steps) > 0.0)


def test_capacity_is_that_of_paper() -> None:
    """Load at cracking over the paper of the can, 0.134 m2."""
    _, _, mg = curve()
    assert CAPACITY_MG_CM2[0] < mg / 1344.0 < CAPACITY_MG_CM2[1]


def test_channels_hardly_count_beside_a_loaded_medium() -> None:
    """Why the plant leaves the narrowing of the channels out: with a cake they take under 1 % of the drop.

    Pair of channels 1 mm wide and 16 mm deep, medium twenty times its clean resistance (closed form).
    """
    wall = 20 * 0.6e-3 / 1e-11
    drop = pair_drop_pa(1e-3, 16e-3, wall, 0.02, 1e-4)
    assert drop == pytest.approx(0.02 * 1e-4 * wall / (2 * 16e-3), rel=0.01)


def test_a_wedge_fills_from_its_fold() -> None:
    """Volumes: two layers and what bridges the fold hold what was laid; a plain layer on an open fold."""
    room = PleatRoom(2.5e-3, 0.1e-3)
    lost, thick = room.filled(np.array([2e-5, 3e-4]))
    assert lost[0] == 0.0
    assert thick[0] == 1.0
    u, t, d = 2 * 3e-4 * thick[1], 0.1e-3, 2.4e-3
    assert u - (u - t) ** 2 / (2 * d) == pytest.approx(2 * 3e-4, rel=1e-9)
    assert 0.0 < lost[1] < 0.5


def test_a_soft_cake_follows_the_power_law() -> None:
    """(1 + dp/pa)^n: 90 kPa over a loose cake of 10 kPa at n = 0.7 is 10^0.7."""
    assert float(compressed(90e3, 0.7)) == pytest.approx(10**0.7)


def test_the_lesson_runs_the_instrumented_engine() -> None:
    """Light piston engines carry no differential indicator (MEMORY): lessons with one say test stand."""
    assert load_scenario("element-clogs").plant.rig == "piston-test-stand"
