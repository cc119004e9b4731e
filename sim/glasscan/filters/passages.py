"""The way past the element: where the bypass valve joins the two chambers, and the flow inside it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glasscan.filters.patches import axial_port, line, radial_port
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Floats, Grid

Block = tuple[slice, slice]


@dataclass(frozen=True)
class Seat:
    """A seat on the axis in a plane z whose disc moves down into the clean chamber.

    The throat between bore and disc turns the oil from the seat plane into the curtain: u_z linear in z, u_r
    linear in r, an exact divergence-free flow that matches uniform fluxes on both planes.

    Attributes:
        z: seat plane, m.
        radius: seat bore radius, m.
        lifts: lifts at which the clean chamber is solved, rising, m.
    """

    z: float
    radius: float
    lifts: tuple[float, ...]

    def dirty_port(self, grid: Grid) -> Port:
        """The seat bore, seen from the dirty chamber above."""
        return axial_port("valve seat", grid, self.z, 0.0, self.radius, 1, developed=False)

    def clean_port(self, grid: Grid, lift: float) -> Port:
        """The curtain between seat and disc."""
        return radial_port("valve curtain", grid, self.radius, self.z - lift, self.z, 1)

    def cells(self, grid: Grid, level: int) -> Block:
        """Cells of the throat at a solved lift."""
        low = line(grid.y, self.z - self.lifts[level])
        return slice(0, line(grid.x, self.radius)), slice(low, line(grid.y, self.z))

    def add_velocity(self, velocity: Floats, grid: Grid, level: int) -> None:
        """Velocity of the throat's inner faces for 1 m3/s, written in place (faces,)."""
        numbers, (columns, rows) = FaceNumbers(grid), self.cells(grid, level)
        lift, speed = self.lifts[level], 1 / (np.pi * self.radius**2)
        lines = np.arange(1, columns.stop)
        faces = numbers.across_x(lines[:, None], np.arange(rows.start, rows.stop)[None, :])
        velocity[faces] = (speed * grid.x[lines] / (2 * lift))[:, None]
        lines = np.arange(rows.start + 1, rows.stop)
        faces = numbers.across_y(np.arange(columns.stop)[:, None], lines[None, :])
        velocity[faces] = (-speed * (grid.y[lines] - (self.z - lift)) / lift)[None, :]


@dataclass(frozen=True)
class Duct:
    """A passage through the head that holds the valve: oil goes straight inwards through it.

    In the (r, z) plane the passage is a ring; the real bore is one hole on one side, and its own area enters
    the valve's law.

    Attributes:
        r_dirty, r_clean: radii of its two mouths, m.
        z0, z1: its height, m.
    """

    r_dirty: float
    r_clean: float
    z0: float
    z1: float

    @property
    def lifts(self) -> tuple[float, ...]:
        """The valve moves inside the passage: neither chamber changes with its lift."""
        return (0.0,)

    def dirty_port(self, grid: Grid) -> Port:
        """Its outer mouth."""
        return radial_port("valve passage", grid, self.r_dirty, self.z0, self.z1, 1)

    def clean_port(self, grid: Grid, _lift: float) -> Port:
        """Its inner mouth."""
        return radial_port("valve passage", grid, self.r_clean, self.z0, self.z1, -1)

    def cells(self, grid: Grid, _level: int) -> Block:
        """Cells of the passage."""
        columns = slice(line(grid.x, self.r_clean), line(grid.x, self.r_dirty))
        return columns, slice(line(grid.y, self.z0), line(grid.y, self.z1))

    def add_velocity(self, velocity: Floats, grid: Grid, level: int) -> None:
        """Velocity of its inner faces for 1 m3/s, written in place (faces,)."""
        columns, rows = self.cells(grid, level)
        add_straight_inward(velocity, grid, columns, rows)


def add_straight_inward(velocity: Floats, grid: Grid, columns: slice, rows: slice) -> None:
    """Straight inward flow of 1 m3/s through a ring of cells, on faces strictly between its two mouths."""
    lines = np.arange(columns.start + 1, columns.stop)
    height = grid.y[rows.stop] - grid.y[rows.start]
    speed = -1 / (2 * np.pi * grid.x[lines] * height)
    faces = FaceNumbers(grid).across_x(lines[:, None], np.arange(rows.start, rows.stop)[None, :])
    velocity[faces] = speed[:, None]
