"""Pleats that bend under pressure: the law, the rig that uses it, and the collapse that comes of it."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from glasscan.filters.closeup.closeup_data import pleats_file
from glasscan.filters.closeup.pleat_row import PleatRow
from glasscan.filters.panel_table import LOADS_PA, PIECES, TIMES, panel_law
from glasscan.laws.panels import Row
from glasscan.laws.pleats import pair_drop_pa
from glasscan.learning.catalogue import load_filter
from glasscan.rig.pleat_state import GROWTH, SQUEEZE_S, Pleats, broken, look_ahead, moved, torn
from glasscan.rig.recorder import Recorder
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp

from tests.faults.rigs import FILES, network
from tests.rig.standin import setup

KINDS = ("can", "cartridge")


def element(kind):
    """Sizes of the element of a shipped filter."""
    return load_filter(FILES[kind]).element


def row_of(kind):
    """The pleat pair of a shipped element by the law of the plant."""
    e, paper = element(kind), pleats_file().paper
    medium = e.medium_mm * 1e-3
    least = paper.least_channel_um * 1e-6
    return Row.of(
        e.channel_m / 2, e.depth_m, medium / e.permeability_m2, least, paper.rigidity_n_m(medium), PIECES
    )


def stuck(kind):
    """A shipped filter whose bypass valve cannot open (fault F01)."""
    net = network(kind)
    return dataclasses.replace(net, valve=dataclasses.replace(net.valve, preload_n=1e4))


def cold_start(net, air_c=-15.0, seconds=30.0):
    """A cold start with a filter; returns the rig and its highest differential pressure, Pa."""
    rig, peak = Rig(setup(network=net, air_c=air_c, timeline=(Ramp(0.5, "rpm", 900, 1.0),))), 0.0
    while rig.t_s < seconds - 1e-9:
        rig.step(0.5)
        peak = max(peak, rig.snapshot().dp_pa)
    return rig, peak


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("times", [1.0, 20.0])
def test_a_straight_row_is_the_closed_form(kind, times):
    """With straight panels the row is two Poiseuille channels and a Darcy wall: closed form, 1 %."""
    e, row = element(kind), row_of(kind)
    wall = times * e.medium_mm * 1e-3 / e.permeability_m2
    closed = pair_drop_pa(e.channel_m, e.depth_m, wall, 1.0, 1.0)
    assert row.across_pa(np.zeros(PIECES), times, 1.0)[1] == pytest.approx(closed, rel=0.01)


def test_a_strip_bends_as_the_textbook_says():
    """Far from contact the middle bends by `p L^4/(384 D)` (clamped plate strip, Timoshenko; COMPUTED)."""
    row = dataclasses.replace(row_of("can"), wall_1_m=1e12)
    stiffness = pleats_file().paper.rigidity_n_m(element("can").medium_mm * 1e-3)
    bend, _ = row.settled(1.0, 2e4)
    assert bend.max() == pytest.approx(2e4 * row.length_m**4 / (384 * stiffness), rel=0.02)


def test_grooves_stiffen_as_area_times_distance_squared():
    """A wave of amplitude f adds E f^2 t/2 to the flat strip's stiffness (parallel axes; COMPUTED)."""
    paper, t = pleats_file().paper, 0.6e-3
    flat = paper.model_copy(update={"groove_mm": 0.0}).rigidity_n_m(t)
    x = np.linspace(0.0, 2 * np.pi, 2001)
    wave = np.trapezoid((paper.groove_mm * 1e-3 * np.sin(x)) ** 2, x) / (2 * np.pi)
    added = paper.modulus_gpa * 1e9 * wave * t
    assert paper.rigidity_n_m(t) - flat == pytest.approx(added, rel=1e-6)


@pytest.mark.parametrize(("kind", "flow"), [("can", 5e-5), ("can", 2e-4), ("cartridge", 1e-4)])
def test_plant_and_close_up_bend_alike(kind, flow):
    """The table of the plant agrees with the solved close-up: resistance within 4 % of the bent one's."""
    close, law = PleatRow(element(kind)), panel_law(element(kind), np.ones(1))
    rest = close.flow(1.0, 1.0).dp_pa
    found = close.settle(flow, 1.0)
    factor = law.factor(np.array([found.dp_pa]), np.ones(1))[0]
    assert factor == pytest.approx(found.dp_pa / flow / rest, rel=0.04)


@pytest.mark.parametrize("kind", KINDS)
def test_more_pressure_never_passes_less_oil(kind):
    """The factor rises with the load at every deposit, and the flow `load/factor` rises with it."""
    law = network(kind).panels
    for times in (*TIMES, 7.0, 1e4):
        loads = np.linspace(0.0, 2e6, 400)
        factor = np.array([law.factor(np.full(12, p), times * law.clean_r)[0] for p in loads])
        assert (np.diff(factor) >= -1e-12).all()
        assert (np.diff(loads / factor) > 0).all()
    assert law.factor(np.zeros(12), law.clean_r) == pytest.approx(np.ones(12))
    assert len(LOADS_PA) == law.ratio.shape[1]


def test_warm_filters_do_not_feel_it():
    """Below 3 psi, where warm oil runs, the pleats change the resistance by less than 0.3 %."""
    for kind in KINDS:
        law = network(kind).panels
        assert law.factor(np.full(12, 3 * 6894.76), law.clean_r)[0] < 1.003


