"""Pump, pick-up, safety relief, pressure regulator and the passages that fill: plain laws."""

from __future__ import annotations

from math import hypot, inf, pi, sin, sqrt

from scipy.optimize import brentq

from glasscan.laws.cold_oil import yield_drop_pa
from glasscan.laws.seats import cone_area_m2
from glasscan.rig.params import AIR_PA, Params
from glasscan.rig.smooth import smooth_step
from glasscan.rig.throttle import flow_m3s, gap_coefficients, hole_m3s

_RELIEF_ROUND_M3S = 1e-6

SHUT_M = 1e-9  # a lift that decays towards nought: below a nanometre the valve is shut


def swept_m3s(
    p: Params,
    rpm: float,
    mu: float,
    sump_m3: float,
    rho: float = 0.0,
    air_ratio: float = 0.0,
    yield_pa: float = 0.0,
    outlet_pa: float = 0.0,
) -> float:
    """Oil the pump takes in, m3/s: swept volume, limited by what the pick-up lets through, less its air.

    The pick-up takes `mu r q + rho k q^2`; the two limits join smoothly. Below the pick-up's mouth the sump
    gives air instead of oil, in proportion. Free air has the pressure of the pick-up when it is drawn.

    Args:
        p: numbers of the rig.
        rpm: shaft speed, rev/min.
        mu, rho: of the oil drawn, Pa s, kg/m3.
        sump_m3: oil there is, m3.
        air_ratio: free air over oil, volumes at the air's pressure.
        yield_pa: stress below which the oil in the pick-up does not move, Pa.
        outlet_pa: pressure that a variable pump answers to, gauge.
    """
    wanted = stroke(p, outlet_pa) * p.sweep_m3_rev * max(rpm, 0.0) / 60.0
    if wanted <= 0.0 or sump_m3 <= 0.0:
        return 0.0
    most = _most_m3s(p, mu, rho, yield_drop_pa(yield_pa, p.suction_l_d))
    if most <= 0.0:
        return 0.0
    less, more = (wanted, most) if wanted < most else (most, wanted)
    drawn = less / sqrt(sqrt(1.0 + (less / more) ** 4))
    covered = min(sump_m3 / p.unport_m3, 1.0)
    if air_ratio == 0.0:
        return covered * drawn
    left_pa = max(AIR_PA - suction_pull_pa(p, drawn, mu, rho), AIR_PA - p.suction_pa)
    return covered * drawn / (1.0 + air_ratio * AIR_PA / left_pa)


def stroke(p: Params, outlet_pa: float) -> float:
    """Share of its stroke that a pressure-compensated pump still makes, 0..1; 1 for a fixed pump."""
    if p.compensator_pa == inf:
        return 1.0
    return smooth_step((p.compensator_pa - outlet_pa) / p.compensator_band_pa)


def suction_pull_pa(p: Params, flow_m3s: float, mu: float, rho: float) -> float:
    """Pressure below the air's that draws a flow through the pick-up, Pa."""
    return (mu * p.suction_r + rho * p.suction_k * flow_m3s) * flow_m3s


def _most_m3s(p: Params, mu: float, rho: float, to_move_pa: float = 0.0) -> float:
    """Flow at which the pick-up takes all the pressure there is: root of `mu r q + rho k q^2 = p`, m3/s."""
    laminar, square, left_pa = mu * p.suction_r, rho * p.suction_k, p.suction_pa - to_move_pa
    if left_pa <= 0.0:
        return 0.0
    if laminar == square == 0.0:
        return inf
    return 2.0 * left_pa / (laminar + sqrt(laminar * laminar + 4.0 * square * left_pa))


def slug_air_ratio(p: Params, pumped_m3: float) -> float:
    """Free air over oil at a moment: it comes in slugs, one for each slug's worth of air drawn.

    The share swings between nought and twice its mean; the phase follows the oil pumped since the start.
    """
    if p.air_ratio == 0.0:
        return 0.0
    return p.air_ratio * (1.0 + sin(2.0 * pi * p.air_ratio * pumped_m3 / p.slug_m3))


def airy_rho(p: Params, rho: float, pressure_pa: float) -> float:
    """Density of oil with its bubbles at a gauge pressure, kg/m3; the bubbles are isothermal."""
    return rho / (1.0 + p.air_ratio * AIR_PA / (AIR_PA + max(pressure_pa, 0.0))) if p.air_ratio else rho


def void_share(p: Params, pressure_pa: float) -> float:
    """Share of a passage's volume that is free air at a gauge pressure, 0..1."""
    return 1.0 - airy_rho(p, 1.0, pressure_pa)


