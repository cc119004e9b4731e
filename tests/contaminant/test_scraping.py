"""Turning, sinking, stirring and draining."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from glasscan.contaminant.actions import (
    CHURNED,
    acted,
    checked,
    churned_share,
    kept_share,
    missed_gaps,
    turned,
)
from glasscan.contaminant.classes import CLASSES, SIZE_M
from glasscan.contaminant.contaminant_state import sink_m_s
from glasscan.contaminant.stocks import OilFlow, advance, empty
from glasscan.filters.element_capture import DirtSide, Faults
from glasscan.laws.drag import stokes_speed_m_s
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp

from tests.contaminant.standin import SCRAPER, gaps, shipped
from tests.rig.standin import network, setup

SIDE = gaps().dirt_side
NONE = np.zeros((CLASSES, 60))


def caked(gap_count: int = 60):
    """Ten grams over the gaps."""
    return replace(empty(gap_count), held=np.full((CLASSES, gap_count), 10e-3 / CLASSES / gap_count))


def test_five_turns_follow_the_worked_example() -> None:
    """Each full turn leaves 55 % of the cake: 20, 11.9, 7.5, 5.0, 3.7, 2.9 psi (common practice, no source).

    With 2 psi for the clean gaps and the rest in proportion to the cake; the example is rounded.
    """
    dp = [2.0 + 18.0 * kept_share(1, n, SCRAPER, Faults())[0] for n in range(6)]
    assert dp == pytest.approx([20.0, 11.9, 7.5, 5.0, 3.7, 2.9], abs=0.08)


def test_shipped_stack_falls_as_the_example_does() -> None:
    """From 20 psi in the shipped hydraulic rig: a turn leaves 55 % of what stands above the clean drop.

    A little more, up to 60 %: the loose grains come back to the gaps within a second.
    """
    from glasscan.learning.catalogue import load_fluid, load_plant
    from glasscan.rig.setup import RigSetup

    def psi_after(dirt_kg: float, turns: int) -> list[float]:
        line = (
            Ramp(0.0, "rpm", 3600, 2.0),
            *(Ramp(20.0 + 4.0 * n, "scraper_turns", 1) for n in range(turns)),
        )
        rig = Rig(
            RigSetup(
                load_fluid("mil-prf-5606-class"), shipped("disc-stack"), load_plant("hydraulic-1500"),
                oil_c=48.0, gallery_fill=1.0, dirt_kg=dirt_kg, timeline=line,
            )
        )  # fmt: skip
        out = []
        for n in range(turns + 1):
            rig.advance_to(19.9 + 4.0 * n)
            out.append(rig.snapshot().dp_pa / 6894.757)
        return out

    clean, dps = psi_after(0.0, 0)[0], psi_after(15.0e-3, 5)
    assert dps[0] == pytest.approx(20.0, abs=1.0)
    above = np.array(dps) - clean
    left = above[1:3] / above[:2]
    assert ((left > 0.54) & (left < 0.60)).all()
    assert (np.diff(dps) < 0.0).all()


def test_part_of_a_turn_clears_part_of_the_circle() -> None:
    """Half a turn takes half of what a full turn takes."""
    full, half = (kept_share(1, n, SCRAPER, Faults())[0] for n in (1.0, 0.5))
    assert 1.0 - half == pytest.approx(0.5 * (1.0 - full))
    assert kept_share(1, 1.5, SCRAPER, Faults())[0] == pytest.approx(full * half)


def test_faults_show_in_what_is_left() -> None:
    """Worn x 0.4: partial recovery everywhere; slipping drive: none; bent: bands of untouched cake."""
    before = caked()
    good, worn, slipping, bent = (
        turned(before, 2, SCRAPER, faults).held.sum(axis=0) / before.held.sum(axis=0)
        for faults in (Faults(), Faults(bite=0.4), Faults(drive=0.0), Faults(missed=0.2))
    )
    assert good == pytest.approx(0.55**2)
    assert worn == pytest.approx((1 - 0.45 * 0.4) ** 2)
    assert slipping == pytest.approx(1.0)
    assert sorted(set(bent.round(6))) == pytest.approx([0.55**2, 1.0])
    assert (bent == 1.0).sum() == 12


def test_missed_gaps_lie_in_bands() -> None:
    """A fifth of sixty gaps is twelve, in three groups that touch."""
    missed = missed_gaps(60, 0.2)
    assert missed.sum() == 12
    assert (np.diff(missed.astype(int)) == 1).sum() == 3
    assert missed_gaps(60, 0.0).sum() == 0
    assert missed_gaps(60, 1.0).all()


def test_scraped_cake_goes_to_the_bowl_by_class_and_out_by_the_drain() -> None:
    """What leaves the gaps is loose or sludge, class by class; the drain empties both."""
    before = caked()
    after = turned(before, 3, SCRAPER, Faults())
    off = (before.held - after.held).sum(axis=1)
    assert after.loose + after.sludge == pytest.approx(off)
    assert after.loose == pytest.approx(0.1 * off)
    out = acted(after, "drain_bowl", 1.0, SIDE, Faults(), "a3")
    assert out.drained == pytest.approx(off)
    assert not out.loose.any()
    assert not out.sludge.any()
    assert out.total == pytest.approx(before.total)


def bowl(flow_lpm: float, seconds: float, stocks):
    """The masses after a while of flow through the gaps, oil of hydraulic viscosity, nothing caught."""
    q = flow_lpm / 6e4
    oil = OilFlow(np.full(60, q / 60), 0.0, 12e-3, 3e-4, sink_m_s(0.0115, 850.0))
    return advance(stocks, oil, NONE, np.zeros(CLASSES), seconds, SCRAPER)


def test_coarse_sinks_and_fine_is_carried_off() -> None:
    """Of what floats, the finest goes with the oil and the coarsest to the bottom (Stokes)."""
    floating = replace(empty(60), loose=np.full(CLASSES, 1e-4))
    after = bowl(1.0, 600.0, floating)
    assert after.suspended[0] > 0.95e-4
    assert after.sludge[-1] > 0.5e-4
    assert (np.diff(after.sludge) > 0.0).all()
    assert bowl(0.0, 3.6e5, floating).sludge[-1] == pytest.approx(1e-4)


def test_a_strong_flow_stirs_the_sludge_up_until_it_is_drained() -> None:
    """Below its threshold sludge lies still; at twice the threshold 63 % is up in the stirring time."""
    settled = replace(empty(60), sludge=np.full(CLASSES, 1e-4))
    assert np.array_equal(bowl(39.0, 300.0, settled).sludge, settled.sludge)
    light = replace(settled, sludge=np.array([1e-4] + [0.0] * (CLASSES - 1)))
    assert bowl(80.0, 300.0, light).sludge[0] == pytest.approx(1e-4 * np.exp(-1.0), rel=0.02)
    drained = acted(light, "drain_bowl", 1.0, SIDE, Faults(), "a3")
    assert not bowl(80.0, 300.0, drained).suspended.any()


def test_settling_velocity_is_stokes() -> None:
    """Each class sinks at Stokes' speed of its middle size."""
    speeds = sink_m_s(0.0115, 850.0)
    assert speeds[5] == pytest.approx(stokes_speed_m_s(SIZE_M[5], 2650.0, 850.0, 0.0115))


