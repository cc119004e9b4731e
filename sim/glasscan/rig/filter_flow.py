"""Flow through element and bypass for a given differential pressure: two equations, one solution.

The dissipation of both paths is a convex function of the two flows, so Newton's method finds the one answer.
"""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.filters.network import FilterNetwork
from glasscan.rig.network_flow import TwoPaths
from glasscan.rig.throttle import flow_m3s

_CLOSE = 4e-15  # residual relative to the pressures it is made of: rounding
_MAX_STEPS = 60


@dataclass(frozen=True, slots=True)
class PathFlows:
    """Flow of element, valve and hole, m3/s, and the drops along the valve's path, Pa.

    Attributes:
        valve_drop_pa: whole drop of the valve's own flow (the pressure at hand where nothing can pass).
        jet_pa: inertial part of it, at the throat.
    """

    element_m3s: float
    valve_m3s: float
    valve_drop_pa: float
    jet_pa: float = 0.0
    hole_m3s: float = 0.0


def minor_coefficient(network: FilterNetwork) -> float:
    """Sum of `k / (2 A^2)` over the losses the whole flow meets: times rho Q|Q| it is a pressure drop."""
    return sum(loss.k / (2 * loss.area_m2**2) for loss in network.losses)


def split_flow(dp_pa: float, paths: TwoPaths, mu: float, inertia: float, throat: float | None) -> PathFlows:
    """Flows of both paths.

    Args:
        dp_pa: inlet minus outlet, Pa.
        paths: condensed creeping resistances, 1/m3.
        mu: viscosity in the filter, Pa s.
        inertia: `c` of the common loss `c Q |Q|`, Pa s2/m6.
        throat: `a` of the inertial drop `a q |q|` at the valve, Pa s2/m6, or None where nothing can pass.
    """
    ee, ev, vv = mu * paths.ee, mu * paths.ev, mu * paths.vv
    if throat is None:
        return PathFlows(flow_m3s(dp_pa, inertia, ee), 0.0, dp_pa)
    a = throat
    qe, qv = flow_m3s(dp_pa, inertia, ee), flow_m3s(dp_pa, a + inertia, vv)
    for _ in range(_MAX_STEPS):
        q, jet_pa = qe + qv, a * abs(qv) * qv
        common = inertia * abs(q) * q - dp_pa
        f_e = common + ee * qe + ev * qv
        f_v = common + ev * qe + vv * qv + jet_pa
        size = _CLOSE * (abs(dp_pa) + abs(ee * qe) + abs(vv * qv) + abs(jet_pa))
        if abs(f_e) <= size and abs(f_v) <= size:
            break
        slope = 2.0 * inertia * abs(q)
        j_ee, j_ev, j_vv = slope + ee, slope + ev, slope + vv + 2.0 * a * abs(qv)
        det = j_ee * j_vv - j_ev * j_ev
        if det <= 0.0:
            break
        qe -= (j_vv * f_e - j_ev * f_v) / det
        qv -= (j_ee * f_v - j_ev * f_e) / det
    jet_pa = a * abs(qv) * qv
    return PathFlows(qe, qv, vv * qv + jet_pa, jet_pa)
