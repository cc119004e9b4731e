"""Oil made visible: points that drift with the discrete flow and never cross a wall.

Inside a cell the velocity comes from the fluxes of its four faces: u_z is linear in z and r u_r is linear in
r^2, which is free of divergence point by point and has no normal part on a shut face. Where a slanting wall
cuts a cell, a point that would leave the oil is set back on the wall line and slides along it.
"""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.section import CLEAN, DIRTY, MEDIUM, NO_OIL, THROAT, Section, SectionFrame
from glasscan.filters.substeps import STEP_CELLS, let_pass
from glasscan.flow.grid import Floats

Ints = NDArray[np.int64]
DIRTY_OIL, FILTERED_OIL, UNFILTERED_OIL = range(3)
MOST_STEPS = 30  # sub-steps in one call
CLEARANCE = 0.02  # of a cell: how far off a slanting wall a point is kept


class _Finder:
    """Index of the interval that holds a value, by a table of equal bins (much quicker than a search)."""

    def __init__(self, edges: Floats) -> None:
        self.edges, self.last = edges, len(edges) - 2
        self.per_m = 2 / float(np.diff(edges).min())
        bins = edges[0] + np.arange(int((edges[-1] - edges[0]) * self.per_m) + 2) / self.per_m
        self.table = np.clip(np.searchsorted(edges, bins, side="right") - 1, 0, self.last)

    def find(self, values: Floats) -> Ints:
        """Interval (n,) of each value; values beyond the ends belong to the end intervals."""
        bins = ((values - self.edges[0]) * self.per_m).astype(np.int64)
        index = np.take(self.table, bins, mode="clip")
        index += values >= np.take(self.edges, index + 1)  # a bin is half a cell: at most one edge inside it
        return np.asarray(np.minimum(index, self.last, out=index))


