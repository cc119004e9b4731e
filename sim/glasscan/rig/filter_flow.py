"""Flow through element and bypass for a given differential pressure: two equations, one solution.

The dissipation of both paths is a convex function of the two flows, so Newton's method finds the one answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from glasscan.filters.network import FilterNetwork
from glasscan.rig.network_flow import TwoPaths
from glasscan.rig.throttle import flow_m3s

_CLOSE = 4e-15  # residual relative to the pressures it is made of: rounding
_MAX_STEPS = 60


@dataclass(frozen=True, slots=True)
class PathFlows:
    """Flow of element, valve and hole, m3/s, and the pressure drop over the valve's throat, Pa."""

    element_m3s: float
    valve_m3s: float
    valve_drop_pa: float
    hole_m3s: float = 0.0


def minor_coefficient(network: FilterNetwork) -> float:
    """Sum of `k / (2 A^2)` over the losses the whole flow meets: times rho Q|Q| it is a pressure drop."""
    return sum(loss.k / (2 * loss.area_m2**2) for loss in network.losses)


def split_flow(
    dp_pa: float, paths: TwoPaths, mu: float, inertia: float, throat: tuple[float, float] | None
) -> PathFlows:
    """Flows of both paths.

    Args:
        dp_pa: inlet minus outlet, Pa.
        paths: condensed creeping resistances, 1/m3.
        mu: viscosity in the filter, Pa s.
        inertia: `c` of the common loss `c Q |Q|`, Pa s2/m6.
        throat: (a, b) of the valve opening, or None where nothing can pass.
    """
    ee, ev, vv = mu * paths.ee, mu * paths.ev, mu * paths.vv
    if throat is None:
        return PathFlows(flow_m3s(dp_pa, inertia, ee), 0.0, dp_pa)
    a, b = throat
    qe, qv = flow_m3s(dp_pa, inertia, ee), flow_m3s(dp_pa, a + inertia, b + vv)
    for _ in range(_MAX_STEPS):
        q, throat_pa = qe + qv, (a * abs(qv) + b) * qv
        common = inertia * abs(q) * q - dp_pa
        f_e = common + ee * qe + ev * qv
        f_v = common + ev * qe + vv * qv + throat_pa
        size = _CLOSE * (abs(dp_pa) + abs(ee * qe) + abs(throat_pa))
        if abs(f_e) <= size and abs(f_v) <= size:
            break
        slope = 2.0 * inertia * abs(q)
        j_ee, j_ev, j_vv = slope + ee, slope + ev, slope + vv + 2.0 * a * abs(qv) + b
        det = j_ee * j_vv - j_ev * j_ev
        if det <= 0.0:
            break
        qe -= (j_vv * f_e - j_ev * f_v) / det
        qv -= (j_ee * f_v - j_ev * f_e) / det
    return PathFlows(qe, qv, (a * abs(qv) + b) * qv)


def smooth_positive(x: float, width: float) -> float:
    """`max(x, 0)` rounded off over `width`, always above zero (no cancellation far below)."""
    root = sqrt(x * x + width * width)
    return 0.5 * (x + root) if x >= 0.0 else 0.5 * width * width / (root - x)


def smooth_step(x: float) -> float:
    """0 up to nought, 1 from one on, between them the cubic without a corner."""
    if x <= 0.0:
        return 0.0
    return x * x * (3.0 - 2.0 * x) if x < 1.0 else 1.0
