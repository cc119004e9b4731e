"""Air, water, sludge, a lost sump, warmth and the magnet: physics behind the faults that need them."""

from __future__ import annotations

from dataclasses import replace
from math import exp, pi

import numpy as np
import pytest
from glasscan.contaminant.element import Element
from glasscan.faults.apply import apply
from glasscan.faults.as_rig import moment_of, parts_of
from glasscan.faults.fault_data import faults
from glasscan.faults.fault_debris import SERVICE_H, feeds
from glasscan.faults.observables import CRUISE, observe, points_of, subject
from glasscan.faults.run_temperatures import LUMPS, RUN_S, after_running
from glasscan.faults.steady_state import SteadyState
from glasscan.rig import heat_balance
from glasscan.rig import state_index as at
from glasscan.rig.algebraic import can_pressure
from glasscan.rig.params import AIR_PA, si_params
from glasscan.rig.plant_data import AirData
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp, RigSetup
from glasscan.rig.supply import airy_rho, slug_air_ratio, suction_pull_pa, swept_m3s
from scipy.integrate import solve_ivp

from tests.faults.rigs import rig

HOT = {"air_c": 15.0, "oil_c": 85.0, "gallery_fill": 1.0}


def airy(setup: RigSetup, share: float) -> RigSetup:
    """The rig drawing air."""
    air = AirData(source="test", status="INVENTED", share=share)
    return replace(setup, plant=setup.plant.model_copy(update={"air": air}))


def values_of(code: str, severity: float, kind: str = "can", layout: str = "after") -> dict[str, float]:
    """Observables of a fault."""
    return observe(subject(faults()[code], severity, rig(kind, layout)))


def test_pump_gives_the_oil_that_is_in_what_it_draws() -> None:
    """A tenth of air at the air's pressure and no pull: nine tenths of oil (definition of the share)."""
    p = replace(si_params(rig("can", "after").plant), suction_r=1e-3, suction_k=0.0)
    whole = swept_m3s(p, 1000.0, 0.02, 7e-3, 850.0)
    assert swept_m3s(p, 1000.0, 0.02, 7e-3, 850.0, 0.1 / 0.9) == pytest.approx(0.9 * whole, rel=1e-9)


def test_bubbles_swell_at_the_pick_up() -> None:
    """At a part of the air's pressure bubbles take so much more room: Boyle, 1/(1 + x p_air/p)."""
    p = replace(si_params(rig("can", "after").plant), suction_r=0.0)
    flow = swept_m3s(p, 1000.0, 0.02, 7e-3, 850.0)
    p = replace(p, suction_k=0.5 * AIR_PA / (850.0 * flow**2))
    dry = swept_m3s(p, 1000.0, 0.02, 7e-3, 850.0)
    wet = swept_m3s(p, 1000.0, 0.02, 7e-3, 850.0, 0.1)
    left = AIR_PA - suction_pull_pa(p, dry, 0.02, 850.0)
    assert wet / dry == pytest.approx(1.0 / (1.0 + 0.1 * AIR_PA / left), rel=1e-9)
    assert left < 0.7 * AIR_PA


def test_the_mesh_of_the_strainer_takes_the_square_of_the_flow() -> None:
    """Where the pick-up takes all there is, `mu r q + rho k q^2` is that pressure: root of the quadratic."""
    p = replace(si_params(rig("can", "after").plant), suction_r=3e8, suction_k=4e9)
    flow = swept_m3s(p, 1e6, 0.05, 7e-3, 850.0)
    assert suction_pull_pa(p, flow, 0.05, 850.0) == pytest.approx(p.suction_pa, rel=1e-3)


def test_air_makes_the_can_soft_and_the_oil_light() -> None:
    """Free air x V at the air's pressure, compressed to half at two atmospheres absolute (Boyle)."""
    parts = Rig(airy(rig("can", "after"), 0.1)).parts()
    free = parts.params.air_ratio * parts.can_m3
    over = 0.5 * free + parts.can_m3 / parts.params.can_bulk_pa * AIR_PA
    assert can_pressure(parts, over) == pytest.approx(parts.params.can_head_pa + AIR_PA, rel=1e-6)
    assert airy_rho(parts.params, 850.0, AIR_PA) == pytest.approx(850.0 / (1.0 + 0.5 / 9.0))


