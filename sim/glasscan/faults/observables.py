"""Everything a test could measure on a rig, worked out from the model: true values, no reading error.

Names end in the unit; what has none is a ratio or a share of certainty 0..1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import exp, hypot, pi

from glasscan.faults.apply import combined
from glasscan.faults.bench_measurements import element_values, regulator_values, valve_values
from glasscan.faults.fault_data import Fault
from glasscan.faults.fault_debris import Grown, dirt_values
from glasscan.faults.run_temperatures import after_running
from glasscan.faults.settled import Settled
from glasscan.faults.steady_state import SteadyState
from glasscan.faults.subject import Subject
from glasscan.rig import state_index as at
from glasscan.rig.oil_tables import oil_table
from glasscan.rig.params import AIR_PA
from glasscan.rig.setup import RigSetup
from glasscan.rig.supply import gauge_lag_s, slip_m3s, suction_pull_pa, swept_m3s

COLD, MILD, IDLE, CRUISE = "cold", "mild", "idle", "cruise"
Point = tuple[float, float]
POINTS: Mapping[str, Point] = {COLD: (-5.0, 900.0), MILD: (20.0, 900.0), IDLE: (85.0, 700.0)}
"""Operating points as (oil degC, rev/min): common practice; hot cruise has the engine's own speed."""
HOT_C = 85.0


def points_of(setup: RigSetup) -> dict[str, Point]:
    """Operating points of an engine; cruise is at its reference speed."""
    return {**POINTS, CRUISE: (HOT_C, setup.plant.heat.reference_rpm)}


REST_GALLERY = 0.6
"""Share of the gallery that still holds oil ten minutes after stopping (invented)."""

LPM, KPA, ML_MIN = 6e4, 1e-3, 6e7
BENCH_PUMP_PA, UM = 4e5, 1e-6
SURGE_C = 45.0
"""A quick run-up with oil just warm enough for the indicator's lockout (common practice, no source)."""
RUN_UP_MIN, FLOWN_SHARE, POURED_SHARE = 0.25, 0.8, 0.6
"""A leak too large for a flight is seen at the run-up: minutes until it is shut down, share of the oil that a
flight may lose, most that is on the ground by then (invented)."""
AIR_C, FLIGHT_MIN, WARM_BOX_C = 15.0, 30.0, 70.0
JAR_C, JAR_S, JAR_M, HAZE_SHARE = 80.0, 600.0, 0.08, 0.001
"""A jar of oil drawn hot: degC, time it stands, height, and air or water that makes it milky (invented)."""

Values = dict[str, float]
FOUND = (
    *("part_wrong", "filter_touched", "oil_changed", "parts_left_over", "fuel_smell", "water"),
    *("core_dent", "ring_missing", "two_rings", "ring_hurt", "ring_cut", "crushed"),
    *("turns_by_hand", "stack_turns"),
)
"""What parts and papers can show (`Fault.found`)."""
CERTAIN = 0.8
"""How surely the log tells that something crept, or came all at once: the onset of the fault (invented)."""


def subject(fault: Fault | None, severity: float, sound: RigSetup) -> Subject:
    """The rig with a fault, or the sound one."""
    return subject_of([] if fault is None else [(fault, severity)], sound)


def subject_of(ill: Sequence[tuple[Fault, float]], sound: RigSetup) -> Subject:
    """The rig with several faults at once; what parts show is the strongest sign of any of them."""
    found: dict[str, float] = {}
    for fault, _ in ill:
        for name, share in fault.found.items():
            found[name] = max(share, found.get(name, 0.0))
    hours = [fault.hours or 0.0 for fault, _ in ill if any(c.set.startswith("dirt.") for c in fault.changes)]
    onsets = frozenset(fault.onset for fault, _ in ill)
    return Subject(combined(ill, sound), sound, found, onsets, max(hours, default=0.0))


