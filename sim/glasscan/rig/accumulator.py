"""Accumulator on the pressure line, and the unloading valve that idles a fixed pump.

The unloading valve with its check valve sits behind the pump: at the upper pressure of the line it sends the
pump's flow back to the reservoir at a low pressure, and the accumulator feeds the line; at the lower one it
loads the pump again. Between the two it stays as it is, which makes the cycle.
"""

from __future__ import annotations

from math import exp

from glasscan.laws import gas_charge
from glasscan.rig.params import AIR_PA, Params
from glasscan.rig.supply import filled_pa

_CLOSE = 1e-13
_TRIES = 60


def line_pa(p: Params, over_m3: float, trapped_m3: float, gas: float) -> float:
    """Gauge pressure of the line that holds `over_m3` more than when just full, accumulator included.

    Args:
        p: numbers of the rig.
        over_m3: fluid beyond a full line, m3.
        trapped_m3: air in the line, at ambient pressure, m3.
        gas: entropy of the accumulator's gas, see `glasscan.laws.gas_charge`.
    """
    plain = filled_pa(over_m3, p.gallery_m3, p.gallery_head_pa, trapped_m3, p.can_bulk_pa)
    if p.acc_gas_m3 == 0.0 or plain + AIR_PA <= p.acc_charge_pa * exp(gas):
        return plain
    return _shared_pa(p, over_m3, trapped_m3, gas)


def _shared_pa(p: Params, over_m3: float, trapped_m3: float, gas: float) -> float:
    """Pressure at which line and accumulator together hold what there is, Pa gauge.

    What they hold is concave in the pressure above the charge, so Newton from the charge climbs to the root
    without passing it.
    """
    volume, charge = p.acc_gas_m3, p.acc_charge_pa
    stiff = p.gallery_m3 / p.can_bulk_pa
    absolute = charge * exp(gas)
    for _ in range(_TRIES):
        rise = absolute - AIR_PA - p.gallery_head_pa
        held = (
            trapped_m3 * rise / (AIR_PA + rise)
            + stiff * rise
            + gas_charge.fluid_m3(absolute, volume, charge, gas)
        )
        slope = (
            trapped_m3 * AIR_PA / (AIR_PA + rise) ** 2
            + stiff
            + gas_charge.fluid_slope(absolute, volume, charge, gas)
        )
        step = (over_m3 - held) / slope
        absolute += step
        if abs(step) < _CLOSE * absolute:
            break
    return absolute - AIR_PA


def stored_m3(p: Params, line_gauge_pa: float, gas: float) -> float:
    """Fluid in the accumulator at a pressure of the line, m3."""
    if p.acc_gas_m3 == 0.0:
        return 0.0
    return gas_charge.fluid_m3(line_gauge_pa + AIR_PA, p.acc_gas_m3, p.acc_charge_pa, gas)


def gas_warmth(p: Params, line_gauge_pa: float, gas: float) -> float:
    """Absolute temperature of the gas over that of its wall; 1 where there is none."""
    if p.acc_gas_m3 == 0.0:
        return 1.0
    return gas_charge.warmth(stored_m3(p, line_gauge_pa, gas), p.acc_gas_m3, gas)


def gas_rate(p: Params, line_gauge_pa: float, gas: float) -> float:
    """Rate of the entropy of the gas, 1/s: it takes heat from its wall, or gives heat to it."""
    if p.acc_gas_m3 == 0.0:
        return 0.0
    return (1.0 / gas_warmth(p, line_gauge_pa, gas) - 1.0) / p.acc_tau_s


def would_idle(p: Params, idles: bool, line_gauge_pa: float) -> bool:
    """Which way the unloading valve stands at a pressure of the line, Pa gauge, from where it stood."""
    return line_gauge_pa > p.load_pa if idles else line_gauge_pa >= p.unload_pa