def test_slugs_have_the_mean_that_is_asked_for() -> None:
    """Over whole slugs the air drawn is its mean; it swings from nought to twice that."""
    p = si_params(airy(rig("can", "after"), 0.1).plant)
    pumped = np.linspace(0.0, p.slug_m3 / p.air_ratio, 4001)[:-1]
    seen = np.array([slug_air_ratio(p, float(v)) for v in pumped])
    assert seen.mean() == pytest.approx(p.air_ratio, rel=1e-9)
    assert (seen.min(), seen.max()) == (
        pytest.approx(0.0, abs=1e-9),
        pytest.approx(2 * p.air_ratio, rel=1e-6),
    )


def test_needle_swings_in_the_running_rig_as_worked_out() -> None:
    """Hot idle with 12 % of air: half the swing of the running gauge against the settled estimate."""
    setup = airy(replace(rig("can", "after"), **HOT, rpm=700.0), 0.12)
    running = Rig(setup)
    running.advance_to(20.0)
    seen = []
    for k in range(200):
        running.advance_to(20.0 + 0.05 * (k + 1))
        seen.append(running.snapshot().gauge_pa)
    expected = observe(subject(None, 0.0, setup))["flutter_idle_kpa"] * 1e3
    assert 0.5 * np.ptp(seen) == pytest.approx(expected, rel=0.3)
    assert running.ledger().volume_error_rel < 1e-9
    calm = Rig(replace(setup, plant=rig("can", "after").plant))
    calm.advance_to(30.0)
    before = calm.snapshot().gauge_pa
    calm.advance_to(32.0)
    assert abs(calm.snapshot().gauge_pa - before) < 0.05 * expected


def test_the_regulator_hides_the_swing() -> None:
    """Same air: the needle swings at hot idle, where the regulator is shut, and stands at cruise."""
    values = values_of("F22", 0.6)
    assert values["flutter_idle_kpa"] > 5.0
    assert values["flutter_cruise_kpa"] < 0.1 * values["flutter_idle_kpa"]


def test_bubbles_are_miscounted_and_gone_after_a_vacuum() -> None:
    """Fresh samples count as dirty after the filter as before it; stood ones show the filter's ratio."""
    values, sound = values_of("F22", 0.6), observe(subject(None, 0.0, rig("can", "after")))
    assert values["count_ratio"] == pytest.approx(1.0, abs=0.01)
    assert values["still_count_ratio"] == pytest.approx(sound["count_ratio"], rel=0.1)
    assert values["count_after_ml"] > 100 * sound["count_after_ml"]


def test_bubbles_leave_a_jar_and_water_stays() -> None:
    """Stokes: 0.15 mm in hot oil rises 80 mm in well under ten minutes; drops of water stay."""
    air, water = values_of("F22", 0.6), values_of("F27", 0.6)
    assert (air["milky_drawn"], air["milky_stood"]) == (1.0, 0.0)
    assert (water["milky_drawn"], water["milky_stood"]) == (1.0, 1.0)


def test_drops_are_counted_by_their_volume() -> None:
    """A thousandth of water in 30 um drops: 0.001 / (pi/6 d^3) in a millilitre (volume of a sphere)."""
    setup = rig("can", "after")
    water = setup.plant.water.model_copy(update={"share": 1e-3})
    wet = replace(setup, plant=setup.plant.model_copy(update={"water": water}))
    more = observe(subject(None, 0.0, wet))["count_after_ml"]
    more -= observe(subject(None, 0.0, setup))["count_after_ml"]
    assert more == pytest.approx(1e-3 / (pi / 6 * 3e-3**3), rel=1e-6)


def test_a_lost_seal_empties_the_sump_in_minutes() -> None:
    """Hot cruise without a seal: the level falls by what is lost, the pump starves, the pressure goes."""
    setup = apply(faults()["F19"], 1.0, replace(rig("can", "after"), **HOT, rpm=2300.0))
    running = Rig(setup)
    running.advance_to(45.0)
    early, lost = running.snapshot(), running.ledger().leaked_m3
    assert early.readings["sump_m3"] == pytest.approx(
        7.5e-3 - running.ledger().held_change_m3 - lost, rel=1e-6
    )
    assert early.gauge_pa > 3.5e5
    running.advance_to(240.0)
    late, books = running.snapshot(), running.ledger()
    assert late.gauge_pa < 3e4
    assert late.readings["sump_m3"] < 2e-4
    assert books.leaked_m3 > 7e-3
    assert books.volume_error_rel < 1e-9
    assert books.mass_error_rel < 1e-9
    assert books.dirt_leaked_kg.sum() > 0.0


