"""The settled operating point against the running rig: two ways to the same pressures."""

from __future__ import annotations

from dataclasses import replace

import pytest
from glasscan.faults.apply import apply, combined
from glasscan.faults.fault_data import faults
from glasscan.faults.observables import COLD, POINTS
from glasscan.faults.steady_state import NEVER_S, SteadyState
from glasscan.rig import state_index as at
from glasscan.rig.rig import Rig
from glasscan.rig.setup import RigSetup

from tests.faults.rigs import rig

MIXED = [
    ("can", "after", "F08"),
    ("can", "before", "F20"),
    ("can", "after", "F06"),
    ("cartridge", "after", "F02"),
]


def settled_rig(setup: RigSetup, rpm: float, oil_c: float) -> Rig:
    """A running rig held at one temperature by heat capacities so large that nothing warms, SI."""
    heat = setup.plant.heat.model_copy(
        update={"block_j_k": 1e12, "bearing_j_k": 1e12, "engine_w": 0.0, "bearing_drag_l": 0.0}
    )
    plant = setup.plant.model_copy(update={"heat": heat})
    still = replace(setup, plant=plant, air_c=oil_c, rpm=rpm, gallery_fill=1.0, can_fill=1.0)
    running = Rig(still)
    running.step(25.0)
    return running


@pytest.mark.parametrize(("kind", "layout", "code"), MIXED)
def test_settled_point_is_where_the_running_rig_ends(kind: str, layout: str, code: str) -> None:
    """Gauge, differential pressure and unfiltered share after 25 s within 3 % of the settled point."""
    setup = apply(faults()[code], 0.5, rig(kind, layout))
    running = settled_rig(setup, 1500.0, 60.0)
    y, snapshot = running.state.y, running.snapshot()
    mean_c = float(y[at.T_FILTER])
    point = SteadyState(setup, 1500.0, mean_c).settled()
    assert point.gauge_pa == pytest.approx(snapshot.gauge_pa, rel=0.03)
    assert point.dp_pa == pytest.approx(snapshot.dp_pa, rel=0.03)
    flows = running.parts()
    assert flows.before == (layout == "before")


@pytest.mark.parametrize("kind", ["can", "cartridge"])
def test_a_valve_that_snaps_open_comes_to_rest_part_open(kind: str) -> None:
    """Cold, clogged, regulator before: at the crack pressure the flow through the can's valve jumps.

    The running rig rests in the jump, with the valve part open; so must the settled point. It once stood on
    the shut side of it, with a quarter of the gallery's pressure.
    """
    setup = apply(faults()["F06"], 0.6, rig(kind, "before"))
    snapshot = settled_rig(setup, 900.0, -5.0).snapshot()
    point = SteadyState(setup, 900.0, snapshot.filter_c).settled()
    assert point.gauge_pa == pytest.approx(snapshot.gauge_pa, rel=0.03)
    # guide friction holds a valve that comes back down at a little less than one that was shut
    assert point.dp_pa == pytest.approx(snapshot.dp_pa, rel=0.08)
    assert 0.0 < point.lift_m < 0.7 * setup.network.valve.max_lift_m


@pytest.mark.parametrize("code", ["F01", "F05"])
def test_pleats_bend_in_the_settled_point_too(code: str) -> None:
    """Cold, with a valve that opens late or never: the drop of bent pleats within 5 % of the rig's."""
    setup = apply(faults()[code], 0.5, rig("cartridge", "after"))
    running = settled_rig(setup, 900.0, -5.0)
    point = SteadyState(setup, 900.0, float(running.state.y[at.T_FILTER])).settled()
    assert point.dp_pa == pytest.approx(running.snapshot().dp_pa, rel=0.05)
    straight = replace(setup, network=replace(setup.network, panels=None))
    assert code != "F01" or point.dp_pa > 1.05 * SteadyState(straight, 900.0, -5.0).settled().dp_pa


def test_time_to_green_is_that_of_the_running_rig() -> None:
    """Filling at -5 degC, quasi-steady, against the running rig's own event: within 15 %."""
    setup = rig("can", "after")
    oil_c, rpm = POINTS[COLD]
    bench = SteadyState(setup, rpm, oil_c)
    running = Rig(replace(setup, air_c=oil_c, rpm=rpm))
    running.step(15.0)
    green = next(event.t_s for event in running.events if event.word == "pressure-green")
    assert bench.green_s(setup.gallery_fill, 1.0, bench.settled()) == pytest.approx(green, rel=0.15)


def test_the_double_fault_is_what_kills() -> None:
    """Regulator before, -5 degC: clogged alone or bypass shut alone fill as always, both together do not."""
    sound = rig("can", "before")
    clogged, shut = (faults()["F06"], 0.6), (faults()["F01"], 0.5)
    oil_c, rpm = POINTS[COLD]

    def fill_s(*pairs: tuple) -> float:
        return SteadyState(combined(pairs, sound), rpm, oil_c).fill_s(0.0, 1.0)

    alone = fill_s()
    assert fill_s(shut) == pytest.approx(alone, rel=0.05)
    assert fill_s(clogged) == pytest.approx(alone, rel=0.2)
    assert fill_s(clogged, shut) > 5 * alone


def test_a_stuck_valve_stays_shut_in_the_running_rig() -> None:
    """Cold start with the bypass stuck: no lift, and a drop far above its setting."""
    setup = apply(faults()["F01"], 0.5, rig("can", "after"))
    running = Rig(replace(setup, air_c=-5.0, rpm=900.0))
    running.step(20.0)
    last = running.snapshot()
    assert last.lift_m < 2e-5
    assert last.dp_pa > 2 * rig("can", "after").network.valve.cracking_pa


def test_a_jammed_valve_never_shuts_in_the_running_rig() -> None:
    """Hot idle, stuck open: the valve rests on what jams it and lets oil by."""
    setup = apply(faults()["F02"], 0.5, rig("can", "after"))
    running = settled_rig(setup, 700.0, 85.0)
    last = running.snapshot()
    assert last.lift_m == pytest.approx(setup.network.valve.jam_lift_m, rel=0.05)
    assert last.bypass_m3s > 0.05 * last.element_m3s


def test_no_seal_no_pressure() -> None:
    """Without its seal the rig never comes to green."""
    setup = apply(faults()["F14"], 0.5, rig("can", "after"))
    bench = SteadyState(setup, 900.0, -5.0)
    assert bench.green_s(0.0, 1.0, bench.settled()) == NEVER_S
