"""The filter's linear part, condensed exactly to two flows: through the element and through the valve.

All of it is creeping flow, so at a given lift the segment flows follow linearly from the element flow
`qe` and the valve flow `qv`: they are the flows of least dissipation that add up to `qe`. What is left
is a symmetric 2 x 2 resistance matrix per unit viscosity.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.filters.network import FilterNetwork

Floats = NDArray[np.float64]
BLOCKED_R = 1e24  # resistance of a segment that passes nothing, 1/m3; an open one has about 1e10
_UNIT = np.array([0.0, 1.0, 0.0])
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


def blocked_to_finite(segment_r: Floats) -> Floats:
    """Resistances with a very large number in place of infinity: the algebra stays finite, (K,), 1/m3."""
    return np.minimum(np.nan_to_num(segment_r, nan=BLOCKED_R, posinf=BLOCKED_R), BLOCKED_R)


class Condenser:
    """Condenses one network with one set of segment resistances; remembers the last few lifts."""

    __slots__ = ("_cache", "_knots", "_lifts", "network", "segment_r")

    def __init__(self, network: FilterNetwork, segment_r: Floats) -> None:
        self.network = network
        self.segment_r = blocked_to_finite(segment_r)
        self._lifts: list[float] = network.clean_lifts_m.tolist()
        own, cross, ports = _split(network.dirty)
        own = own + np.diag(self.segment_r)
        self._knots = [
            (own + c_own, cross + c_cross, ports + c_ports, network.push_at(lift))
            for lift, (c_own, c_cross, c_ports) in zip(self._lifts, map(_split, network.clean), strict=True)
        ]
        self._cache: dict[float, TwoPaths] = {}

    def at(self, lift_m: float) -> TwoPaths:
        """The two paths with the valve at a lift."""
        lift_m = min(max(lift_m, self._lifts[0]), self._lifts[-1])
        found = self._cache.get(lift_m)
        if found is None:
            if len(self._cache) > 64:
                self._cache.clear()
            found = self._cache[lift_m] = _condense(*self._between(lift_m))
        return found

    def _between(self, lift_m: float) -> tuple[Floats, ...]:
        """Linear in lift between the knots, as `FilterNetwork.clean_at`."""
        j = bisect_right(self._lifts, lift_m) - 1
        if lift_m == self._lifts[j]:
            return self._knots[j]
        w = (lift_m - self._lifts[j]) / (self._lifts[j + 1] - self._lifts[j])
        return tuple(a + w * (b - a) for a, b in zip(self._knots[j], self._knots[j + 1], strict=True))


def _split(matrix: Floats) -> tuple[Floats, Floats, Floats]:
    """A chamber's port matrix as segments x segments, segments x paths and paths x paths."""
    ends = [0, -1]
    return (
        matrix[1:-1, 1:-1],
        -matrix[1:-1, ends] @ _TO_DIRTY,
        _TO_DIRTY.T @ matrix[np.ix_(ends, ends)] @ _TO_DIRTY,
    )


def _condense(own: Floats, cross: Floats, ports: Floats, push: Floats) -> TwoPaths:
    """Minimise the dissipation over the segment flows, their sum being qe (Lagrange)."""
    right = np.empty((len(cross), 3))
    right[:, 0] = 1.0
    right[:, 1:] = cross
    solved = np.linalg.solve(own, right)
    sums = solved.sum(axis=0)
    drive = (sums + _UNIT)[1:] / sums[0]
    share = solved[:, :1] * drive - solved[:, 1:]
    r = (cross.T @ share + ports).tolist()
    d_e, d_v = drive.tolist()
    push_e, push_v = (push[1:-1] @ share).tolist()
    return TwoPaths(r[0][0] + d_e, r[0][1] + d_v, r[1][1], share, (push_e, push_v + float(push[-1])))
