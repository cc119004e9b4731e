"""Oil made visible: points that drift with the discrete flow and never cross a wall.

Inside a cell the velocity comes from the fluxes of its four faces: u_z is linear in z and r u_r is linear in
r^2, which is free of divergence point by point and has no normal part on a shut face. Where a slanting wall
cuts a cell, a point that would leave the oil is set back on the wall line and slides along it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.filters.section import CLEAN, DIRTY, MEDIUM, NO_OIL, THROAT, Section, SectionFrame
from sim.physics.grid import Floats

Ints = NDArray[np.int64]
DIRTY_OIL, FILTERED_OIL, UNFILTERED_OIL = range(3)
STEP_CELLS = 0.8  # of its cell: the farthest a point may go in one sub-step
MOST_STEPS = 30  # sub-steps in one call: beyond that the fastest points lag rather than the picture
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
        index = self.table[np.clip(bins, 0, len(self.table) - 1)]
        index = index + (values >= self.edges[index + 1])  # a bin is half a cell: at most one edge inside it
        return np.asarray(np.minimum(index, self.last))


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
        region = section.region(0.0)
        self.positions_m = self._scatter(region, count)
        self.kind = self._kind_of(region[self._cells(self.positions_m)], np.zeros(count, dtype=np.int8))
        self.age_s = np.zeros(count)

    def step(self, frame: SectionFrame, dt_s: float) -> None:
        """Move every point for a time, s, through the fields of a frame.

        Each point takes its own sub-steps, as short as its cell and speed ask. A point that the moving valve
        has overrun starts again at the inlet.
        """
        overrun = frame.region.T[self._cells(self.positions_m)] == NO_OIL
        if overrun.any():
            self._enter(overrun)
        self._load(frame)
        left_s = np.full(len(self.kind), dt_s)
        for _ in range(MOST_STEPS):
            moving = np.flatnonzero(left_s > 0)
            if len(moving) == 0:
                break
            left_s[moving] -= self._advance(moving, left_s[moving], frame)
        self.age_s += dt_s

    def _load(self, frame: SectionFrame) -> None:
        """Keep the flux over whole faces of a frame, r u_r and u_z, for the sub-steps."""
        nx, ny = self.section.grid.shape
        flux = frame.face_velocity * self.section.open_share(frame)
        self._turning = flux[: (nx + 1) * ny].reshape(nx + 1, ny) * self._x[:, None]
        self._rising = flux[(nx + 1) * ny :].reshape(nx, ny + 1)

    def _advance(self, which: Ints, left_s: Floats, frame: SectionFrame) -> Floats:
        """One midpoint step of some points, kept out of the walls; returns the time each took, s."""
        start = self.positions_m[which]
        cells = self._cells(start)
        velocity = self._velocity(start, cells)
        reach = STEP_CELLS * np.stack([self._dx[cells[0]], self._dy[cells[1]]], axis=1)
        dt = np.minimum(left_s, (reach / np.maximum(np.abs(velocity), 1e-12)).min(axis=1))
        half = start + velocity * (dt / 2)[:, None]
        half_cells = self._cells(half)
        velocity = self._velocity(half, half_cells)
        # a cell crossed half way may be much faster: never go farther than the reach
        far = (np.abs(velocity) * dt[:, None] / reach).max(axis=1)
        dt = dt / np.maximum(far, 1.0)
        moved = start + velocity * dt[:, None]
        moved[:, 0] = np.abs(moved[:, 0])
        region = frame.region.T
        self._off_slanting_walls(moved, self._cells(moved), frame)
        cells = self._cells(moved)
        outside = region[cells] == NO_OIL
        if outside.any():
            moved[outside] = start[outside]
            cells = self._cells(moved)
        self.kind[which] = self._kind_of(region[cells], self.kind[which])
        self.positions_m[which] = moved
        gone = which[self._has_left(moved)]
        if len(gone):
            self._enter(gone)
        return np.asarray(dt)

    def _cells(self, at: Floats) -> tuple[Ints, Ints]:
        """Column and row of the cell that holds each point."""
        return self._columns.find(at[:, 0]), self._rows.find(at[:, 1])

    def _velocity(self, at: Floats, cells: tuple[Ints, Ints]) -> Floats:
        """Velocity (n, 2) at points in given cells, m/s."""
        i, j = cells
        x0, x1 = self._x[i], self._x[i + 1]
        share = (at[:, 0] ** 2 - x0**2) / (x1**2 - x0**2)
        turning = self._turning[i, j] * (1 - share) + self._turning[i + 1, j] * share
        up = (at[:, 1] - self._y[j]) / self._dy[j]
        u_z = self._rising[i, j] * (1 - up) + self._rising[i, j + 1] * up
        return np.stack([turning / np.maximum(at[:, 0], 1e-9), u_z], axis=1)

    def _off_slanting_walls(self, at: Floats, cells: tuple[Ints, Ints], frame: SectionFrame) -> None:
        """Set points back that went behind a wall which cuts their cell (in place)."""
        suspects = np.flatnonzero(self.section.is_cut(frame)[cells])
        if len(suspects) == 0:
            return
        for _ in range(2):  # the level is not a distance near corners: a second pass lands on the line
            level, slope = self.section.wall_level(at[suspects], frame)
            short = np.maximum(CLEARANCE * self._smallest - level, 0.0)
            steep = np.maximum((slope**2).sum(axis=1), 1e-6)
            at[suspects] += (short / steep)[:, None] * slope

    def _has_left(self, at: Floats) -> NDArray[np.bool_]:
        """Points within a hair of the plane of the outlet."""
        way = self.section.layout.outlet
        hair = 1e-3 * self._smallest
        inside = (at[:, 0] >= way.r0) & (at[:, 0] <= way.r1)
        return np.asarray(inside & ((at[:, 1] - way.z) * way.inward <= hair + 0.05 * self._smallest))

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
        i, j = np.nonzero(region != NO_OIL)
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
