"""The filter's linear part, condensed exactly to two flows: through the element and through the valve.

All of it is creeping flow, the throat of the valve included, so at a given lift the segment flows follow
linearly from the element flow `qe` and the valve flow `qv`: they are the flows of least dissipation that add
up to `qe`. What is left is a symmetric 2 x 2 resistance matrix per unit viscosity.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.network import FilterNetwork
from glasscan.rig.smooth import smooth_positive
from glasscan.rig.throttle import gap_coefficients

Floats = NDArray[np.float64]
BLOCKED_R = 1e24  # resistance of a segment that passes nothing, 1/m3; an open one has about 1e10
SEAT_ROUND_M = 1e-7  # rounding of the corner where the valve meets its seat


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
            `dp = mu (ev qe + vv qv) + inertial drop at the valve` along the valve's path, 1/m3.
        share: (K, 2) segment flows from (qe, qv).
        push: opening force on the valve per viscosity from (qe, qv): creeping pressure on its faces, 1/m.
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

    __slots__ = ("_beside", "_cache", "_knots", "_leak", "_medium", "_pencils", "network", "segment_r")

    def __init__(self, network: FilterNetwork, segment_r: Floats) -> None:
        self.network = network
        self.segment_r = blocked_to_finite(segment_r)
        paths, medium = network.paths, np.diag(self.segment_r)
        self._beside = None if network.hole is None else network.hole.segment % network.segments
        self._knots = list(zip(paths.own, paths.cross, paths.push_segment, strict=True))
        self._medium = [own + medium for own in paths.own]
        self._leak = leak_conductance(network)
        self._cache: dict[float, TwoPaths] = {}
        self._pencils: dict[int, Pencil] = {}

    def at(self, lift_m: float) -> TwoPaths:
        """The two paths with the valve at a lift."""
        lift_m = self._held(lift_m)
        found = self._cache.get(lift_m)
        if found is None:
            if len(self._cache) > 64:
                self._cache.clear()
            found = self._cache[lift_m] = self._condensed(lift_m)
        return found

    def _condensed(self, lift_m: float) -> TwoPaths:
        table = self.network.paths
        j, w = table.place(lift_m)
        area = float(table.between(table.push_area, lift_m))
        if self._beside is None:
            pencil = self._pencils.get(j)
            if pencil is None:
                ends = [min(n, len(self._knots) - 1) for n in (j, j + 1)]
                pencil = Pencil.of(*((self._medium[n], *self._knots[n][1:]) for n in ends))
                self._pencils[j] = pencil
            return pencil.condensed(w, self._valve_r(lift_m), area)
        chambers, medium = self._knots[j], self._medium[j]
        if w:
            own, cross, push = (a + w * (b - a) for a, b in zip(chambers, self._knots[j + 1], strict=True))
            chambers, medium = (own, cross, push), medium + w * (self._medium[j + 1] - medium)
        return _condense(chambers, medium, self._valve_r(lift_m), area, self._beside)

    def _valve_r(self, lift_m: float) -> float:
        return 1.0 / (1.0 / min(self.network.paths.valve_r_at(lift_m), BLOCKED_R) + self._leak)

    def valve_r(self, lift_m: float) -> float:
        """Creeping resistance of the valve's path at a lift, leak included, 1/m3."""
        return self._valve_r(self._held(lift_m))

    def _held(self, lift_m: float) -> float:
        return min(smooth_positive(lift_m, SEAT_ROUND_M), float(self.network.paths.lifts_m[-1]))


@dataclass(frozen=True, slots=True)
class Pencil:
    """An interval of lift in coordinates in which the matrices of both its ends are diagonal.

    `(first + w (last - first))^-1 = V diag(1/(1 + w l)) V^T`, so at any lift only sums over K are left.

    Attributes:
        back: (K, K) V.
        rise: (K,) l.
        rows, slopes: (3, K) V^T of ones, cross and push at the first end, and what they grow by.
    """

    back: Floats
    rise: Floats
    rows: Floats
    slopes: Floats

    @classmethod
    def of(cls, first: tuple[Floats, ...], last: tuple[Floats, ...]) -> Pencil:
        """From (own with medium, cross, push) at both ends."""
        root = np.linalg.inv(np.linalg.cholesky(first[0]))
        rise, turn = np.linalg.eigh(root @ (last[0] - first[0]) @ root.T)
        back = root.T @ turn
        ones = np.ones(len(back))
        rows = np.stack([ones, first[1], first[2]]) @ back
        slopes = np.stack([0.0 * ones, last[1] - first[1], last[2] - first[2]]) @ back
        return cls(back, rise, rows, slopes)

    def condensed(self, w: float, valve_r: float, area_m2: float) -> TwoPaths:
        """The paths at a share w of the interval: least dissipation for given element and valve flow."""
        rows = self.rows + w * self.slopes
        weighed = rows / (1.0 + w * self.rise)
        (ones, both, pushed), (_, cross, push_v), _ = (weighed @ rows.T).tolist()
        ee, ev = 1.0 / ones, both / ones
        share = self.back @ weighed[:2].T @ np.array([[ee, ev], [0.0, -1.0]])
        on_valve = (pushed * ee, pushed * ev - push_v + area_m2 * valve_r)
        return TwoPaths(ee, ev, both * ev - cross + valve_r, share, on_valve)


def leak_conductance(network: FilterNetwork) -> float:
    """Conductance of a leak of the shut valve, in series with its open path, m3."""
    valve, paths = network.valve, network.paths
    if valve is None or valve.leak_area_m2 <= 0.0:
        return 0.0
    _, slit = gap_coefficients(valve.leak_area_m2, pi * valve.seat_d_m, valve.cd, 1.0, 1.0)
    return 1.0 / (slit + paths.valve_r_at(float(paths.lifts_m[-1])))


def _condense(
    chambers: tuple[Floats, Floats, Floats],
    medium: Floats,
    valve_r: float,
    area_m2: float,
    beside: int | None,
) -> TwoPaths:
    """Minimise the dissipation over the segment flows, their sum being qe (Lagrange).

    A hole has the ports of one segment but not its medium: its flow adds to that segment's in the chambers
    only.

    Args:
        chambers: (own, cross, push) of `PathTable` at the lift.
        medium: (K, K) own with the segments' resistances added.
        valve_r: of the valve's path, 1/m3.
        area_m2: on which the drop along it acts.
        beside: segment of the hole, or None.
    """
    own, cross, push = chambers
    paths = 2 if beside is None else 3
    right = np.empty((len(cross), paths))
    right[:, 0], right[:, 1] = 1.0, cross
    if beside is not None:
        right[:, 2] = own[:, beside]
    solved = np.linalg.solve(medium, right)
    sums = solved.sum(axis=0)
    drive = sums / sums[0]
    drive[0] = 1.0 / sums[0]
    share = solved[:, :1] * drive
    share[:, 1:] -= solved[:, 1:]
    on_valve, pushes, d = (cross @ share).tolist(), (push @ share).tolist(), drive.tolist()
    hole = None
    if beside is not None:
        on_hole = float(own[beside] @ share[:, 2]) + float(own[beside, beside])
        vh = on_valve[2] + float(cross[beside])
        hole = HolePath(d[2], vh, on_hole, share[:, 2], pushes[2] + float(push[beside]))
    both = (pushes[0], pushes[1] + area_m2 * valve_r)
    return TwoPaths(d[0], d[1], on_valve[1] + valve_r, share[:, :2], both, hole)
