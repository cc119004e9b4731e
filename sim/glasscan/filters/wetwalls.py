"""Where the walls of a section stand in its cells: open faces, cut cells, and which side a point is on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.flow.faces import whole_measures
from glasscan.flow.grid import Floats, Grid, sample
from glasscan.flow.shapes import Shape
from glasscan.flow.stokes import Chamber

Floats32 = NDArray[np.float32]


@dataclass(frozen=True)
class WetWalls:
    """Walls of both chambers for one valve lift.

    Attributes:
        grid: of the section.
        nodes: (nr + 1, nz + 1) level of the chambers at grid nodes: positive in oil, m.
        open_share: (faces,) open part of each face; 1 in the medium and the throat.
        cut: (nr, nz) cells of a chamber that are not wholly open.
    """

    grid: Grid
    nodes: Floats
    open_share: Floats32
    cut: NDArray[np.bool_]

    @classmethod
    def of(cls, grid: Grid, chambers: tuple[Chamber, ...], oil: Shape) -> WetWalls:
        """Walls of solved chambers whose regions together are `oil`."""
        return cls(grid, sample(grid, oil)[::2, ::2], _shares(grid, chambers), _cut_cells(grid, chambers))

    def level(self, at: Floats) -> tuple[Floats, Floats]:
        """Level at points (n, 2), m, and its slope (n, 2); linear in r and in z inside each cell."""
        x, y, values = self.grid.x, self.grid.y, self.nodes
        i, j = cell_of(self.grid, at)
        dx, dy = x[i + 1] - x[i], y[j + 1] - y[j]
        s, t = (at[:, 0] - x[i]) / dx, (at[:, 1] - y[j]) / dy
        a, b, c, d = values[i, j], values[i + 1, j], values[i, j + 1], values[i + 1, j + 1]
        value = (a * (1 - s) + b * s) * (1 - t) + (c * (1 - s) + d * s) * t
        slope = [((b - a) * (1 - t) + (d - c) * t) / dx, ((c - a) * (1 - s) + (d - b) * s) / dy]
        return np.asarray(value), np.stack(slope, axis=1)

    def behind(self, at: Floats) -> NDArray[np.bool_]:
        """Which points (n, 2) lie behind a wall that cuts their cell."""
        i, j = cell_of(self.grid, at)
        return np.asarray(self.cut[i, j] & (self.level(at)[0] <= 0))


def cell_of(grid: Grid, at: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Column and row of the cell that holds each point (n, 2); points beyond the grid take its last cells."""
    i = np.clip(np.searchsorted(grid.x, at[:, 0], side="right") - 1, 0, grid.shape[0] - 1)
    j = np.clip(np.searchsorted(grid.y, at[:, 1], side="right") - 1, 0, grid.shape[1] - 1)
    return i, j


def _shares(grid: Grid, chambers: tuple[Chamber, ...]) -> Floats32:
    whole = whole_measures(grid)
    open_ = np.maximum.reduce([np.where(_touched(c), c.measure, 0.0) for c in chambers])
    share = np.where(open_ > 0, open_ / np.maximum(whole, 1e-30), 1.0)
    return np.asarray(np.minimum(share, 1.0), np.float32)


def _touched(chamber: Chamber) -> NDArray[np.bool_]:
    mask = np.zeros(chamber.numbers.total, dtype=np.bool_)
    mask[chamber.free] = True
    for port in chamber.ports:
        mask[port.faces] = True
    return mask


def _cut_cells(grid: Grid, chambers: tuple[Chamber, ...]) -> NDArray[np.bool_]:
    out = np.zeros(grid.shape, dtype=np.bool_)
    whole = np.diff(grid.x)[:, None] * np.diff(grid.y)[None, :]
    for chamber in chambers:
        wet = np.zeros(grid.shape, dtype=np.bool_)
        wet.ravel()[chamber.cells] = True
        out |= wet & (chamber.open.area < whole * (1 - 1e-9))
    return out
