"""Combing and torque against closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.laws.combing import PLOUGH, SECTORS, TURN, Comb, combed, laid, passes, torque_n_m

EVEN = np.ones(SECTORS)


def test_a_turn_in_many_steps_takes_off_what_one_step_takes_off() -> None:
    """(1-c)^n (1-c f) for n whole turns and a part f, however it is cut up (common practice, no source)."""
    rim, share = EVEN, 1.0
    for a, b in zip(np.linspace(0, 1.25 * TURN, 312), np.linspace(0, 1.25 * TURN, 312)[1:], strict=False):
        part, rim = combed(rim, 0.45, passes(a, b))
        share *= part
    assert share == pytest.approx(0.55 * (1 - 0.45 * 0.25), rel=1e-12)
    assert rim.mean() == pytest.approx(1.0)


def test_every_full_turn_passes_every_sector_once() -> None:
    """From any angle."""
    assert passes(1.234, 1.234 + 2 * TURN) == pytest.approx(2.0)


def test_new_dirt_goes_where_the_blade_has_been() -> None:
    """Half combed, then loaded: the combed half takes more; the mass is what came."""
    _, rim = combed(EVEN, 0.45, passes(0.0, TURN / 2))
    after = laid(rim, 1.0, 0.5, 4.0)
    gain = after * 1.5 - rim
    assert gain.sum() / SECTORS == pytest.approx(0.5)
    assert gain[rim < 1].min() > gain[rim > 1].max()


def test_torque_is_the_sum_of_what_resists() -> None:
    """By hand from Coulomb's and Prandtl's laws: gland, 60 sound blades, then cake 1 mm thick at 100 kPa.

    Prandtl 1920: bearing factor of a narrow footing in a cohesive bed is 2 + pi.
    """
    comb = Comb()
    gland = 0.1 * (2 * np.pi * 0.004 * 0.006) * 3e5 * 0.004
    clean = torque_n_m(comb, 0.0, 1e5, 0.0, 1.0, 1.0, 0.0)
    assert clean == pytest.approx(gland + 60 * 0.05 * 0.02)
    load = 2 * np.pi * 0.02 * 0.8e-3 * 1190 * 1e-3
    caked = torque_n_m(comb, load, 1e5, 0.0, 1.0, 1.0, 0.0)
    assert pytest.approx(5.1416, abs=1e-4) == PLOUGH
    assert caked - clean == pytest.approx(60 * (2 + np.pi) * (5e3 + 0.6e5) * 1e-3 * 0.8e-3 * 0.02)
    assert torque_n_m(comb, load, 1e5, 0.0, 1.0, 0.0, 0.0) == pytest.approx(gland)  # a slipping drive: easy
    assert torque_n_m(comb, 0.0, 0.0, 0.0, 1.0, 1.0, 0.5) > 3 * clean  # bent blades pinch
