"""Right-hand side of the rig: the rate of every number of the state vector."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.plant import heat
from sim.plant import layout as at
from sim.plant.moment import Moment, Parts, moment, valve_forces
from sim.plant.supply import regulator_rest_m

Floats = NDArray[np.float64]


def rates(parts: Parts, y: Floats, rpm: float, air_c: float, dirt_kg_s: tuple[float, ...]) -> Floats:
    """Rate of the state vector.

    Args:
        parts: the rig.
        y: state, see `sim.plant.layout`.
        rpm: shaft speed, rev/min.
        air_c: ambient air, degC.
        dirt_kg_s: (C,) contaminant let in, kg/s.
    """
    v = y.tolist()
    m = moment(parts, v, rpm)
    caught = _caught(parts, v, m)
    p = parts.params
    tap_pa = m.gallery_pa if p.gauge_tap == "gallery" else m.can_pa
    shown = tap_pa * p.gauge_scale + p.gauge_offset_pa
    out = [
        *_volumes(parts, v, m),
        *_valve(parts, v, m),
        (regulator_rest_m(p, m.can_pa if parts.before else m.gallery_pa) - v[at.REG]) / p.reg_lag_s,
        (shown - v[at.GAUGE]) / p.gauge_lag_s,
        *heat.rates(parts, v, m, rpm, air_c),
        *(let - c for let, c in zip(dirt_kg_s, caught, strict=True)),
        m.pump,
        m.regulator + m.bearings + m.jets + m.relief + m.leak,
        m.flows.element_m3s,
        m.unfiltered,
        m.swept * m.can_pa,
        heat.throttling_w(parts, m),
        *dirt_kg_s,
    ]
    return np.array(out + _deposits(m, caught))


def _volumes(parts: Parts, v: list[float], m: Moment) -> tuple[float, float]:
    """Rates of the oil in can and gallery, m3/s; a moving valve sweeps oil from one side to the other."""
    swept = parts.valve.seat_m2 * v[at.SPEED] if parts.valve else 0.0
    can = m.pump - m.relief - m.leak - m.through - swept
    gallery = m.through + swept - m.bearings - m.jets
    return (can - m.regulator, gallery) if parts.before else (can, gallery - m.regulator)


def _valve(parts: Parts, v: list[float], m: Moment) -> tuple[float, float, float]:
    """Rates of lift, speed and bristle of the bypass valve."""
    valve = parts.valve
    if valve is None:
        return 0.0, 0.0, 0.0
    drag = valve.drag_n_s_m(v[at.LIFT], m.jet_m_s, m.mu_filter, m.rho) + parts.calm_n_s_m
    return valve.motion(v[at.SPEED], v[at.BRISTLE], drag, valve_forces(valve, v, m))


def _caught(parts: Parts, v: list[float], m: Moment) -> list[float]:
    """Contaminant caught by the whole element, by class, kg/s."""
    q = m.flows.element_m3s
    if q <= 0.0 or m.sump_m3 <= 0.0:
        return [0.0] * len(parts.capture)
    return [q * c * v[at.SUSPENDED + i] / m.sump_m3 for i, c in enumerate(parts.capture)]


def _deposits(m: Moment, caught: list[float]) -> list[float]:
    """Contaminant caught by each segment, class by class, kg/s: shared as the flow is."""
    if not any(caught):
        return [0.0] * (len(m.paths.share) * len(caught))
    inward = np.maximum(m.segment_m3s, 0.0)
    inward /= inward.sum()
    return [c * w for c in caught for w in inward.tolist()]
