"""Plant data turned to SI once, so that the laws meet no other unit."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, inf, pi, radians

from glasscan.rig.plant_data import PlantData

AIR_PA = 101_325.0  # standard atmosphere, ISO 2533
_MM3, _ML, _L, _MM, _KPA, _MG = 1e-9, 1e-6, 1e-3, 1e-3, 1e3, 1e-6


@dataclass(frozen=True, slots=True)
class Params:
    """Numbers of the rig in SI units; names as in `glasscan.rig.plant_data`."""

    sweep_m3_rev: float
    slip_m3: float
    slip_cap: float
    suction_r: float
    suction_k: float
    suction_l_d: float
    air_ratio: float
    slug_m3: float
    suction_pa: float
    compensator_pa: float
    compensator_band_pa: float
    relief_pa: float
    relief_g: float
    reg_preload_n: float
    reg_seat_d_m: float
    reg_seat_m2: float
    reg_half_deg: float
    reg_cos: float
    reg_rate_n_m: float
    reg_max_m: float
    reg_cd: float
    reg_lag_s: float
    reg_jam_m: float
    reg_return_r: float
    seal_m2: float
    seal_opens_pa: float
    seal_cd: float
    gallery_m3: float
    gallery_trapped_m3: float
    gallery_head_pa: float
    hold_pa: float
    bearing_m3: float
    bearing_shear: float
    jet_m2: float
    jet_cd: float
    jet_check_pa: float
    can_bulk_pa: float
    can_head_pa: float
    can_metal_j_k: float
    drop_pa: float
    sump_m3: float
    unport_m3: float
    preheat_w: float
    engine_w: float
    engine_exponent: float
    reference_rpm: float
    block_j_k: float
    bearing_j_k: float
    drag_m3: float
    drag_limit_nm: float
    block_air: float
    block_sump: float
    block_gallery: float
    bearing_block: float
    bearing_gallery: float
    sump_air: float
    filter_air: float
    cooler: float
    cooler_exponent: float
    thermostat_c: float
    thermostat_span_c: float
    gauge_tap: str
    gauge_lag_s: float
    gauge_line_per_pa_s: float
    gauge_scale: float
    gauge_offset_pa: float
    green_pa: float
    indicator_fitted: bool
    indicator_pa: float
    indicator_lockout_c: float
    indicator_lag_s: float
    unload_pa: float
    load_pa: float
    idle_pa: float
    acc_gas_m3: float
    acc_charge_pa: float
    acc_tau_s: float


def si_params(data: PlantData) -> Params:
    """Convert the data of a plant to SI units."""
    return Params(
        gauge_tap=data.gauge.tap,
        indicator_fitted=data.indicator.fitted,
        **_pump(data),
        **_regulator(data),
        **_passages(data),
        **_heat(data),
        **_instruments(data),
        **_store(data),
    )


def _pump(data: PlantData) -> dict[str, float]:
    pump = data.pump
    return {
        "sweep_m3_rev": pump.displacement_ml_rev * _ML * pump.volumetric_efficiency,
        "slip_m3": pump.slip_mm3 * _MM3,
        "slip_cap": pump.slip_cap,
        "suction_r": pump.suction_r_per_m3,
        "suction_k": pump.suction_k_per_m4,
        "suction_l_d": pump.suction_l_d,
        "air_ratio": data.air.share / (1.0 - data.air.share),
        "slug_m3": data.air.slug_ml * _ML,
        "suction_pa": max(AIR_PA - pump.suction_floor_kpa * _KPA, 0.0),
        "compensator_pa": (pump.compensator_kpa or inf) * _KPA,
        "compensator_band_pa": pump.compensator_band_kpa * _KPA,
        "relief_pa": pump.relief_kpa * _KPA,
        "relief_g": _L / (pump.relief_override_kpa * _KPA),
    }


def _regulator(data: PlantData) -> dict[str, float]:
    reg = data.regulator
    seat_d_m = reg.seat_d_mm * _MM
    seat_m2 = pi * seat_d_m**2 / 4
    return {
        "reg_preload_n": reg.set_kpa * _KPA * seat_m2,
        "reg_seat_d_m": seat_d_m,
        "reg_seat_m2": seat_m2,
        "reg_half_deg": reg.half_angle_deg,
        "reg_cos": cos(radians(reg.half_angle_deg)),
        "reg_rate_n_m": reg.rate_n_m,
        "reg_max_m": reg.max_lift_mm * _MM,
        "reg_cd": reg.cd,
        "reg_lag_s": reg.lag_s,
        "reg_jam_m": reg.jam_lift_mm * _MM,
        "reg_return_r": reg.return_r_per_m3,
    }


def _passages(data: PlantData) -> dict[str, float]:
    gallery, housing, sump = data.gallery, data.housing, data.sump
    volume = gallery.volume_l * _L
    return {
        "gallery_m3": volume,
        "gallery_trapped_m3": volume * gallery.trapped_air,
        "gallery_head_pa": gallery.head_kpa * _KPA,
        "hold_pa": gallery.hold_kpa * _KPA,
        "bearing_m3": gallery.bearing_mm3 * _MM3,
        "bearing_shear": gallery.bearing_shear,
        "jet_m2": gallery.jet_area_mm2 * _MM**2,
        "jet_cd": gallery.jet_cd,
        "jet_check_pa": gallery.jet_check_kpa * _KPA,
        "can_bulk_pa": housing.bulk_mpa * 1e6,
        "can_head_pa": housing.head_kpa * _KPA,
        "drop_pa": housing.drop_kpa * _KPA,
        "can_metal_j_k": housing.metal_j_k,
        "sump_m3": sump.volume_l * _L,
        "unport_m3": sump.unport_l * _L,
    }


def _heat(data: PlantData) -> dict[str, float]:
    heat = data.heat
    return {
        "preheat_w": heat.preheat_w,
        "engine_w": heat.engine_w,
        "engine_exponent": heat.engine_exponent,
        "reference_rpm": heat.reference_rpm,
        "block_j_k": heat.block_j_k,
        "bearing_j_k": heat.bearing_j_k,
        "drag_m3": heat.bearing_drag_l * _L,
        "drag_limit_nm": heat.bearing_drag_limit_nm,
        "block_air": heat.block_air_w_k,
        "block_sump": heat.block_sump_w_k,
        "block_gallery": heat.block_gallery_w_k,
        "bearing_block": heat.bearing_block_w_k,
        "bearing_gallery": heat.bearing_gallery_w_k,
        "sump_air": heat.sump_air_w_k,
        "filter_air": heat.filter_air_w_k,
        "cooler": heat.cooler_w_k,
        "cooler_exponent": heat.cooler_air_exponent,
        "thermostat_c": heat.thermostat_c,
        "thermostat_span_c": heat.thermostat_span_c,
    }


def _instruments(data: PlantData) -> dict[str, float]:
    gauge, indicator, seal = data.gauge, data.indicator, data.seal
    return {
        "seal_m2": seal.area_mm2 * _MM**2,
        "seal_opens_pa": seal.opens_kpa * _KPA,
        "seal_cd": seal.cd,
        "gauge_lag_s": gauge.lag_s,
        "gauge_line_per_pa_s": gauge.line_s_per_pa_s,
        "gauge_scale": gauge.scale,
        "gauge_offset_pa": gauge.offset_kpa * _KPA,
        "green_pa": gauge.green_kpa * _KPA,
        "indicator_pa": indicator.trip_kpa * _KPA,
        "indicator_lockout_c": indicator.lockout_c,
        "indicator_lag_s": indicator.response_s,
    }


def _store(data: PlantData) -> dict[str, float]:
    valve, gas = data.unloader, data.accumulator
    return {
        "unload_pa": valve.unload_kpa * _KPA if valve else inf,
        "load_pa": valve.load_kpa * _KPA if valve else inf,
        "idle_pa": valve.idle_kpa * _KPA if valve else 0.0,
        "acc_gas_m3": gas.gas_l * _L if gas else 0.0,
        "acc_charge_pa": gas.charge_kpa * _KPA + AIR_PA if gas else AIR_PA,
        "acc_tau_s": gas.tau_s if gas else 1.0,
    }
