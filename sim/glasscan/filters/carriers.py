"""Oil made visible: points that drift with the discrete flow and never cross a wall.

Inside a cell the velocity comes from the fluxes of its four faces: u_z is linear in z and r u_r is linear in
r^2, which is free of divergence point by point and has no normal part on a shut face. Where a slanting wall
cuts a cell, a point that would leave the oil is set back on the wall line and slides along it.

Each point stands for the same volume of oil. It enters when that volume has come in, at places that fill the
inlet evenly in flux (the golden-ratio sequence), so that a constant flow neither clumps nor sputters.
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
MOST_STEPS = 20  # sub-steps in one call; what a quick point could not go then, it goes in the next calls
MOST_DEBT = 8.0  # calls' worth of time that a point may be behind
FULL = 0.92  # of the points stand for the oil; the others wait to enter while it flows
GOLDEN = (5**0.5 - 1) / 2
PLASTIC = (
    1.324717957244746  # root of x^3 = x + 1: even sequences in two dimensions (Roberts 2018, from memory)
)
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
        fed: they fill the oil and enter with it; else none is there until `release` is called.

    Attributes:
        positions_m: (count, 2) of (r, z), m.
        kind: (count,) DIRTY_OIL, FILTERED_OIL or UNFILTERED_OIL.
        age_s: (count,) time since a point entered, s.
        alive: (count,) False for points that wait outside; they are not to be drawn.
        left: points that have left by the outlet, by kind.
    """

    def __init__(self, section: Section, count: int, seed: int = 0, fed: bool = True) -> None:
        self.section, self.fed = section, fed
        self._phase = float(np.random.default_rng(seed).random())
        self._entered = 0
        self._owed = 0.0
        self._x, self._y = section.grid.x, section.grid.y
        self._dx, self._dy = np.diff(self._x), np.diff(self._y)
        self._smallest = float(min(self._dx.min(), self._dy.min()))
        self._columns, self._rows = _Finder(self._x), _Finder(self._y)
        self._sizes = np.stack(np.broadcast_arrays(self._dx[:, None], self._dy[None, :])).reshape(2, -1)
        self._inlet_share = np.asarray(section.inlet_port().share)
        self.positions_m = np.zeros((count, 2))
        self.kind = np.zeros(count, dtype=np.int8)
        self.age_s = np.zeros(count)
        self.alive = np.zeros(count, dtype=bool)
        self.left = np.zeros(3, dtype=np.int64)
        self._debt_s = np.zeros(count)
        self.passed_m3 = 0.0  # oil that has come in as it was drawn
        self._put_at_inlet(np.arange(count))
        if fed:
            self.refill()

    def refill(self) -> None:
        """Spread the points over all the oil, each for the same volume; nothing has passed the valve yet."""
        region = self.section.region(0.0)
        number = round(FULL * len(self.kind))
        self.positions_m[:number], volume = self._scatter(region, number)
        self._each_m3 = volume / number
        here = region.ravel()[self._flat_cells(self.positions_m.T)]
        self.kind[:] = self._kind_of(here, np.zeros(len(self.kind), dtype=np.int8))
        self.alive[:] = np.arange(len(self.kind)) < number
        self.age_s[:], self._debt_s[:], self._owed = 0.0, 0.0, 0.0

    def release(self, number: int) -> None:
        """Let a line of points in at the inlet, even in its flux; where none waits, the oldest are taken."""
        waiting = np.flatnonzero(~self.alive)
        if len(waiting) < number:
            oldest = np.argsort(np.where(self.alive, -self.age_s, np.inf))
            waiting = np.concatenate([waiting, oldest[: number - len(waiting)]])
        chosen = waiting[:number]
        self._put_at_inlet(chosen)
        self.alive[chosen] = True

    def step(self, frame: SectionFrame, dt_s: float) -> None:
        """Move every point for a time, s, through the fields of a frame.

        Each point takes its own sub-steps, as short as its cell and speed ask. A point that the moving valve
        has overrun starts again at the inlet.
        """
        self._load(frame)
        overrun = (self._here[self._flat_cells(self.positions_m.T)] == NO_OIL) & self.alive
        if overrun.any():
            self._take_out(np.flatnonzero(overrun))
        advance = partial(self._advance, frame)
        left_s = np.where(self.alive, dt_s + np.minimum(self._debt_s, MOST_DEBT * dt_s), 0.0)
        self.age_s[self.alive] += dt_s
        self.passed_m3 += self._inflow_m3s * dt_s
        if self.fed:
            self._let_in(dt_s, left_s)
        self._debt_s = let_pass(left_s, len(self.kind), advance, MOST_STEPS) * self.alive

    def _let_in(self, dt_s: float, left_s: Floats) -> None:
        """Points that enter in this time, each at its own moment; `left_s` (n,) gets the time they have."""
        rate = self._inflow_m3s / self._each_m3
        if rate <= 0.0:
            return
        self._owed += rate * dt_s
        number = int(self._owed)
        if number == 0:
            return
        since = (self._owed - 1.0 - np.arange(number)) / rate  # time since each entered, s
        self._owed -= number
        entering = np.flatnonzero(~self.alive)[:number]
        self._put_at_inlet(entering)
        self.alive[entering] = True
        left_s[entering] = np.clip(since[: len(entering)], 0.0, dt_s)
        self.age_s[entering] = left_s[entering]

    def _load(self, frame: SectionFrame) -> None:
        """Keep what the sub-steps of a frame need: in each cell r u_r = a + b r^2 and u_z = c + d z."""
        nx, ny = self.section.grid.shape
        flux = frame.face_velocity * self.section.open_share(frame)
        outward = flux[: (nx + 1) * ny].reshape(nx + 1, ny)
        rising = flux[(nx + 1) * ny :].reshape(nx, ny + 1)
        entering = self.section.layout.inlet.face_flows(outward, rising, self.section.grid)
        self._inflow_m3s = float(entering.sum())
        turning = outward * self._x[:, None]
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
        gone = self._has_left(moved)
        if gone.any():
            self.left += np.bincount(self.kind[which[gone]], minlength=3)
            self._take_out(which[gone])
            dt = np.where(gone, left_s, dt)
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
        return self.section.layout.outlet.beyond(at[0], at[1], 0.051 * self._smallest)

    def _take_out(self, which: Ints) -> None:
        """Points leave the picture and wait at the inlet."""
        self.alive[which] = False
        self._put_at_inlet(which)

    def _put_at_inlet(self, which: Ints) -> None:
        """Put points at the inlet, spread as the flow enters."""
        n = len(which)
        even = (self._phase + (self._entered + np.arange(n)) * GOLDEN) % 1.0
        self._entered += n
        at = self.section.layout.inlet.places(even, self._inlet_share, self.section.grid)
        self.positions_m[which] = at
        self.kind[which] = DIRTY_OIL
        self.age_s[which] = 0.0

    def _scatter(self, region: NDArray[np.int8], count: int) -> tuple[Floats, float]:
        """Places spread evenly over the volume of the oil, off the walls, and that volume, m3."""
        i, j = np.nonzero((region != NO_OIL) & (region != THROAT))  # nothing has passed the valve yet
        volume = np.pi * np.diff(self._x**2)[i] * np.diff(self._y)[j]
        ends = np.concatenate([[0.0], np.cumsum(volume)])
        tried, found = 2 * count, np.zeros((0, 2))
        while True:
            k = np.arange(tried)
            along = (self._phase + k / PLASTIC) % 1.0 * ends[-1]
            pick = np.minimum(np.searchsorted(ends, along, side="right") - 1, len(i) - 1)
            within = (along - ends[pick]) / volume[pick]
            r = np.sqrt(self._x[i[pick]] ** 2 + within * np.diff(self._x**2)[i[pick]])
            z = self._y[j[pick]] + (self._phase + k / PLASTIC**2) % 1.0 * np.diff(self._y)[j[pick]]
            at = np.stack([r, z], axis=1)
            inside = self.section.in_oil(at)
            if inside.sum() >= count:
                found = at[inside][:count]
                return found, float(ends[-1]) * float(inside.mean())
            tried *= 2

    @staticmethod
    def _kind_of(here: NDArray[np.int8], kind: NDArray[np.int8]) -> NDArray[np.int8]:
        """Kind after passing the element (filtered) or the valve (unfiltered); elsewhere as before."""
        strays = (here == CLEAN) & (kind == DIRTY_OIL)
        kind = np.where((here == MEDIUM) | strays, FILTERED_OIL, kind)
        kind = np.where(here == DIRTY, DIRTY_OIL, kind)
        return np.asarray(np.where(here == THROAT, UNFILTERED_OIL, kind), dtype=np.int8)
