"""Staggered rectangular grid and the open part of every face and cell (cut cells).

Arrays are indexed [i, j] with i along x (or the radius r) and j along y (or the axis z).
Walls that do not follow grid lines cut faces and cells; the open length of a face and the open area of a
cell are found from a level-set function sampled at nodes, face middles and cell centres, with straight
pieces between (second order in the grid spacing).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.flow.shapes import Shape

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ALIGNED = 1e-7  # of a cell: nodes nearer than this to a wall lie on it (rounding of coordinates)
SLIVER = 1e-6  # of a cell: faces open less than this are shut (they carry no flow worth a row)


@dataclass(frozen=True)
class Grid:
    """Cell edges, m, and the kind of plane.

    Attributes:
        x: (nx+1,) rising edges along x (planar) or r (axisymmetric), m.
        y: (ny+1,) rising edges along y or z, m.
        axisymmetric: x is a radius; measures are per radian.
        periodic_x, periodic_y: opposite edges are one (uniform spacing assumed there).
    """

    x: Floats
    y: Floats
    axisymmetric: bool = False
    periodic_x: bool = False
    periodic_y: bool = False

    @property
    def shape(self) -> tuple[int, int]:
        """Number of cells (nx, ny)."""
        return len(self.x) - 1, len(self.y) - 1

    @property
    def xc(self) -> Floats:
        """(nx,) cell middles along x, m."""
        return (self.x[1:] + self.x[:-1]) / 2

    @property
    def yc(self) -> Floats:
        """(ny,) cell middles along y, m."""
        return (self.y[1:] + self.y[:-1]) / 2

    @classmethod
    def uniform(
        cls,
        nx: int,
        ny: int,
        lx: float,
        ly: float,
        *,
        axisymmetric: bool = False,
        periodic_x: bool = False,
        periodic_y: bool = False,
    ) -> Grid:
        """Equal cells over 0..lx by 0..ly, m."""
        return cls(
            np.linspace(0, lx, nx + 1), np.linspace(0, ly, ny + 1), axisymmetric, periodic_x, periodic_y
        )


@dataclass(frozen=True)
class OpenFaces:
    """Open part of the faces across one direction.

    Attributes:
        lo, hi: (faces) ends of the open part along the face, m (equal where shut).
        joined_lo, joined_hi: the open part reaches an open node at that end, so the next face continues it.
    """

    lo: Floats
    hi: Floats
    joined_lo: Bools
    joined_hi: Bools

    @property
    def length(self) -> Floats:
        """Open length, m."""
        return self.hi - self.lo

    @property
    def middle(self) -> Floats:
        """Middle of the open part, m."""
        return (self.lo + self.hi) / 2

    def turned(self) -> OpenFaces:
        """The same with the two array axes exchanged."""
        parts = (np.ascontiguousarray(self.lo.T), np.ascontiguousarray(self.hi.T))
        return OpenFaces(
            *parts, np.ascontiguousarray(self.joined_lo.T), np.ascontiguousarray(self.joined_hi.T)
        )

    def lines(self, keep: slice) -> OpenFaces:
        """Some of the lines (first axis)."""
        return OpenFaces(self.lo[keep], self.hi[keep], self.joined_lo[keep], self.joined_hi[keep])


@dataclass(frozen=True)
class Openings:
    """Open parts of a grid for one region of fluid.

    Attributes:
        grid: the grid.
        across_x: faces normal to x, arrays (nx+1, ny).
        across_y: faces normal to y, arrays (nx, ny+1).
        area: (nx, ny) open area of cells, m2.
        moment: (nx, ny) integral of x over the open area, m3 (volume per radian where axisymmetric).
    """

    grid: Grid
    across_x: OpenFaces
    across_y: OpenFaces
    area: Floats
    moment: Floats

    @property
    def volume(self) -> Floats:
        """(nx, ny) measure of cells: m2 (planar, per unit depth) or m3 per radian."""
        return self.moment if self.grid.axisymmetric else self.area


def sample(grid: Grid, region: Shape) -> Floats:
    """Level of a region at nodes, face middles and cell centres, (2nx+1, 2ny+1), m; exactly 0 on walls."""
    x2, y2 = _halved(grid.x), _halved(grid.y)
    level = np.asarray(region(*np.meshgrid(x2, y2, indexing="ij")), float)
    size = min(float(np.diff(grid.x).min()), float(np.diff(grid.y).min()))
    return np.where(np.abs(level) < ALIGNED * size, 0.0, level)


def openings(grid: Grid, region: Shape) -> Openings:
    """Open parts of faces and cells for the fluid region where `region` is positive."""
    level = sample(grid, region)
    across_x = _faces(level[::2, ::2], level[::2, 1::2], grid.y[None, :])
    across_y = _faces(level[::2, ::2].T, level[1::2, ::2].T, grid.x[None, :]).turned()
    area, moment = _cells(grid, level)
    return Openings(grid, across_x, across_y, area, moment)


def _halved(edges: Floats) -> Floats:
    out = np.empty(2 * len(edges) - 1)
    out[::2], out[1::2] = edges, (edges[1:] + edges[:-1]) / 2
    return out


def _faces(nodes: Floats, middles: Floats, along: Floats) -> OpenFaces:
    """Open part of faces from levels at their two nodes (n, m+1) and middles (n, m)."""
    a, b = nodes[:, :-1], nodes[:, 1:]
    start, end = along[:, :-1], along[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = start + (end - start) * np.where(a != b, a / (a - b), 0.5)
    both_shut = (a <= 0) & (b <= 0)
    through = both_shut & (a == 0) & (b == 0) & (middles > 0)  # a gap one cell wide between two aligned walls
    lo = np.where(a > 0, start, np.where(b > 0, np.where(a == 0, start, crossing), start))
    hi = np.where(b > 0, end, np.where(a > 0, np.where(b == 0, end, crossing), start))
    hi = np.where(through, end, hi)
    sliver = (hi - lo) < SLIVER * (end - start)
    hi = np.where(sliver, lo, hi)
    is_open = hi > lo
    return OpenFaces(lo, hi, (a > 0) & is_open, (b > 0) & is_open)


def _cells(grid: Grid, level: Floats) -> tuple[Floats, Floats]:
    """Open area and its first moment about x = 0 of each cell, by the polygon of its open edge."""
    n, c = level[::2, ::2], level[1::2, 1::2]
    corners = [n[:-1, :-1], n[1:, :-1], n[1:, 1:], n[:-1, 1:]]
    x0, x1 = np.broadcast_arrays(grid.x[:-1, None], grid.x[1:, None])
    y0, y1 = np.broadcast_arrays(grid.y[None, :-1], grid.y[None, 1:])
    px, py = [x0, x1, x1, x0], [y0, y0, y1, y1]
    points = _outline(corners, px, py, c.shape)
    area, moment = _shoelace(points)
    shut = np.all([q <= 0 for q in corners], axis=0) & (c <= 0)
    full = np.all([q >= 0 for q in corners], axis=0) & (c > 0)
    whole = (x1 - x0) * (y1 - y0)
    area = np.where(full, whole, np.where(shut, 0.0, area))
    moment = np.where(full, whole * (x0 + x1) / 2, np.where(shut, 0.0, moment))
    return area, moment


def _outline(
    corners: list[Floats], px: list[Floats], py: list[Floats], shape: tuple[int, ...]
) -> list[tuple[Floats, Floats]]:
    """Vertices of the open polygon of every cell, in order; absent vertices repeat the one before."""
    raw: list[tuple[Floats, Floats, Bools]] = []
    for k in range(4):
        m = (k + 1) % 4
        a, b = corners[k], corners[m]
        crosses = (a > 0) & (b < 0) | (a < 0) & (b > 0)
        with np.errstate(divide="ignore", invalid="ignore"):
            t = np.where(crosses, a / (a - b), 0.0)
        x0, y0 = np.broadcast_to(px[k], shape), np.broadcast_to(py[k], shape)
        raw.append((x0, y0, a >= 0))
        raw.append((x0 + t * (px[m] - x0), y0 + t * (py[m] - y0), crosses))
    last_x, last_y = np.zeros(shape), np.zeros(shape)
    for x, y, there in raw:  # the vertex before the first one
        last_x, last_y = np.where(there, x, last_x), np.where(there, y, last_y)
    points = []
    for x, y, there in raw:
        last_x, last_y = np.where(there, x, last_x), np.where(there, y, last_y)
        points.append((last_x, last_y))
    return points


def _shoelace(points: list[tuple[Floats, Floats]]) -> tuple[Floats, Floats]:
    """Area and first moment about x = 0 of polygons given by their vertices in turn."""
    area, moment = np.zeros_like(points[0][0]), np.zeros_like(points[0][0])
    for k, (x0, y0) in enumerate(points):
        x1, y1 = points[(k + 1) % len(points)]
        cross = x0 * y1 - x1 * y0
        area += cross / 2
        moment += cross * (x0 + x1) / 6
    return area, moment