def test_dirt_leaves_with_the_oil() -> None:
    """Of the finest dirt, which the stack does not catch, the share lost is that of the oil lost."""
    setup = apply(faults()["F16"], 1.0, replace(rig("disc", "after"), **HOT, rpm=2300.0))
    running = Rig(setup)
    running.advance_to(120.0)
    books = running.ledger()
    finest = books.dirt_leaked_kg[0] / (books.dirt_start_kg[0] + books.dirt_in_kg[0])
    assert finest == pytest.approx(books.leaked_m3 / (setup.plant.sump.volume_l * 1e-3), rel=0.05)


def test_sludge_shuts_gaps_from_below() -> None:
    """Solids that fill the room below the stack and half of that beside it: half of the gaps draw through."""
    network = rig("disc", "after").network
    scraper, element = network.dirt_side.scraper, Element(network, network.dirt_side.catcher)
    none = np.zeros((8, network.segments))
    sludge = np.full(8, (scraper.room_kg + 0.5 * scraper.beside_kg) / 8)
    ratio = element.resistance(none, sludge) / network.segment_r
    half = network.segments // 2
    assert (ratio[:half] > 2.0).all()
    assert ratio[half:] == pytest.approx(1.0)
    assert element.resistance(none, np.full(8, 0.9 * scraper.room_kg / 8)) == pytest.approx(network.segment_r)


def test_draining_the_bowl_cures_the_drop_and_turning_brings_a_burst() -> None:
    """A bowl never drained: the drop falls on draining, not on turning; turning stirs the sludge up."""
    setup = apply(faults()["F33"], 0.6, replace(rig("disc", "before"), **HOT, rpm=1500.0))
    running = Rig(setup)
    running.advance_to(30.0)
    kept, before = running.state, running.snapshot()
    running.set("scraper_turns", 3.0)
    running.advance_to(running.handle_rests_s)
    turned = running.snapshot()
    running.state = kept
    running.set("drain_bowl", 1.0)
    running.advance_to(60.0)
    drained = running.snapshot()
    assert turned.dp_pa > 0.9 * before.dp_pa
    assert turned.readings["down_14um_per_ml"] > 10 * before.readings["down_14um_per_ml"]
    assert drained.dp_pa < 0.9 * before.dp_pa
    assert running.ledger().mass_error_rel < 1e-9


def test_a_damped_indicator_lets_the_first_surge_pass() -> None:
    """A stack, regulator before: the quick run-up is a short surge; felt is `1 - exp(-t/tau)` of it."""
    ill = values_of("F34c", 0.6, kind="disc", layout="before")
    sound = observe(subject(None, 0.0, rig("disc", "before")))
    assert sound["indicator_surge"] == 0.0
    assert ill["indicator_surge"] == 1.0
    assert ill["indicator_hot"] == ill["indicator_cold"] == 0.0
    bench = SteadyState(rig("disc", "before"), rig("disc", "before").plant.heat.reference_rpm, 45.0)
    felt = bench.filling_dp_pa() * (1.0 - exp(-bench.fill_s(0.6, 1.0) / 2.0))
    assert sound["surge_felt_kpa"] == pytest.approx(felt * 1e-3)


def test_the_surge_pops_the_button_in_the_running_rig() -> None:
    """The same run-up stepped through time: only the undamped, loosened button comes out."""
    start = (Ramp(0.2, "rpm", 2400.0, 0.1),)
    sound = replace(rig("disc", "before"), air_c=45.0, gallery_fill=0.6, timeline=start)
    popped = []
    for setup in (sound, apply(faults()["F34c"], 0.6, sound)):
        running = Rig(setup)
        running.advance_to(6.0)
        popped.append(any(event.word == "indicator-pops" for event in running.events))
    assert popped == [False, True]