@pytest.mark.parametrize(
    ("key", "value", "side"),
    [
        ("scraper_turns", 1, network().dirt_side),
        ("drain_bowl", 1, DirtSide(SIDE.catcher)),
        ("scraper_turns", -1, SIDE),
        ("scraper_turns", float("nan"), SIDE),
        ("add_dirt_g", "much", SIDE),
        ("add_dirt_g", 1e9, SIDE),
    ],
)
def test_wrong_actions_are_refused(key: str, value: object, side: DirtSide) -> None:
    """No blades, out of range or no number: refused in one line, by the rig too."""
    with pytest.raises(ValueError, match=key):
        checked(key, value, side)
    with pytest.raises(ValueError, match=key):
        Rig(setup(timeline=(Ramp(1.0, key, value),), network=network(dirt=side)))


def test_turning_stirs_up_what_stands_beside_the_discs() -> None:
    """Of that part each turn stirs up the same share of what is left (by hand)."""
    scraper = SimpleNamespace(covered=lambda _kg: (0.5, 0.4))
    assert churned_share(1.0, 1.0, scraper) == pytest.approx(0.4 * CHURNED)
    assert churned_share(1.0, 2.0, scraper) == pytest.approx(0.4 * (CHURNED + (1.0 - CHURNED) * CHURNED))
