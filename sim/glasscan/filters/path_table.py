"""Creeping resistances of a filter from inlet to outlet, by lift of the bypass valve, per unit viscosity.

The segment flows q (K,) and the valve's flow qv fix everything: the inlet takes their sum. Along the path of
a segment the drop is `mu (own q + cross qv + segment_r q)`, along that of the valve `mu (cross q + valve_r
qv)`. The dissipation is one quadratic form, so `cross` is the same in both.

Between two solved lifts `own`, `cross` and the pushes vary little and are taken as linear; `valve_r` falls
like lift^-3 at first, so ln(valve_r) is a cubic spline in ln(lift), which goes on with its slope below the
smallest one.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from math import exp, inf, log

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class PathTable:
    """The paths at each solved lift.

    Attributes:
        lifts_m: (L,) rising lifts; the first is 0, the valve shut.
        own: (L, K, K) chambers as the segments meet them with no flow through the valve, 1/m3.
        cross: (L, K) what the valve's flow adds to each segment's path, 1/m3.
        valve_r: (L,) the valve's path, throat included, 1/m3; infinite where it is shut or where there is
            none.
        push_area: (L,) force on the valve over the viscous drop along its path, m2: the pressure on its
            faces.
        push_segment: (L, K) force on the valve per viscosity and segment flow beside that, 1/m.
    """

    lifts_m: Floats
    own: Floats
    cross: Floats
    valve_r: Floats
    push_area: Floats
    push_segment: Floats

    @cached_property
    def _knots(self) -> list[float]:
        return [float(v) for v in self.lifts_m]

    def place(self, lift_m: float) -> tuple[int, float]:
        """Interval (its lower knot) and share of the way through it for a lift, clamped."""
        knots = self._knots
        if lift_m <= knots[0] or len(knots) == 1:
            return 0, 0.0
        if lift_m >= knots[-1]:
            return len(knots) - 2, 1.0
        j = bisect_right(knots, lift_m) - 1
        return j, (lift_m - knots[j]) / (knots[j + 1] - knots[j])

    def between(self, table: Floats, lift_m: float) -> Floats:
        """A table (L, ...) at a lift, linear between the solved ones."""
        j, w = self.place(lift_m)
        return np.asarray(table[j] if w == 0.0 else (1.0 - w) * table[j] + w * table[j + 1])

    @cached_property
    def _pieces(self) -> tuple[list[float], list[list[float]]] | None:
        """ln(lift) of the knots with a finite resistance, and the cubics of ln(valve_r) between them."""
        there = np.isfinite(self.valve_r) & (self.lifts_m > 0)
        if not there.any():
            return None
        x, y = np.log(self.lifts_m[there]), np.log(self.valve_r[there])
        if len(x) == 1:
            return x.tolist(), [[0.0, 0.0, 0.0, float(y[0])]]
        spline = CubicSpline(x, y) if len(x) > 3 else CubicSpline(x, y, bc_type="natural")
        return x.tolist(), np.asarray(spline.c).T.tolist()

    def valve_r_at(self, lift_m: float) -> float:
        """Resistance of the valve's path at a lift, 1/m3; held beyond the largest one."""
        if self._pieces is None or lift_m <= 0.0:
            return inf
        x, cubics = self._pieces
        s = log(lift_m)
        if s <= x[0]:
            return exp(cubics[0][3] + cubics[0][2] * (s - x[0]))
        j = min(bisect_right(x, min(s, x[-1])), len(cubics)) - 1
        t = min(s, x[-1]) - x[j]
        a, b, c, d = cubics[j]
        return exp(((a * t + b) * t + c) * t + d)


def from_ports(
    dirty: Floats, clean: Floats, lifts_m: Floats, throat_r: Floats, push_area: float
) -> PathTable:
    """Paths of two chambers joined by a throat of given resistance.

    Args:
        dirty: (K+2, K+2) port matrix with ports inlet, segments, valve, 1/m3.
        clean: (L, K+2, K+2) the same with ports outlet, segments, valve.
        lifts_m: (L,) lifts.
        throat_r: (L,) resistance of the throat, 1/m3.
        push_area: area on which the drop over the valve acts, m2.
    """
    k = len(dirty) - 2
    into_dirty = np.zeros((k + 2, k + 1))  # flows of the ports from (segments, valve)
    into_dirty[0], into_dirty[1:] = 1.0, -np.eye(k + 1)
    whole = into_dirty.T @ dirty @ into_dirty + into_dirty.T @ clean @ into_dirty
    return PathTable(
        lifts_m,
        whole[:, :k, :k],
        whole[:, :k, k],
        whole[:, k, k] + throat_r,
        np.full(len(lifts_m), push_area),
        np.zeros((len(lifts_m), k)),
    )
