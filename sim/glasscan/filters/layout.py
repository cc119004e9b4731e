"""Where the oil of an axial section is: grid, regions, ways in and out, element, and the way past it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.passages import Duct, Seat
from glasscan.filters.patches import axial_port, line, radial_port
from glasscan.flow.faces import Port
from glasscan.flow.grid import Floats, Grid
from glasscan.flow.shapes import Shape

NO_OIL, DIRTY, CLEAN, MEDIUM, THROAT = range(5)
PER_TURN = 2 * np.pi  # the (r, z) solver works per radian


Numbers = NDArray[np.floating[Any]]
Box = tuple[float, float, float, float]
"""(r0, r1, z0, z1), m."""


@dataclass(frozen=True)
class Opening:
    """An axial way in or out: plane z, from r0 to r1, m; `inward` +1 where +z enters the chamber."""

    z: float
    r0: float
    r1: float
    inward: int

    @property
    def area_m2(self) -> float:
        """Its area, m2."""
        return float(np.pi * (self.r1**2 - self.r0**2))

    @property
    def across_m(self) -> float:
        """Its hydraulic diameter, m."""
        return 2 * self.r1 if self.r0 == 0 else 2 * (self.r1 - self.r0)

    def port(self, name: str, grid: Grid) -> Port:
        """Its faces on a grid, with a developed profile."""
        return axial_port(name, grid, self.z, self.r0, self.r1, self.inward, developed=True)

    def face_flows(self, flux_r: Numbers, flux_z: Numbers, grid: Grid) -> Floats:
        """(n,) flow into the chamber through its faces, m3/s, from velocities (nx+1, ny) and (nx, ny+1)."""
        del flux_r
        i = np.arange(line(grid.x, self.r0), line(grid.x, self.r1))
        ring = np.pi * np.diff(grid.x**2)[i]
        return np.asarray(flux_z[i, line(grid.y, self.z)] * self.inward * ring)

    def places(self, along: Numbers, share: Floats, grid: Grid) -> Floats:
        """(n, 2) points just inside, at parts 0..1 of the flow that enters with the shares of its faces."""
        edges = grid.x[line(grid.x, self.r0) : line(grid.x, self.r1) + 1]
        ends = np.concatenate([[0.0], np.cumsum(share)])
        r = np.interp(along, ends / ends[-1], edges)
        z = np.full(len(along), self.z + self.inward * 0.1 * (grid.y[1] - grid.y[0]))
        return np.stack([r, z], axis=1)

    def beyond(self, r: Numbers, z: Numbers, hair: float = 0.0) -> NDArray[np.bool_]:
        """Points that have gone out through it, or are within a hair, m, of that."""
        inside = (r >= self.r0) & (r <= self.r1)
        return np.asarray(inside & ((z - self.z) * self.inward <= hair))

    def box(self, depth_m: float) -> Box:
        """The room behind it inside the chamber, or outside for a negative depth, m."""
        z0, z1 = sorted((self.z, self.z + self.inward * depth_m))
        return self.r0, self.r1, z0, z1


@dataclass(frozen=True)
class SideOpening:
    """A way in or out through the side: a bore of the machine, in the (r, z) plane a slot all round.

    Attributes:
        r: radius at which the bore meets the chamber, m.
        z0, z1: its lower and upper edge, m; the bore is as wide as it is high.
        inward: +1 where +r enters the chamber.
        side: where the bore lies in the drawn section, -1 left, +1 right.
        end_r: radius at which the bore ends at the outside of the head, m.
    """

    r: float
    z0: float
    z1: float
    inward: int
    side: int
    end_r: float

    @property
    def z(self) -> float:
        """Height of its middle, m."""
        return (self.z0 + self.z1) / 2

    @property
    def r0(self) -> float:
        """Its radius, m."""
        return self.r

    @property
    def r1(self) -> float:
        """Its radius, m."""
        return self.r

    @property
    def area_m2(self) -> float:
        """Area of the slot, m2."""
        return float(2 * np.pi * self.r * (self.z1 - self.z0))

    @property
    def across_m(self) -> float:
        """Hydraulic diameter of the slot, m."""
        return 2 * (self.z1 - self.z0)

    def port(self, name: str, grid: Grid) -> Port:
        """Its faces on a grid: the same flow all round, as the gallery spreads it."""
        return radial_port(name, grid, self.r, self.z0, self.z1, self.inward)

    def face_flows(self, flux_r: Numbers, flux_z: Numbers, grid: Grid) -> Floats:
        """(n,) flow into the chamber through its faces, m3/s, from velocities (nx+1, ny) and (nx, ny+1)."""
        del flux_z
        j = np.arange(line(grid.y, self.z0), line(grid.y, self.z1))
        ring = 2 * np.pi * self.r * np.diff(grid.y)[j]
        return np.asarray(flux_r[line(grid.x, self.r), j] * self.inward * ring)

    def places(self, along: Numbers, share: Floats, grid: Grid) -> Floats:
        """(n, 2) points just inside, at parts 0..1 of the flow that enters with the shares of its faces."""
        edges = grid.y[line(grid.y, self.z0) : line(grid.y, self.z1) + 1]
        ends = np.concatenate([[0.0], np.cumsum(share)])
        z = np.interp(along, ends / ends[-1], edges)
        at = line(grid.x, self.r)
        cell = grid.x[at] - grid.x[at - 1]
        return np.stack([np.full(len(along), self.r + self.inward * 0.1 * cell), z], axis=1)

    def beyond(self, r: Numbers, z: Numbers, hair: float = 0.0) -> NDArray[np.bool_]:
        """Points that have gone out through it, or are within a hair, m, of that."""
        inside = (z >= self.z0) & (z <= self.z1)
        return np.asarray(inside & ((r - self.r) * self.inward <= hair))

    def box(self, depth_m: float) -> Box:
        """The room behind it inside the chamber, or outside for a negative depth, m."""
        r0, r1 = sorted((self.r, self.r + self.inward * depth_m))
        return r0, r1, self.z0, self.z1


Way = Opening | SideOpening


@dataclass(frozen=True)
class AxialLayout:
    """Where the oil is: grid, regions, ports.

    Attributes:
        grid: axisymmetric grid whose lines run along all straight walls.
        dirty: region of the dirty chamber.
        clean: region of the clean chamber for a valve lift, m.
        inlet, outlet: ways in and out.
        bands: (z0, z1) of each element segment, m.
        r_dirty, r_clean: radii of the two faces of the element, m.
        passage: the way past the element, or None.
    """

    grid: Grid
    dirty: Shape
    clean: Callable[[float], Shape]
    inlet: Way
    outlet: Way
    bands: tuple[tuple[float, float], ...]
    r_dirty: float
    r_clean: float
    passage: Seat | Duct | None
