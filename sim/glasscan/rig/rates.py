"""Right-hand side of the rig: the rate of every number of the state vector."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.rig import heat_balance
from glasscan.rig import state_index as at
from glasscan.rig.accumulator import gas_rate
from glasscan.rig.algebraic import Moment, Parts, evaluate, valve_forces
from glasscan.rig.supply import gauge_lag_s, regulator_rest_m

Floats = NDArray[np.float64]


def rates(parts: Parts, y: Floats, rpm: float, air_c: float) -> Floats:
    """Rate of the state vector.

    Args:
        parts: the rig.
        y: state, see `glasscan.rig.state_index`.
        rpm: shaft speed, rev/min.
        air_c: ambient air, degC.
    """
    v = y.tolist()
    m = evaluate(parts, v, rpm)
    p = parts.params
    tap_pa = m.gallery_pa if p.gauge_tap == "gallery" else m.can_pa
    shown = tap_pa * p.gauge_scale + p.gauge_offset_pa
    out = [
        *_volumes(parts, v, m),
        *_valve(parts, v, m),
        (_regulator_rest_m(parts, m) - v[at.REG]) / p.reg_lag_s,
        (shown - v[at.GAUGE]) / gauge_lag_s(p, parts.oil.mu_pa_s(v[at.T_BLOCK])),
        *heat_balance.rates(parts, v, m, rpm, air_c),
        m.leak,
        gas_rate(p, m.gallery_pa, v[at.GAS]),
        m.pump,
        m.regulator + m.bearings + m.jets + m.relief + m.drain_back + m.unloaded,
        m.flows.element_m3s,
        m.unfiltered,
        m.swept * m.pump_pa,
        heat_balance.throttling_w(parts, m),
    ]
    return np.array(out)


def _regulator_rest_m(parts: Parts, m: Moment) -> float:
    p = parts.params
    sensed_pa = m.can_pa if parts.before else m.gallery_pa
    return regulator_rest_m(p, sensed_pa, m.regulator_mu * p.reg_return_r * m.regulator)


def _volumes(parts: Parts, v: list[float], m: Moment) -> tuple[float, float]:
    """Rates of the oil in can and gallery, m3/s; a moving valve sweeps oil from one side to the other."""
    swept = parts.valve.seat_m2 * v[at.SPEED] if parts.valve else 0.0
    can = m.pump - m.relief - m.leak - m.drain_back - m.through - swept - m.unloaded
    gallery = m.through + swept - m.bearings - m.jets
    return (can - m.regulator, gallery) if parts.before else (can, gallery - m.regulator)


def _valve(parts: Parts, v: list[float], m: Moment) -> tuple[float, float, float]:
    """Rates of lift, speed and bristle of the bypass valve."""
    valve = parts.valve
    if valve is None:
        return 0.0, 0.0, 0.0
    drag = valve.drag_n_s_m(v[at.LIFT], m.jet_m_s, m.mu_filter, m.rho) + parts.calm_n_s_m
    return valve.motion(v[at.SPEED], v[at.BRISTLE], drag, valve_forces(valve, v, m))
