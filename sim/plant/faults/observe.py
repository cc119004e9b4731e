"""Everything a test could measure on a rig, worked out from the model: true values, no reading error.

Names end in the unit; what has none is a ratio or a share of certainty 0..1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from sim.filters.network import FilterNetwork, ValveSpec
from sim.plant.contaminant.actions import kept_share
from sim.plant.contaminant.classes import EDGES_UM, counts_per_ml
from sim.plant.contaminant.state import faults_of, feed_kg_s
from sim.plant.faults.apply import combined
from sim.plant.faults.data import Fault
from sim.plant.faults.steady import Bench, Settled
from sim.plant.oil import oil_table
from sim.plant.params import AIR_PA
from sim.plant.setup import RigSetup
from sim.plant.supply import slip_m3s, swept_m3s
from sim.plant.throttle import flow_m3s as gap_m3s
from sim.plant.throttle import gap_coefficients, hole_m3s

COLD, MILD, IDLE, CRUISE = "cold", "mild", "idle", "cruise"
POINTS: Mapping[str, tuple[float, float]] = {
    COLD: (-5.0, 900.0),
    MILD: (20.0, 900.0),
    IDLE: (85.0, 700.0),
    CRUISE: (85.0, 2400.0),
}
"""Operating points as (oil degC, rev/min): common practice, no source."""

REST_GALLERY = 0.6
"""Share of the gallery that still holds oil ten minutes after stopping (invented)."""

LPM, KPA, ML_MIN = 6e4, 1e-3, 6e7
BENCH_OIL_C, BENCH_SHARE, BENCH_PUMP_PA = 20.0, 0.5, 4e5
WETTING_N_M, PORE_RATIO = 0.021, 3.0
"""Surface tension of 2-propanol at 20 degC (handbook, MEMORY); largest pore over rating (invented)."""
UM, MM = 1e-6, 1e-3
LEAST_M3S = 1e-9
TURNS = 3.0
"""Turns of the scraper in its test."""

Values = dict[str, float]
Floats = NDArray[np.float64]
FOUND = (
    *("part_wrong", "filter_touched", "oil_changed", "parts_left_over", "fuel_smell", "water", "metal"),
    *("grit", "core_dent", "ring_missing", "two_rings", "ring_hurt", "ring_cut", "crushed"),
    *("turns_by_hand", "stack_turns"),
)
"""What parts and papers can show (`Fault.found`)."""


@dataclass(frozen=True)
class Subject:
    """A rig with (or without) a fault beside the same rig when sound."""

    setup: RigSetup
    sound: RigSetup
    found: Mapping[str, float]


def subject(fault: Fault | None, severity: float, sound: RigSetup) -> Subject:
    """The rig with a fault, or the sound one."""
    return subject_of([] if fault is None else [(fault, severity)], sound)


def subject_of(ill: Sequence[tuple[Fault, float]], sound: RigSetup) -> Subject:
    """The rig with several faults at once; what parts show is the strongest sign of any of them."""
    found: dict[str, float] = {}
    for fault, _ in ill:
        for name, share in fault.found.items():
            found[name] = max(share, found.get(name, 0.0))
    return Subject(combined(ill, sound), sound, found)


def observe(case: Subject) -> Values:
    """All observables of a rig; name -> true value."""
    points = {name: Bench(case.setup, rpm, oil_c) for name, (oil_c, rpm) in POINTS.items()}
    settled = {name: bench.settled() for name, bench in points.items()}
    return {
        **_running(settled),
        **_filling(case.setup, points[COLD], settled[COLD]),
        **_indicator(case.setup, settled),
        **_counts(points[CRUISE], settled[CRUISE]),
        **_turned(points[CRUISE]),
        **_swapped(case),
        **_oil_and_pump(case.setup),
        **_valve(case),
        **_element(case, points[CRUISE].segment_r),
        **_regulator(case),
        **{name: case.found.get(name, 0.0) for name in FOUND},
    }


def _running(settled: Mapping[str, Settled]) -> Values:
    values: Values = {}
    for name, s in settled.items():
        values[f"gauge_{name}_kpa"] = s.gauge_pa * KPA
        values[f"gallery_{name}_kpa"] = s.gallery_pa * KPA
        values[f"can_{name}_kpa"] = s.can_pa * KPA
        values[f"dp_{name}_kpa"] = s.dp_pa * KPA
        values[f"unfiltered_{name}"] = s.unfiltered_share
        values[f"element_{name}_lpm"] = s.element_m3s * LPM
        values[f"engine_{name}_lpm"] = s.engine_m3s * LPM
        values[f"leak_{name}_ml_min"] = s.leak_m3s * ML_MIN
    return values


def _filling(setup: RigSetup, cold: Bench, settled: Settled) -> Values:
    """Time to the green mark after a night and after ten minutes, and how slowly the needle falls."""
    return {
        "green_overnight_s": cold.green_s(setup.gallery_fill, setup.can_fill, settled),
        "green_restart_s": cold.green_s(REST_GALLERY, 1.0, settled),
        "needle_lag_s": setup.plant.gauge.lag_s,
    }


def _indicator(setup: RigSetup, settled: Mapping[str, Settled]) -> Values:
    data = setup.plant.indicator
    popped = {
        name: float(data.fitted and s.dp_pa * KPA >= data.trip_kpa and POINTS[name][0] >= data.lockout_c)
        for name, s in settled.items()
    }
    return {
        "indicator_cold": popped[COLD],
        "indicator_hot": max(popped[IDLE], popped[CRUISE]),
        "indicator_trip_kpa": data.trip_kpa if data.fitted else 1e4,
    }


def _counts(bench: Bench, cruise: Settled) -> Values:
    """Particles above the counting size next below the rating, before and after, 1/mL.

    Once settled, what is let in is what is caught: `source = flow x concentration x caught share`.
    """
    edge = max(size for size in EDGES_UM if size <= bench.setup.network.rating_um)
    flow = cruise.element_m3s + cruise.unfiltered_m3s
    caught = bench.element.caught(bench.held) @ np.maximum(cruise.segment_m3s, 0.0)
    feed = feed_kg_s(bench.setup.plant.dirt, bench.rpm / bench.p.reference_rpm)
    before = feed / np.maximum(caught, LEAST_M3S)
    counts = [counts_per_ml(mass, edge) for mass in (before, before * (1.0 - caught / flow))]
    ratio = counts[1] / counts[0] if counts[0] > 0.0 else 1.0
    return {"count_before_ml": counts[0], "count_after_ml": counts[1], "count_ratio": ratio}


def _turned(bench: Bench) -> Values:
    """Drop after some turns of the scraper over that before, and how unevenly it has combed."""
    side, network = bench.setup.network.dirt_side, bench.setup.network
    if side.scraper is None:
        return {"turned_ratio": 1.0, "bands_ratio": 1.0}
    keep = kept_share(network.segments, TURNS, side.scraper, faults_of(bench.setup.plant.scraper))
    oil_c, rpm = POINTS[CRUISE]
    after = Bench(bench.setup, rpm, oil_c, bench.held * keep)
    r = after.segment_r / network.segment_r
    ratio = after.settled().dp_pa / max(bench.settled().dp_pa, 1.0)
    return {"turned_ratio": ratio, "bands_ratio": float(r.max() / r.min())}


def _swapped(case: Subject) -> Values:
    """The same rig with a known-good filter."""
    plant = case.setup.plant.model_copy(update={"seal": case.sound.plant.seal})
    good = replace(case.setup, network=case.sound.network, plant=plant, dirt_kg=case.sound.dirt_kg)
    oil_c, rpm = POINTS[CRUISE]
    hot = Bench(good, rpm, oil_c).settled()
    return {"swapped_gauge_kpa": hot.gauge_pa * KPA, "swapped_dp_kpa": hot.dp_pa * KPA}


def _oil_and_pump(setup: RigSetup) -> Values:
    """Oil in a tube at 40 degC; pump on a stand at hot idle; depression at the pick-up."""
    bench = Bench(setup, 700.0, 85.0)
    p = bench.p
    swept = swept_m3s(p, 700.0, bench.mu, p.sump_m3)
    cold = oil_table(setup.fluid).mu_pa_s(20.0)
    pull = cold * p.suction_r * swept_m3s(p, 900.0, cold, p.sump_m3)
    return {
        "nu40_mm2_s": float(setup.fluid.nu_m2_s(40.0)) * 1e6,
        "pump_stand_lpm": (swept - slip_m3s(p, swept, BENCH_PUMP_PA, bench.mu)) * LPM,
        "suction_pull_kpa": min(pull, AIR_PA) * KPA,
        "bearing_gap_ratio": setup.plant.gallery.bearing_mm3 ** (1 / 3),
    }


def _valve(case: Subject) -> Values:
    """Bypass valve on the bench: pressure at which it moves, and leakage at half its proper setting."""
    valve, proper = case.setup.network.valve, case.sound.network.valve
    if valve is None or proper is None:
        return {"bench_crack_kpa": 0.0, "bench_leak_ml_min": 0.0}
    return {
        "bench_crack_kpa": max(valve.cracking_pa, 0.0) * KPA,
        "bench_leak_ml_min": _bench_leak_m3s(case.sound, valve, BENCH_SHARE * proper.cracking_pa) * ML_MIN,
    }


def _bench_leak_m3s(sound: RigSetup, valve: ValveSpec, dp_pa: float) -> float:
    from sim.plant.bypass import BypassValve

    area = BypassValve.of(valve).area_m2(valve.jam_lift_m) if valve.jam_lift_m > 0.0 else valve.leak_area_m2
    if area <= 0.0:
        return 0.0
    oil = oil_table(sound.fluid)
    mu, rho = oil.mu_pa_s(BENCH_OIL_C), oil.rho_kg_m3(BENCH_OIL_C)
    return gap_m3s(dp_pa, *gap_coefficients(area, pi * valve.seat_d_m, valve.cd, mu, rho))


def _element(case: Subject, segment_r: Floats) -> Values:
    """Element in hand: bubble pressure and where the bubbles rise, cake, the lip of the anti-drain valve."""
    net, sound = case.setup.network, case.sound.network
    pore_m = PORE_RATIO * net.rating_um * UM
    place = 0.0
    if net.hole is not None:
        pore_m = max(pore_m, sqrt(4 * net.hole.area_m2 / pi))
        place = 2.0 * abs(net.hole.segment / (net.segments - 1) - 0.5)
    return {
        "bubble_kpa": 4 * WETTING_N_M / pore_m * KPA,
        "hole_at_end": place,
        "hole_at_foot": float(net.hole is not None and net.hole.segment == 0),
        "cake_ratio": float(np.median(segment_r / sound.segment_r)),
        "widest_gap_ratio": _widest(net, sound),
        "inlet_open_share": _inlet_m2(net) / max(_inlet_m2(sound), 1e-12),
        "lip_leak": 1.0 - case.setup.can_fill,
    }


def _widest(net: FilterNetwork, sound: FilterNetwork) -> float:
    """Widest gap over its proper width: the cube root of the conductance (plane Poiseuille flow)."""
    return float(
        (np.median(net.segment_r / sound.segment_r) / (net.segment_r / sound.segment_r).min()) ** (1 / 3)
    )


def _inlet_m2(net: FilterNetwork) -> float:
    return sum(loss.area_m2 for loss in net.losses if loss.where == "inlet")


def _regulator(case: Subject) -> Values:
    """Regulator on the bench: opening pressure, leakage at half its proper setting, free travel."""
    data, proper = case.setup.plant.regulator, case.sound.plant.regulator
    seat_mm2 = pi * data.seat_d_mm * data.jam_lift_mm
    oil = oil_table(case.sound.fluid)
    leak = hole_m3s(
        BENCH_SHARE * proper.set_kpa / KPA,
        seat_mm2 * MM**2,
        data.cd,
        oil.mu_pa_s(BENCH_OIL_C),
        oil.rho_kg_m3(BENCH_OIL_C),
    )
    return {
        "regulator_opens_kpa": data.set_kpa,
        "regulator_leak_ml_min": leak * ML_MIN,
        "regulator_travel_mm": data.max_lift_mm,
    }