def slip_m3s(p: Params, swept: float, outlet_pa: float, mu: float) -> float:
    """Leakage back through the pump's clearances, `slip dp / mu`, never more than its cap, m3/s."""
    most = p.slip_cap * swept
    if most <= 0.0:
        return 0.0
    laminar = p.slip_m3 * outlet_pa / mu
    return laminar * (most / hypot(laminar, most))


def relief_m3s(p: Params, outlet_pa: float) -> float:
    """Flow through the pump's safety relief valve, m3/s."""
    r = (outlet_pa - p.relief_pa) * p.relief_g
    return r * r / (r + _RELIEF_ROUND_M3S) if r > 0.0 else 0.0


def seal_m3s(p: Params, can_pa: float, mu: float, rho: float) -> float:
    """Oil lost at the filter's seal, m3/s: a hole that begins to part at `seal_opens_pa`."""
    over = can_pa - p.seal_opens_pa
    if p.seal_m2 <= 0.0 or over <= 0.0:
        return 0.0
    return hole_m3s(over, p.seal_m2, p.seal_cd, mu, rho)


def regulator_rest_m(p: Params, sensed_pa: float, back_pa: float = 0.0) -> float:
    """Lift at which pressure and spring of the regulator balance, between seat and stop, m.

    Args:
        p: numbers of the rig.
        sensed_pa: before the valve, gauge.
        back_pa: behind it, in the return passage, gauge; it helps the spring.
    """
    free = ((sensed_pa - back_pa) * p.reg_seat_m2 - p.reg_preload_n) / p.reg_rate_n_m
    return min(max(free, p.reg_jam_m), max(p.reg_max_m, p.reg_jam_m))


def regulator_m3s(p: Params, lift_m: float, sensed_pa: float, mu: float, rho: float) -> float:
    """Flow spilled by the regulator through its gap and its return passage, m3/s."""
    if lift_m <= SHUT_M:
        return 0.0
    area = cone_area_m2(p.reg_seat_d_m, lift_m, p.reg_half_deg)
    a, b = gap_coefficients(area, pi * p.reg_seat_d_m, p.reg_cd, mu, rho)
    return flow_m3s(sensed_pa, a, b + mu * p.reg_return_r)


def spilled_at_rest_m3s(p: Params, sensed_pa: float, mu: float, rho: float) -> float:
    """Flow spilled once the regulator has come to rest at a pressure, m3/s.

    The passage's back pressure and the lift follow the flow; what the gap passes then less that flow falls
    steadily, so one flow fits.
    """

    def left(q: float) -> float:
        back_pa = mu * p.reg_return_r * q
        return regulator_m3s(p, regulator_rest_m(p, sensed_pa, back_pa), sensed_pa, mu, rho) - q

    least = regulator_m3s(p, regulator_rest_m(p, sensed_pa), sensed_pa, mu, rho)
    if least <= 0.0 or p.reg_return_r == 0.0:
        return least
    return float(brentq(left, 0.0, least, xtol=1e-12, rtol=1e-9))


def gauge_lag_s(p: Params, line_mu: float) -> float:
    """How slowly the gauge follows, s: its own lag, and the line that oil must flow along to move it.

    The line takes `mu r c` to follow: its resistance times what the gauge swallows for each Pa (laminar flow
    into a compliance).
    """
    return p.gauge_lag_s + p.gauge_line_per_pa_s * line_mu


def filled_pa(over_m3: float, volume_m3: float, head_pa: float, trapped_m3: float, bulk_pa: float) -> float:
    """Gauge pressure of a passage that holds `volume + over` of oil.

    While it fills it pushes back with its head only; once full the trapped air (isothermal) and the
    elasticity of oil and walls take up the rest.

    Args:
        over_m3: oil beyond (negative: short of) a full passage, m3.
        volume_m3: volume when full, m3.
        head_pa: head of the full height, Pa.
        trapped_m3: air that cannot leave, at ambient pressure, m3.
        bulk_pa: effective bulk modulus, Pa.
    """
    if over_m3 <= 0.0:
        return head_pa * (1.0 + over_m3 / volume_m3)
    # over = trapped x/(AIR + x) + volume x/bulk, solved for the rise x: a quadratic with one positive root
    c = volume_m3 / bulk_pa
    b = trapped_m3 + c * AIR_PA - over_m3
    return head_pa + 2.0 * over_m3 * AIR_PA / (b + sqrt(b * b + 4.0 * c * over_m3 * AIR_PA))


def overfull_m3(rise_pa: float, volume_m3: float, trapped_m3: float, bulk_pa: float) -> float:
    """Inverse of `filled_pa` above the head: oil beyond full that gives a rise, m3."""
    return trapped_m3 * rise_pa / (AIR_PA + rise_pa) + volume_m3 * rise_pa / bulk_pa