def test_temperatures_follow_the_rigs_heat_balance() -> None:
    """The five lumps after twenty minutes against scipy's LSODA on the same rates."""
    oil_c, rpm = points_of(rig("can", "after"))[CRUISE]
    bench = SteadyState(apply(faults()["F20"], 0.6, rig("can", "after")), rpm, oil_c)
    settled = bench.settled()
    parts, now = parts_of(bench), moment_of(bench, settled)

    def rate(_: float, t_c: np.ndarray) -> tuple[float, ...]:
        y = [0.0] * at.SIZE
        y[LUMPS] = t_c.tolist()
        return heat_balance.rates(parts, y, now, rpm, 15.0)

    exact = solve_ivp(rate, (0.0, RUN_S), [oil_c] * 5, "LSODA", rtol=1e-8, atol=1e-6).y[:, -1]
    mine = list(after_running(bench, settled, oil_c, 15.0).values())
    assert mine == pytest.approx(exact.tolist(), abs=0.3)


def test_starved_and_thick_run_hot_at_the_bearings() -> None:
    """Less oil, or thicker oil: hotter bearings; wide gaps: cooler ones; the cooler holds the oil."""
    sound = observe(subject(None, 0.0, rig("can", "after")))
    for code, sign in (("F20", 1), ("F26a", 1), ("F14", 1), ("F25", -1)):
        values = values_of(code, 1.0)
        assert sign * (values["bearing_hot_c"] - sound["bearing_hot_c"]) > 2.0, code
        assert abs(values["oil_hot_c"] - sound["oil_hot_c"]) < 3.0, code


def test_the_magnet_tells_steel_from_soft_metal() -> None:
    """What an element has caught in fifty hours is what was let in, material by material (mass balance).

    The shedding has grown over its last hours, evenly in the logarithm: integrated here hour by hour.
    """
    steel, soft = values_of("F28a", 0.6), values_of("F28b", 0.6)
    assert steel["iron_held_mg"] > 8 * soft["iron_held_mg"]
    assert (
        soft["soft_held_mg"] > 4 * steel["soft_held_mg"]
    )  # what a sound engine wears of soft metal is in both
    fault, setup = faults()["F28a"], rig("can", "after")
    first, last = (feeds(s.plant.dirt) for s in (setup, apply(fault, 0.6, setup)))
    clock_h = np.linspace(0.0, SERVICE_H, 20_001)
    share = np.clip((clock_h - SERVICE_H) / fault.hours + 1.0, 0.0, 1.0)
    whole = 0.0
    for name in ("iron", "soft"):
        some = first[name] > 0.0
        a, b = first[name][some, None], last[name][some, None]
        whole += float(np.trapezoid(a * (b / a) ** share, clock_h, axis=1).sum()) * 3600.0 * 1e6
    assert steel["iron_held_mg"] + steel["soft_held_mg"] == pytest.approx(whole, rel=0.01)


def test_oil_carries_no_more_than_was_let_in() -> None:
    """What a stack hardly catches gathers in the oil: never more than came in since the filter was new."""
    setup = rig("disc", "after")
    values = observe(subject(None, 0.0, setup))
    came_in = sum(float(feed.sum()) for feed in feeds(setup.plant.dirt).values()) * SERVICE_H * 3600.0 * 1e6
    litres = setup.plant.sump.volume_l
    told = (values["iron_oil_mg_l"] + values["soft_oil_mg_l"]) * litres
    assert 0.5 * came_in < told + values["iron_held_mg"] + values["soft_held_mg"] <= came_in * (1 + 1e-9)
    stirred = values_of("F33", 1.0, kind="disc")
    assert stirred["count_4_before_ml"] < 1e8


def test_low_level_shows_at_idle_and_a_clogged_mesh_in_the_cold() -> None:
    """Half the pick-up out of the oil halves the flow at any speed; a mesh throttles most what is thick."""
    sound = observe(subject(None, 0.0, rig("can", "after")))
    low, mesh = values_of("F21b", 0.6), values_of("F21a", 0.6)
    assert low["gauge_idle_kpa"] < 0.7 * sound["gauge_idle_kpa"] < mesh["gauge_idle_kpa"]
    assert mesh["green_overnight_s"] > 5 * sound["green_overnight_s"]
    assert mesh["suction_hot_kpa"] > 5 * sound["suction_hot_kpa"]
