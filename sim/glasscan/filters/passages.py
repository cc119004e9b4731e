"""The way past the element: where the bypass valve joins the two chambers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glasscan.filters.patches import line, radial_port
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Floats, Grid
from glasscan.flow.shapes import Shape, box

Block = tuple[slice, slice]


@dataclass(frozen=True)
class Seat:
    """A seat on the axis in a plane z whose disc moves down into the clean chamber.

    Attributes:
        z: seat plane, m.
        radius: seat bore radius, m.
        rim: radius of the disc, m.
        deep: how far the bore reaches above the seat plane, m.
        lifts: lifts at which the section is solved, rising, above 0, m.
    """

    z: float
    radius: float
    rim: float
    deep: float
    lifts: tuple[float, ...]

    def throat(self, lift: float) -> Shape:
        """The bore with the room between it and the disc: joins the two chambers."""
        return box(-1.0, self.radius, self.z - lift, self.z + self.deep)

    def cells(self, grid: Grid, lift: float) -> Block:
        """Cells between seat plane and disc at a lift of the grid."""
        low = line(grid.y, self.z - lift)
        return slice(0, line(grid.x, self.rim)), slice(low, line(grid.y, self.z))


@dataclass(frozen=True)
class Duct:
    """A passage through the head that holds the valve: oil goes straight inwards through it.

    In the (r, z) plane the passage is a ring; the real bore is one hole on one side, solved about its own
    axis.

    Attributes:
        r_dirty, r_clean: radii of its two mouths, m.
        z0, z1: its height, m.
    """

    r_dirty: float
    r_clean: float
    z0: float
    z1: float

    def dirty_port(self, grid: Grid) -> Port:
        """Its outer mouth."""
        return radial_port("valve passage", grid, self.r_dirty, self.z0, self.z1, 1)

    def clean_port(self, grid: Grid) -> Port:
        """Its inner mouth."""
        return radial_port("valve passage", grid, self.r_clean, self.z0, self.z1, -1)

    def cells(self, grid: Grid) -> Block:
        """Cells of the passage."""
        columns = slice(line(grid.x, self.r_clean), line(grid.x, self.r_dirty))
        return columns, slice(line(grid.y, self.z0), line(grid.y, self.z1))

    def add_velocity(self, velocity: Floats, grid: Grid) -> None:
        """Velocity of its inner faces for 1 m3/s, written in place (faces,)."""
        columns, rows = self.cells(grid)
        add_straight_inward(velocity, grid, columns, rows)


def add_straight_inward(velocity: Floats, grid: Grid, columns: slice, rows: slice) -> None:
    """Straight inward flow of 1 m3/s through a ring of cells, on faces strictly between its two mouths."""
    lines = np.arange(columns.start + 1, columns.stop)
    height = grid.y[rows.stop] - grid.y[rows.start]
    speed = -1 / (2 * np.pi * grid.x[lines] * height)
    faces = FaceNumbers(grid).across_x(lines[:, None], np.arange(rows.start, rows.stop)[None, :])
    velocity[faces] = speed[:, None]
