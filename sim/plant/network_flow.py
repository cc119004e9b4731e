"""The filter's linear part, condensed exactly to two flows: through the element and through the valve.

All of it is creeping flow, so at a given lift the segment flows follow linearly from the element flow
`qe` and the valve flow `qv`: they are the flows of least dissipation that add up to `qe`. What is left
is a symmetric 2 x 2 resistance matrix per unit viscosity.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.filters.network import FilterNetwork

Floats = NDArray[np.float64]
BLOCKED_R = 1e24  # resistance of a segment that passes nothing, 1/m3; an open one has about 1e10
_TO_DIRTY = np.array([[1.0, 1.0], [0.0, -1.0]])  # (inlet, valve) flows into the dirty chamber from (qe, qv)


@dataclass(frozen=True, slots=True)
class TwoPaths:
    """The condensed filter at one lift, per unit viscosity.

    Attributes:
        ee, ev, vv: `dp = mu (ee qe + ev qv)` along the element's path and
            `dp = mu (ev qe + vv qv) + drop at the valve` along the valve's path, 1/m3.
        share: (K, 2) segment flows from (qe, qv).
        push: extra opening force on the valve per viscosity from (qe, qv), 1/m.
    """

    ee: float
    ev: float
    vv: float
    share: Floats
    push: tuple[float, float] = (0.0, 0.0)


class Condenser:
    """Condenses one network with one set of segment resistances; remembers the last few lifts."""

    __slots__ = ("_cache", "_dirty_ports", "_fixed", "_last", "network", "segment_r")

    def __init__(self, network: FilterNetwork, segment_r: Floats) -> None:
        self.network = network
        self.segment_r = np.minimum(np.nan_to_num(segment_r, nan=BLOCKED_R, posinf=BLOCKED_R), BLOCKED_R)
        self._fixed = network.dirty[1:-1, 1:-1] + np.diag(self.segment_r)
        ends = [0, -1]
        self._dirty_ports = (
            -network.dirty[1:-1, ends] @ _TO_DIRTY,
            _TO_DIRTY.T @ network.dirty[np.ix_(ends, ends)] @ _TO_DIRTY,
        )
        self._cache: dict[float, TwoPaths] = {}

    def at(self, lift_m: float) -> TwoPaths:
        """The two paths with the valve at a lift."""
        lift_m = min(max(lift_m, 0.0), float(self.network.clean_lifts_m[-1]))
        found = self._cache.get(lift_m)
        if found is None:
            if len(self._cache) > 64:
                self._cache.clear()
            found = self._cache[lift_m] = self._condense(lift_m)
        return found

    def _condense(self, lift_m: float) -> TwoPaths:
        """Minimise the dissipation over the segment flows, their sum being qe (Lagrange)."""
        clean = self.network.clean_at(lift_m)
        ends = [0, -1]
        cross, ports = self._dirty_ports
        cross = cross - clean[1:-1, ends] @ _TO_DIRTY
        ports = ports + _TO_DIRTY.T @ clean[np.ix_(ends, ends)] @ _TO_DIRTY
        k = len(cross)
        right = np.empty((k, 3))
        right[:, 0] = 1.0
        right[:, 1:] = cross
        solved = np.linalg.solve(self._fixed + clean[1:-1, 1:-1], right)
        sums = solved.sum(axis=0)
        drive = np.array([1.0 + sums[1], sums[2]]) / sums[0]
        share = np.outer(solved[:, 0], drive) - solved[:, 1:]
        r = cross.T @ share + ports
        push = self.network.push_at(lift_m)
        push_e, push_v = push[1:-1] @ share
        both = (float(push_e), float(push_v + push[-1]))
        return TwoPaths(float(r[0, 0] + drive[0]), float(r[0, 1] + drive[1]), float(r[1, 1]), share, both)


def deposited_r(network: FilterNetwork, deposit_kg: Floats, alpha_m_kg: Floats) -> Floats:
    """Segment resistances with their deposit, (K,), 1/m3: `r + sum_c alpha_c m_ck / A_k^2` (cake law).

    Args:
        network: the filter.
        deposit_kg: (C, K) mass by size class and segment, kg.
        alpha_m_kg: (C,) specific resistance of the deposit, m/kg.
    """
    cake = alpha_m_kg @ np.maximum(deposit_kg, 0.0)
    return np.asarray(network.segment_r + cake / network.segment_area_m2**2)
