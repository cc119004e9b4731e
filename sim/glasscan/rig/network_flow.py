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

from glasscan.filters.network import FilterNetwork

Floats = NDArray[np.float64]
BLOCKED_R = 1e24  # resistance of a segment that passes nothing, 1/m3; an open one has about 1e10
_TO_DIRTY = np.array([[1.0, 1.0], [0.0, -1.0]])  # (inlet, valve) flows into the dirty chamber from (qe, qv)


@dataclass(frozen=True, slots=True)
class HolePath:
    """The third path of an element with a hole, per unit viscosity.

    Attributes:
        eh, vh, hh: what the hole's flow adds to the element's, the valve's and its own drop, 1/m3; the hole's
            whole drop is `mu (eh qe + vh qv + hh qh) + drop in the hole`.
        share: (K,) segment flows for each unit of hole flow; they sum to nought.
        push: extra opening force on the valve per viscosity and hole flow, 1/m.
    """

    eh: float
    vh: float
    hh: float
    share: Floats
    push: float


@dataclass(frozen=True, slots=True)
class TwoPaths:
    """The condensed filter at one lift, per unit viscosity.

    Attributes:
        ee, ev, vv: `dp = mu (ee qe + ev qv)` along the element's path and
            `dp = mu (ev qe + vv qv) + drop at the valve` along the valve's path, 1/m3.
        share: (K, 2) segment flows from (qe, qv).
        push: extra opening force on the valve per viscosity from (qe, qv), 1/m.
        hole: the path through a hole in the element, or None.
    """

    ee: float
    ev: float
    vv: float
    share: Floats
    push: tuple[float, float] = (0.0, 0.0)
    hole: HolePath | None = None


def blocked_to_finite(segment_r: Floats) -> Floats:
    """Resistances with a very large number in place of infinity: the algebra stays finite, (K,), 1/m3."""
    return np.minimum(np.nan_to_num(segment_r, nan=BLOCKED_R, posinf=BLOCKED_R), BLOCKED_R)


class Condenser:
    """Condenses one network with one set of segment resistances; remembers the last few lifts."""

    __slots__ = ("_beside", "_cache", "_knots", "_lifts", "network", "segment_r")

    def __init__(self, network: FilterNetwork, segment_r: Floats) -> None:
        self.network = network
        self.segment_r = blocked_to_finite(segment_r)
        self._lifts: list[float] = network.clean_lifts_m.tolist()
        own, cross, ports = _split(network.dirty)
        medium = np.diag(self.segment_r)
        self._beside = None if network.hole is None else network.hole.segment % network.segments
        self._knots = []
        for lift, (c_own, c_cross, c_ports) in zip(self._lifts, map(_split, network.clean), strict=True):
            chambers = (own + c_own, cross + c_cross, ports + c_ports)
            if self._beside is not None:
                chambers = _with_hole(*chambers, self._beside)
            self._knots.append((chambers[0] + medium, *chambers[1:], network.push_at(lift)))
        self._cache: dict[float, TwoPaths] = {}

    def at(self, lift_m: float) -> TwoPaths:
        """The two paths with the valve at a lift."""
        lift_m = min(max(lift_m, self._lifts[0]), self._lifts[-1])
        found = self._cache.get(lift_m)
        if found is None:
            if len(self._cache) > 64:
                self._cache.clear()
            found = self._cache[lift_m] = self._condensed(lift_m)
        return found

    def _condensed(self, lift_m: float) -> TwoPaths:
        own, cross, ports, push = self._between(lift_m)
        return _condense(own, cross, ports, push, self._beside)

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


def _with_hole(own: Floats, cross: Floats, ports: Floats, beside: int) -> tuple[Floats, Floats, Floats]:
    """Chambers with a third path, whose flow uses the ports of one segment but not its medium."""
    into = np.array(
        [[1.0, 0.0, 1.0], [0.0, 1.0, 0.0]]
    )  # (qe, qv, qh) as flows of the two paths to inlet, valve
    only = np.array([0.0, 0.0, 1.0])
    wide = cross @ into
    mixed = np.outer(only, wide[beside])
    ports = into.T @ ports @ into + mixed + mixed.T + own[beside, beside] * np.outer(only, only)
    return own, wide + np.outer(own[:, beside], only), ports


def _condense(own: Floats, cross: Floats, ports: Floats, push: Floats, beside: int | None = None) -> TwoPaths:
    """Minimise the dissipation over the segment flows, their sum being qe (Lagrange)."""
    paths = cross.shape[1]
    unit = np.zeros(paths + 1)
    unit[1] = 1.0
    right = np.empty((len(cross), paths + 1))
    right[:, 0] = 1.0
    right[:, 1:] = cross
    solved = np.linalg.solve(own, right)
    sums = solved.sum(axis=0)
    drive = (sums + unit)[1:] / sums[0]
    share = solved[:, :1] * drive - solved[:, 1:]
    r = (cross.T @ share + ports).tolist()
    d = drive.tolist()
    pushes = (push[1:-1] @ share).tolist()
    hole = None
    if beside is not None:
        push_h = pushes[2] + float(push[1 + beside])
        hole = HolePath(r[0][2] + d[2], r[1][2], r[2][2], share[:, 2], push_h)
    on_valve = (pushes[0], pushes[1] + float(push[-1]))
    return TwoPaths(r[0][0] + d[0], r[0][1] + d[1], r[1][1], share[:, :2], on_valve, hole)