def observe(case: Subject) -> Values:
    """All observables of a rig; name -> true value."""
    points = {name: SteadyState(case.setup, rpm, t_c) for name, (t_c, rpm) in points_of(case.setup).items()}
    settled = {name: bench.settled() for name, bench in points.items()}
    return {
        **_running(settled),
        **_filling(case.setup, points[COLD], settled[COLD], points[IDLE]),
        **_indicator(case.setup, settled),
        **_surge(case.setup),
        **_flutter(case.setup, settled),
        **_warm(points[CRUISE], settled[CRUISE]),
        **_level(case.setup, settled[CRUISE]),
        **_sample(case),
        **dirt_values(points[CRUISE], settled[CRUISE], Grown(case.sound.plant.dirt, case.grown_h)),
        **_swapped(case),
        **_oil_and_pump(case.setup),
        "bearing_gap_ratio": _wider(case),
        **valve_values(case),
        **element_values(case, points[CRUISE].segment_r),
        **regulator_values(case),
        "crept": CERTAIN * ("after-hours" in case.onsets),
        "sudden": CERTAIN * ("on-pulse" in case.onsets),
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


def _filling(setup: RigSetup, cold: SteadyState, settled: Settled, hot: SteadyState) -> Values:
    """Time to the green mark after a night and after ten minutes, and how slowly the needle falls."""
    return {
        "green_overnight_s": cold.green_s(setup.gallery_fill, setup.can_fill, settled),
        "green_restart_s": cold.green_s(REST_GALLERY, 1.0, settled),
        "needle_lag_s": gauge_lag_s(hot.p, hot.mu),
    }


def _indicator(setup: RigSetup, settled: Mapping[str, Settled]) -> Values:
    data, places = setup.plant.indicator, points_of(setup)
    popped = {
        name: float(data.fitted and s.dp_pa * KPA >= data.trip_kpa and places[name][0] >= data.lockout_c)
        for name, s in settled.items()
    }
    return {
        "indicator_cold": popped[COLD],
        "indicator_hot": max(popped[IDLE], popped[CRUISE]),
        "lets_go_warm": float(data.fitted and data.lockout_c <= WARM_BOX_C),
        "indicator_trip_kpa": data.trip_kpa if data.fitted else 1e4,
    }


def _surge(setup: RigSetup) -> Values:
    """A quick run-up of warm oil ten minutes after stopping: does the indicator feel its first surge?

    While the gallery fills nothing pushes back, and the filter takes the whole flow of the pump.
    """
    data, (oil_c, rpm) = setup.plant.indicator, (SURGE_C, setup.plant.heat.reference_rpm)
    bench = SteadyState(setup, rpm, oil_c)
    fill_s, dp_pa = bench.fill_s(REST_GALLERY, 1.0), bench.filling_dp_pa()
    felt = dp_pa * (1.0 - exp(-fill_s / data.response_s)) if data.response_s else dp_pa
    popped = data.fitted and felt * KPA >= data.trip_kpa and oil_c >= data.lockout_c
    return {"indicator_surge": float(popped), "surge_felt_kpa": felt * KPA, "response_s": data.response_s}


def _flutter(setup: RigSetup, settled: Mapping[str, Settled]) -> Values:
    """Half the swing of gauge and differential that slugs of air bring: all oil against twice the mean air.

    The gauge follows with its lag, one slug at a time.
    """
    values: Values = {}
    for name, s in settled.items():
        swing = (0.0, 0.0)
        if setup.plant.air.share > 0.0:
            swing = _swing(setup, name, s)
        values[f"flutter_{name}_kpa"], values[f"dp_flutter_{name}_kpa"] = swing
    return values


def _swing(setup: RigSetup, name: str, mean: Settled) -> tuple[float, float]:
    oil_c, rpm = points_of(setup)[name]
    most, least = (SteadyState(setup, rpm, oil_c, air=air) for air in (0.0, 2.0))
    high, low = most.settled(), least.settled()
    p = most.p
    omega = 2.0 * pi * p.air_ratio * mean.pump_m3s / p.slug_m3
    lag = 1.0 / hypot(1.0, omega * gauge_lag_s(p, most.mu))
    return 0.5 * abs(high.gauge_pa - low.gauge_pa) * lag * KPA, 0.5 * abs(high.dp_pa - low.dp_pa) * KPA


def _warm(bench: SteadyState, cruise: Settled) -> Values:
    """Temperatures after twenty minutes of cruise that began hot, degC."""
    after = after_running(bench, cruise, HOT_C, AIR_C)
    return {"oil_hot_c": after[at.T_SUMP], "bearing_hot_c": after[at.T_BEARING]}


def _level(setup: RigSetup, cruise: Settled) -> Values:
    """Oil on the dipstick after a flight or a broken-off run-up, L; minutes of cruise until air is drawn."""
    sump, spare = setup.plant.sump.volume_l, setup.plant.sump.volume_l - setup.plant.sump.unport_l
    lost_l_min = cruise.leak_m3s * LPM
    run_min = FLIGHT_MIN if lost_l_min * FLIGHT_MIN < FLOWN_SHARE * max(spare, 0.0) else RUN_UP_MIN
    return {
        "dipstick_l": max(sump - min(lost_l_min * run_min, POURED_SHARE * sump), 0.0),
        "minutes_to_air": max(spare, 0.0) / max(lost_l_min, 1e-6),
    }


def _sample(case: Subject) -> Values:
    """A jar of hot oil: milky when drawn, and after ten minutes in which bubbles rise (Stokes)."""
    air, water = case.setup.plant.air, min(case.setup.plant.water.share / HAZE_SHARE, 1.0)
    oil = oil_table(case.setup.fluid)
    rise_m_s = 9.80665 * oil.rho_kg_m3(JAR_C) * (air.bubble_um * UM) ** 2 / (18.0 * oil.mu_pa_s(JAR_C))
    fresh = min(air.share / HAZE_SHARE, 1.0)
    left = max(1.0 - rise_m_s * JAR_S / JAR_M, 0.0)
    return {"milky_drawn": max(fresh, water), "milky_stood": max(fresh * left, water)}


def _swapped(case: Subject) -> Values:
    """The same rig with a known-good filter."""
    plant = case.setup.plant.model_copy(update={"seal": case.sound.plant.seal})
    good = replace(case.setup, network=case.sound.network, plant=plant, dirt_kg=case.sound.dirt_kg)
    oil_c, rpm = points_of(good)[CRUISE]
    hot = SteadyState(good, rpm, oil_c).settled()
    return {"swapped_gauge_kpa": hot.gauge_pa * KPA, "swapped_dp_kpa": hot.dp_pa * KPA}


def _wider(case: Subject) -> float:
    """Bearing clearance over that of the sound rig: the flow goes with its cube."""
    now, own = (setup.plant.gallery.bearing_mm3 for setup in (case.setup, case.sound))
    return float((now / own) ** (1.0 / 3.0))


def _oil_and_pump(setup: RigSetup) -> Values:
    """Oil in a tube at 40 degC; pump on a stand at hot idle; depression at the pick-up."""
    bench = SteadyState(setup, 700.0, 85.0)
    p = bench.p
    swept = p.sweep_m3_rev * 700.0 / 60.0  # the stand feeds it well
    cold = oil_table(setup.fluid).mu_pa_s(20.0)
    pull = suction_pull_pa(p, swept_m3s(p, 900.0, cold, p.sump_m3, bench.rho), cold, bench.rho)
    hot_swept = swept_m3s(p, p.reference_rpm, bench.mu, p.sump_m3, bench.rho)
    hot_pull = suction_pull_pa(p, hot_swept, bench.mu, bench.rho)
    return {
        "nu40_mm2_s": float(setup.fluid.nu_m2_s(40.0)) * 1e6,
        "pump_stand_lpm": (swept - slip_m3s(p, swept, BENCH_PUMP_PA, bench.mu)) * LPM,
        "suction_pull_kpa": min(pull, AIR_PA) * KPA,
        "suction_hot_kpa": min(hot_pull, AIR_PA) * KPA,
    }