def test_pleats_spring_back_up_to_the_collapse_pressure_and_not_beyond():
    """Loaded below it they are straight again; loaded beyond it they keep the shape, and tear further on."""
    law, still = network("can").panels, Pleats.at_rest(1)

    def loaded(pleats, load):
        pleats = moved(law, dataclasses.replace(pleats, across_pa=np.array([load])), 50 * SQUEEZE_S)
        return moved(law, dataclasses.replace(pleats, across_pa=np.zeros(1)), 50 * SQUEEZE_S)

    below = loaded(still, 0.98 * law.collapse_pa)
    assert below.set_pa == below.torn_m2 == 0.0
    assert below.bent_pa == pytest.approx(0.0, abs=1.0)
    beyond = loaded(still, 1.1 * law.collapse_pa)
    assert beyond.set_pa == pytest.approx(1.1 * law.collapse_pa, rel=1e-6)
    assert broken(still, beyond) == ["element-collapses"]
    apart = loaded(beyond, law.tear_pa + 1e5)
    assert apart.torn_m2 == pytest.approx(1e5 * law.tear_m2_pa)
    assert broken(beyond, apart) == ["element-tears"]
    assert loaded(apart, 1e5).torn_m2 == apart.torn_m2


def test_a_step_is_cut_short_where_the_pleats_move_fast():
    """From rest under a sudden high load the step allowed changes the resistance by 5 % at most."""
    law = network("cartridge").panels
    sudden = dataclasses.replace(Pleats.at_rest(12), across_pa=np.full(12, 6e5))
    h, factor = look_ahead(law, sudden, law.clean_r, 10.0)
    after = law.factor(moved(law, sudden, h).bent_pa, law.clean_r)
    assert h < SQUEEZE_S
    assert after.max() <= 1 + GROWTH
    assert 1 < factor.max() < after.max()


@pytest.mark.parametrize("kind", KINDS)
def test_a_stuck_bypass_in_the_cold_collapses_the_element(kind):
    """F07 comes of F01: the drop passes the collapse pressure, the pleats fold, and they stay folded.

    The resistance left has the size that the trade gives a collapsed element (times 2 to 10, common
    practice); a sound valve on the same morning keeps the element whole.
    """
    rig, peak = cold_start(stuck(kind))
    assert peak > network(kind).panels.collapse_pa
    assert "element-collapses" in [e.word for e in rig.events]
    assert 1.5 < rig.snapshot().readings["pleats_factor"] < 10
    well, highest = cold_start(network(kind), seconds=15.0)
    assert highest < 0.5 * network(kind).panels.collapse_pa
    assert well.snapshot().readings["pleats_set_pa"] == 0.0
    books = rig.ledger()
    assert max(books.mass_error_rel, books.volume_error_rel) < 1e-9


def test_a_tear_takes_the_pressure_off_and_passes_dirt():
    """Torn medium: the drop falls from its peak, and oil goes past the medium although the valve is shut."""
    rig, peak = cold_start(stuck("can"), air_c=-25.0, seconds=20.0)
    now = rig.snapshot()
    assert "element-tears" in [e.word for e in rig.events]
    assert now.dp_pa < peak
    assert now.unfiltered_m3 > 0
    assert now.lift_m < 1e-6
    whole = stuck("can")
    assert torn(whole, rig.state.pleats).hole.area_m2 == pytest.approx(now.readings["torn_m2"])


def test_rewinding_before_the_collapse_makes_it_whole_and_collapses_it_again_alike():
    """The pleats belong to the state: back and on again is the same to the bit, events and books included."""
    recorder = Recorder(setup(network=stuck("can"), air_c=-15.0, timeline=(Ramp(0.5, "rpm", 900, 1.0),)), 10)
    for _ in range(40):
        recorder.step(0.1)
    there = recorder.rig.state
    assert there.pleats.set_pa > 0
    recorder.rewind(1.0)
    assert recorder.rig.state.pleats.set_pa == 0.0
    for _ in range(30):
        recorder.step(0.1)
    again = recorder.rig.state
    assert again.y.tobytes() == there.y.tobytes()
    assert again.pleats.bent_pa.tobytes() == there.pleats.bent_pa.tobytes()
    assert (again.pleats.set_pa, again.pleats.torn_m2) == (there.pleats.set_pa, there.pleats.torn_m2)
    assert again.events == there.events


@pytest.mark.parametrize("outer_s", [0.05, 0.5])
def test_the_collapse_hardly_depends_on_the_outer_step(outer_s):
    """Asked for in steps of 0.05 or 0.5 s, the pleats keep the same shape within 1 %."""
    rig = Rig(setup(network=stuck("can"), air_c=-5.0, timeline=(Ramp(0.5, "rpm", 900, 1.0),)))
    while rig.t_s < 6.0 - 1e-9:
        rig.step(outer_s)
    assert rig.state.pleats.set_pa == pytest.approx(635.5e3, rel=0.01)


def test_the_close_up_keeps_the_shape_of_a_collapse():
    """Told of the load kept, the row of pleats stays pinched without flow, and is straight again without."""
    row = PleatRow(element("can"))
    row.keep(6e5)
    pinched = row.frame(1e-9, 0.02)
    assert pinched.collapsed
    assert pinched.bend_m.max() > 0.8 * row.half_m
    row.keep(0.0)
    for _ in range(4):
        straight = row.frame(1e-9, 0.02)
    assert not straight.collapsed
    assert straight.bend_m.max() < 0.05 * row.half_m
