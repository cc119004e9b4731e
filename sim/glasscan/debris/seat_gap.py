"""The least lift of a valve that the bodies between it and its seat allow.

A body in the seat may slide up and down between the fixed surface over it and the moving surface under it.
Pushed against the fixed one, its lowest point over the moving one is what stops the valve:
`lift >= max(top of mover - bottom of body) + max(top of body - seat)`, each over the radii where they face
each other. A valve that opens another way is the same picture turned.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.scene import Scene
from glasscan.debris.walls import inside_outline
from glasscan.filters.named_parts import Outline

Floats = NDArray[np.float64]
STEP_M = 2e-5  # between the radii that are compared
BEYOND_M = 4e-3  # outside the rim of the moving part: as far as a lodged body may stick out


class SeatGap:
    """Surfaces of seat and moving part at lift 0, turned so that the valve opens downward.

    Places across the valve are radii for one that moves along the axis, heights for one that moves along r.
    """

    def __init__(self, scene: Scene) -> None:
        self._turn = _turning(scene.way)
        self._way, self._movers = np.array(scene.way), scene.movers
        self.max_lift_m = scene.max_lift_m
        self.fitted = bool(scene.movers) and scene.max_lift_m > 0
        if self.fitted:
            self._tabulate(
                [m @ self._turn for m in scene.movers], [w.outline @ self._turn for w in scene.walls]
            )

    def _tabulate(self, movers: list[Outline], walls: list[Outline]) -> None:
        edge, rim = min(float(m[:, 0].min()) for m in movers), max(float(m[:, 0].max()) for m in movers)
        self._r = np.arange(max(edge - BEYOND_M, 0.0), rim + BEYOND_M, STEP_M)
        chords = [chord(m, self._r) for m in movers]
        self._face = np.fmax.reduce([top for _, top in chords])
        self._core = (np.fmin.reduce([low for low, _ in chords]) + self._face) / 2
        over = self._face[np.isfinite(self._face)]
        level = np.where(np.isfinite(self._face), self._face, over[-1]) - STEP_M
        self._seat = np.fmin.reduce([_above(w, self._r, level) for w in walls])
        near = (
            np.isfinite(self._seat) & (self._seat - level < BEYOND_M) & (self._r >= edge) & (self._r <= rim)
        )
        self._inner, self._rim = (float(self._r[near].min()), rim) if near.any() else (np.inf, -np.inf)
        self._top = float(self._seat[near].max(initial=-np.inf))
        self._bottom = float(over.min()) - self.max_lift_m

    def inside_mover(self, at: Floats, lift_m: float) -> NDArray[np.bool_]:
        """(n,) points (n, 2) that lie inside a moving part at a lift."""
        inside = np.zeros(len(at), dtype=np.bool_)
        r, z = (at - self._way * lift_m).T
        for outline in self._movers:
            inside |= inside_outline(outline, r, z)
        return inside

    def near(self, at: Floats, reach_m: Floats) -> NDArray[np.int64]:
        """Which bodies, by middle (n, 2) and reach (n,), m, may touch both seat and moving part."""
        if not self.fitted:
            return np.zeros(0, dtype=np.int64)
        r, z = (at @ self._turn).T
        beside = (r + reach_m > self._inner) & (r - reach_m < self._rim)
        level = (z - reach_m < self._top) & (z + reach_m > self._bottom)
        return np.flatnonzero(beside & level)

    def least_lifts_m(self, corners: Floats, lift_m: float) -> Floats:
        """Lifts (n,) below which the valve would cut into bodies, m; 0 for those not between the two.

        Args:
            corners: (n, k, 2) corners of convex bodies where they are, in order; the last may be repeated, m.
            lift_m: lift of the valve now.
        """
        turned = corners @ self._turn
        across = turned[..., 0]
        first = np.searchsorted(self._r, across.min(axis=1))
        last = np.searchsorted(self._r, across.max(axis=1))
        here = first[:, None] + np.arange(max(int((last - first).max(initial=0)), 1))
        beyond = here >= last[:, None]
        here = np.minimum(here, len(self._r) - 1)
        bottom, top = convex_chords(turned, self._r[here])
        face, core, seat = self._face[here], self._core[here], self._seat[here]
        middle = (bottom + top) / 2
        under_seat = np.isfinite(seat) & (middle < seat) & ~beyond
        on_mover = np.isfinite(face) & (middle > core - lift_m) & ~beyond
        low = np.where(on_mover, face - bottom, -np.inf).max(axis=1)
        high = np.where(under_seat, top - seat, -np.inf).max(axis=1)
        return np.asarray(np.clip(low + high, 0.0, self.max_lift_m))


def _turning(way: tuple[float, float]) -> Floats:
    """Matrix that turns (r, z) rows to (place across the valve, height against the way it opens)."""
    return np.array([[1.0, 0.0], [0.0, -way[1]]]) if way[0] == 0 else np.array([[0.0, -way[0]], [1.0, 0.0]])


def chord(outline: Outline, r: Floats) -> tuple[Floats, Floats]:
    """Lowest and highest z of a closed polygon at each radius, NaN where it has none."""
    low, high = np.full(len(r), np.inf), np.full(len(r), -np.inf)
    for heights in _crossings(outline, r):
        low, high = np.fmin(low, heights), np.fmax(high, heights)
    none = ~np.isfinite(low)
    low[none] = high[none] = np.nan
    return low, high


def convex_chords(corners: Floats, x: Floats) -> tuple[Floats, Floats]:
    """Lowest and highest y of convex polygons (n, k, 2) at places (n, m) between their ends; else NaN."""
    x0, y0 = corners[..., 0, None], corners[..., 1, None]  # (n, k, 1)
    x1, y1 = np.roll(x0, -1, axis=1), np.roll(y0, -1, axis=1)
    at = x[:, None, :]
    spans = (x0 != x1) & (at >= np.minimum(x0, x1)) & (at <= np.maximum(x0, x1))
    slope = np.divide(y1 - y0, x1 - x0, out=np.zeros_like(x0), where=x0 != x1)
    y = y0 + (at - x0) * slope
    some = spans.any(axis=1)
    low = np.where(spans, y, np.inf).min(axis=1)
    high = np.where(spans, y, -np.inf).max(axis=1)
    return np.where(some, low, np.nan), np.where(some, high, np.nan)


def _above(outline: Outline, r: Floats, level: Floats) -> Floats:
    """Lowest z of a polygon's edges at or above a level, at each radius; infinite where there is none."""
    lowest = np.full(len(r), np.inf)
    for heights in _crossings(outline, r):
        lowest = np.where(heights >= level, np.fmin(lowest, heights), lowest)
    return lowest


def _crossings(outline: Outline, r: Floats) -> list[Floats]:
    """z of each edge that is not upright, at each radius it spans, else NaN."""
    out = []
    for (r0, z0), (r1, z1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if r0 == r1:
            continue
        spans = (r >= min(r0, r1)) & (r <= max(r0, r1))
        out.append(np.where(spans, z0 + (r - r0) * (z1 - z0) / (r1 - r0), np.nan))
    return out
