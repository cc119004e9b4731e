"""Parts out of the rig and on the bench: bypass valve, element, regulator; true values, no reading error."""

from __future__ import annotations

from math import pi, sqrt
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.network import FilterNetwork, ValveSpec
from glasscan.laws.combing import Comb, torque_n_m
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.oil_tables import oil_table
from glasscan.rig.setup import RigSetup
from glasscan.rig.throttle import flow_m3s as gap_m3s
from glasscan.rig.throttle import gap_coefficients, hole_m3s

if TYPE_CHECKING:
    from glasscan.faults.subject import Subject

Values = dict[str, float]
Floats = NDArray[np.float64]
KPA, ML_MIN, UM, MM = 1e-3, 6e7, 1e-6, 1e-3
BENCH_OIL_C, BENCH_SHARE = 20.0, 0.5
WETTING_N_M, PORE_RATIO = 0.021, 3.0
"""Surface tension of 2-propanol at 20 degC (handbook, MEMORY); largest pore over rating (invented)."""


def valve_values(case: Subject) -> Values:
    """Bypass valve on the bench: pressure at which it moves, and leakage at half its proper setting."""
    valve, proper = case.setup.network.valve, case.sound.network.valve
    if valve is None or proper is None:
        return {"bench_crack_kpa": 0.0, "bench_leak_ml_min": 0.0}
    return {
        "bench_crack_kpa": max(valve.cracking_pa, 0.0) * KPA,
        "bench_leak_ml_min": _bench_leak_m3s(case.sound, valve, BENCH_SHARE * proper.cracking_pa) * ML_MIN,
    }


def _bench_leak_m3s(sound: RigSetup, valve: ValveSpec, dp_pa: float) -> float:
    area = BypassValve.of(valve).area_m2(valve.jam_lift_m) if valve.jam_lift_m > 0.0 else valve.leak_area_m2
    if area <= 0.0:
        return 0.0
    oil = oil_table(sound.fluid)
    mu, rho = oil.mu_pa_s(BENCH_OIL_C), oil.rho_kg_m3(BENCH_OIL_C)
    return gap_m3s(dp_pa, *gap_coefficients(area, pi * valve.seat_d_m, valve.cd, mu, rho))


def element_values(case: Subject, segment_r: Floats) -> Values:
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
        "widest_gap_ratio": _widest(net),
        **_pack(net),
        "inlet_open_share": _inlet_m2(net) / max(_inlet_m2(sound), 1e-12),
        "lip_leak": 1.0 - case.setup.can_fill,
    }


def _widest(net: FilterNetwork) -> float:
    """Widest gap over its drawing, as a feeler finds it; 1 where there is no stack."""
    pack = net.dirt_side.pack
    return 1.0 if pack is None else max(pack.widest_m) / pack.drawn_m


def _pack(net: FilterNetwork) -> Values:
    """Height of the pressed pack over the record, um; torque of the handle with a clean stack, N m."""
    pack = net.dirt_side.pack
    if pack is None:
        return {"pack_over_um": 0.0, "handle_nm": 0.0}
    scraper = net.dirt_side.scraper
    comb = scraper.comb if scraper is not None else Comb()
    torque = torque_n_m(comb, 0.0, 0.0, 0.0, 1.0, 1.0, 0.0)
    return {"pack_over_um": pack.height_over_drawing_m() / UM, "handle_nm": torque}


def _inlet_m2(net: FilterNetwork) -> float:
    return sum(loss.area_m2 for loss in net.losses if loss.where == "inlet")


def regulator_values(case: Subject) -> Values:
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
