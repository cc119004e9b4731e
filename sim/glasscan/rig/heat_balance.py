"""Heat balance: five lumps (sump, filter, gallery, bearings, block), each well mixed.

Oil carries heat upwind from lump to lump; every throttled pressure drop turns into heat where it happens.
"""

from __future__ import annotations

from math import pi, tanh

from glasscan.rig import state_index as at
from glasscan.rig.algebraic import Moment, Parts, bearing_pa_s
from glasscan.rig.params import Params

PREHEAT_BLOCK = 0.5  # share of the heaters' power that goes to the block (invented)


def drag_w(parts: Parts, rpm: float, bearing_c: float) -> float:
    """Shear heat of the bearings, W: Petroff's `drag mu omega^2`, limited by the torque at hand."""
    p = parts.params
    omega = max(rpm, 0.0) * pi / 30.0
    film = p.drag_m3 * bearing_pa_s(p, parts.oil, bearing_c, rpm) * omega * omega
    most = p.drag_limit_nm * omega
    return film * most / (film + most) if film > 0.0 else 0.0


def throttling_w(parts: Parts, m: Moment) -> float:
    """Heat of all pressure drops in the oil circuit, W; never negative."""
    spill = m.can_pa if parts.before else m.gallery_pa
    return m.pump_heat_w + m.dp_pa * m.through + spill * m.regulator + m.gallery_pa * (m.bearings + m.jets)


def rates(parts: Parts, y: list[float], m: Moment, rpm: float, air_c: float) -> tuple[float, ...]:
    """Rates of the five temperatures, K/s, in the order of the state vector."""
    p, oil = parts.params, parts.oil
    sump, filt, gal, bearing, block = y[at.T_SUMP : at.T_BLOCK + 1]
    heat_m3 = m.rho * oil.cp_j_kgk(filt)  # J/(m3 K), one value for all lumps
    forward, back = (m.through, 0.0) if m.through > 0.0 else (0.0, -m.through)
    shear = drag_w(parts, rpm, bearing)
    to_bearing = m.bearings * heat_m3 * (gal - bearing) + p.bearing_gallery * (gal - bearing)
    to_block = p.bearing_block * (bearing - block)
    d_filter = (
        heat_m3 * (forward * (sump - filt) + back * (gal - filt))
        + m.dp_pa * m.through
        - p.filter_air * (filt - air_c)
    ) / (heat_m3 * parts.can_m3 + p.can_metal_j_k)
    held = max(p.gallery_m3 + y[at.GALLERY], 0.05 * p.gallery_m3)
    block_gallery = p.block_gallery * (block - gal)
    d_gallery = (heat_m3 * forward * (filt - gal) + block_gallery - p.bearing_gallery * (gal - bearing)) / (
        heat_m3 * held
    )
    d_bearing = (shear + m.bearings * m.gallery_pa + to_bearing - to_block) / p.bearing_j_k
    d_block = _block_w(parts, rpm, block, sump, air_c) + to_block - block_gallery
    d_sump = _sump_w(parts, y, m, air_c, heat_m3)
    return (
        d_sump / (heat_m3 * max(m.sump_m3, 0.1 * p.unport_m3)),
        d_filter,
        d_gallery,
        d_bearing,
        d_block / p.block_j_k,
    )


def _block_w(parts: Parts, rpm: float, block: float, sump: float, air_c: float) -> float:
    p = parts.params
    fire = p.engine_w * (max(rpm, 0.0) / p.reference_rpm) ** p.engine_exponent if rpm > 0.0 else 0.0
    return fire + PREHEAT_BLOCK * p.preheat_w - p.block_air * (block - air_c) - p.block_sump * (block - sump)


def _cooler_w_k(p: Params, rpm: float) -> float:
    """What the cooler takes for each kelvin with its door open, W/K: its air follows the speed."""
    return (
        p.cooler * (max(rpm, 0.0) / p.reference_rpm) ** p.cooler_exponent if p.cooler_exponent else p.cooler
    )


def _sump_w(parts: Parts, y: list[float], m: Moment, air_c: float, heat_m3: float) -> float:
    """Heat into the sump: returning oil, throttling before and at the regulator, block, air, cooler."""
    p = parts.params
    sump, gal, bearing, block = y[at.T_SUMP], y[at.T_GALLERY], y[at.T_BEARING], y[at.T_BLOCK]
    back = -m.through if m.through < 0.0 else 0.0
    oil_w = m.bearings * (bearing - sump) + m.jets * (gal - sump) + back * (y[at.T_FILTER] - sump)
    if parts.before:
        spill_w = m.regulator * m.can_pa
    else:
        oil_w += m.regulator * (gal - sump)
        spill_w = m.regulator * m.gallery_pa
    cooler = 0.5 * _cooler_w_k(p, m.rpm) * (1.0 + tanh((sump - p.thermostat_c) / p.thermostat_span_c))
    return (
        heat_m3 * oil_w
        + spill_w
        + m.pump_heat_w
        + m.gallery_pa * m.jets
        + p.block_sump * (block - sump)
        + (1.0 - PREHEAT_BLOCK) * p.preheat_w
        - (p.sump_air + cooler) * (sump - air_c)
    )