class Carriers:
    """Points that stand for oil, each with the kind of oil it is.

    Args:
        section: where they move.
        count: how many.
        seed: of the places where they start.

    Attributes:
        positions_m: (count, 2) of (r, z), m.
        kind: (count,) DIRTY_OIL, FILTERED_OIL or UNFILTERED_OIL.
        age_s: (count,) time since a point entered, s.
    """

    def __init__(self, section: Section, count: int, seed: int = 0) -> None:
        self.section = section
        self._random = np.random.default_rng(seed)
        self._x, self._y = section.grid.x, section.grid.y
        self._dx, self._dy = np.diff(self._x), np.diff(self._y)
        self._smallest = float(min(self._dx.min(), self._dy.min()))
        self._columns, self._rows = _Finder(self._x), _Finder(self._y)
        self._sizes = np.stack(np.broadcast_arrays(self._dx[:, None], self._dy[None, :])).reshape(2, -1)
        region = section.region(0.0)
        self.positions_m = self._scatter(region, count)
        self.kind = self._kind_of(
            region.ravel()[self._flat_cells(self.positions_m.T)], np.zeros(count, dtype=np.int8)
        )
        self.age_s = np.zeros(count)

    def step(self, frame: SectionFrame, dt_s: float) -> None:
        """Move every point for a time, s, through the fields of a frame.

        Each point takes its own sub-steps, as short as its cell and speed ask. A point that the moving valve
        has overrun starts again at the inlet.
        """
        self._load(frame)
        overrun = self._here[self._flat_cells(self.positions_m.T)] == NO_OIL
        if overrun.any():
            self._enter(overrun)
        let_pass(dt_s, len(self.kind), partial(self._advance, frame), MOST_STEPS)
        self.age_s += dt_s

    def _load(self, frame: SectionFrame) -> None:
        """Keep what the sub-steps of a frame need: in each cell r u_r = a + b r^2 and u_z = c + d z."""
        nx, ny = self.section.grid.shape
        flux = frame.face_velocity * self.section.open_share(frame)
        turning = flux[: (nx + 1) * ny].reshape(nx + 1, ny) * self._x[:, None]
        rising = flux[(nx + 1) * ny :].reshape(nx, ny + 1)
        b = np.diff(turning, axis=0) / np.diff(self._x**2)[:, None]
        d = np.diff(rising, axis=1) / self._dy[None, :]
        a = turning[:-1] - b * (self._x[:-1] ** 2)[:, None]
        c = rising[:, :-1] - d * self._y[None, :-1]
        self._affine = tuple(np.ascontiguousarray(v).ravel() for v in (a, b, c, d))
        self._here = np.ascontiguousarray(frame.region.T).ravel()
        self._is_cut = self.section.is_cut(frame).ravel()

    def _advance(self, frame: SectionFrame, which: Ints, left_s: Floats) -> Floats:
        """One midpoint step of some points, kept out of the walls; returns the time each took, s."""
        start = self.positions_m[which].T
        cells = self._flat_cells(start)
        velocity = self._velocity(start, cells)
        reach = STEP_CELLS * self._sizes[:, cells]
        dt = np.minimum(left_s, (reach / np.maximum(np.abs(velocity), 1e-12)).min(axis=0))
        half = start + velocity * (dt / 2)
        velocity = self._velocity(half, self._flat_cells(half))
        # a cell crossed half way may be much faster: never go farther than the reach
        far = (np.abs(velocity) * dt / reach).max(axis=0)
        dt = dt / np.maximum(far, 1.0)
        moved = start + velocity * dt
        np.abs(moved[0], out=moved[0])
        cells = self._kept_in_oil(start, moved, frame)
        self.kind[which] = self._kind_of(self._here[cells], self.kind[which])
        self.positions_m[which] = moved.T
        gone = which[self._has_left(moved)]
        if len(gone):
            self._enter(gone)
        return np.asarray(dt)

    def _flat_cells(self, at: Floats) -> Ints:
        """Flat number of the cell that holds each point of (2, n)."""
        return self._columns.find(at[0]) * len(self._dy) + self._rows.find(at[1])

    def _velocity(self, at: Floats, cells: Ints) -> Floats:
        """Velocity (2, n) at points (2, n) in given cells, m/s."""
        a, b, c, d = (np.take(v, cells) for v in self._affine)
        r = np.maximum(at[0], 1e-9)
        return np.stack([a / r + b * r, c + d * at[1]])

    def _kept_in_oil(self, start: Floats, moved: Floats, frame: SectionFrame) -> Ints:
        """Set points of (2, n) back that went behind a wall (in place); returns their cells."""
        cells = self._flat_cells(moved)
        suspects = np.flatnonzero(self._is_cut[cells])
        if len(suspects):
            moved[:, suspects] = self._off_slanting_walls(moved[:, suspects].T, frame).T
            cells = self._flat_cells(moved)
        outside = self._here[cells] == NO_OIL
        if outside.any():
            moved[:, outside] = start[:, outside]
            cells = self._flat_cells(moved)
        return cells

    def _off_slanting_walls(self, at: Floats, frame: SectionFrame) -> Floats:
        """Points (n, 2) in cut cells, those behind the wall set back on its line."""
        for _ in range(2):  # the level is not a distance near corners: a second pass lands on the line
            level, slope = self.section.wall_level(at, frame)
            short = np.maximum(CLEARANCE * self._smallest - level, 0.0)
            steep = np.maximum((slope**2).sum(axis=1), 1e-6)
            at = at + (short / steep)[:, None] * slope
        return at

    def _has_left(self, at: Floats) -> NDArray[np.bool_]:
        """Points of (2, n) within a hair of the plane of the outlet."""
        way = self.section.layout.outlet
        hair = 1e-3 * self._smallest
        inside = (at[0] >= way.r0) & (at[0] <= way.r1)
        return np.asarray(inside & ((at[1] - way.z) * way.inward <= hair + 0.05 * self._smallest))

    def _enter(self, which: NDArray[np.bool_] | Ints) -> None:
        """Put points at the inlet, spread as the flow enters."""
        way, n = self.section.layout.inlet, len(self.kind[which])
        port = self.section.dirty.chamber.ports[0]
        columns = (port.faces - self.section.dirty.chamber.numbers.n_x) // (len(self._y))
        chosen = self._random.choice(columns, size=n, p=port.share)
        r = self._x[chosen] + self._random.random(n) * (self._x[chosen + 1] - self._x[chosen])
        z = way.z + way.inward * (0.1 + 0.8 * self._random.random(n)) * (self._y[1] - self._y[0])
        self.positions_m[which] = np.stack([r, z], axis=1)
        self.kind[which] = DIRTY_OIL
        self.age_s[which] = 0.0

    def _scatter(self, region: NDArray[np.int8], count: int) -> Floats:
        """Places spread evenly over the oil, off the walls."""
        i, j = np.nonzero((region != NO_OIL) & (region != THROAT))  # nothing has passed the valve yet
        area = np.diff(self._x)[i] * np.diff(self._y)[j]
        found: list[Floats] = []
        while sum(map(len, found)) < count:
            pick = self._random.choice(len(i), size=count, p=area / area.sum())
            r = self._x[i[pick]] + self._random.random(count) * np.diff(self._x)[i[pick]]
            z = self._y[j[pick]] + self._random.random(count) * np.diff(self._y)[j[pick]]
            at = np.stack([r, z], axis=1)
            found.append(at[self.section.in_oil(at)])
        return np.concatenate(found)[:count]

    @staticmethod
    def _kind_of(here: NDArray[np.int8], kind: NDArray[np.int8]) -> NDArray[np.int8]:
        """Kind after passing the element (filtered) or the valve (unfiltered); elsewhere as before."""
        strays = (here == CLEAN) & (kind == DIRTY_OIL)
        kind = np.where((here == MEDIUM) | strays, FILTERED_OIL, kind)
        kind = np.where(here == DIRTY, DIRTY_OIL, kind)
        return np.asarray(np.where(here == THROAT, UNFILTERED_OIL, kind), dtype=np.int8)
