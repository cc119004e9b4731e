"""Faces of a grid: numbers, open measures, ports through them, and the flux balance of the cells."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import scipy.sparse as sp
from numpy.typing import NDArray

from glasscan.flow.grid import Floats, Grid, OpenFaces, Openings

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Port:
    """A patch of faces through which fluid enters or leaves a chamber with a given profile.

    Attributes:
        name: for messages and tables.
        faces: (n,) face numbers (see `FaceNumbers`).
        share: (n,) share of the port's flux through each face, sum 1.
        inward: +1 where positive face velocity enters the chamber, else -1, (n,).
        developed: the profile continues a developed duct flow, so the shear along the port's own plane counts
            (half a strip of it); False for the face of a porous wall, where it has no meaning.
    """

    name: str
    faces: Ints
    share: Floats
    inward: Floats
    developed: bool = False


@dataclass(frozen=True)
class FaceNumbers:
    """Numbering of all faces of a grid: those across x first, then those across y, row-major."""

    grid: Grid

    @property
    def n_x(self) -> int:
        """How many faces lie across x."""
        nx, ny = self.grid.shape
        return (nx + 1) * ny

    @property
    def total(self) -> int:
        """How many faces there are."""
        nx, ny = self.grid.shape
        return self.n_x + nx * (ny + 1)

    def across_x(self, i: int | Ints, j: int | Ints) -> Ints:
        """Number of the face across x at node line i, row j."""
        return np.asarray(np.asarray(i) * self.grid.shape[1] + np.asarray(j), dtype=np.int64)

    def across_y(self, i: int | Ints, j: int | Ints) -> Ints:
        """Number of the face across y in column i, node line j."""
        return np.asarray(self.n_x + np.asarray(i) * (self.grid.shape[1] + 1) + np.asarray(j), dtype=np.int64)


def with_ports(open_: Openings, ports: tuple[Port, ...]) -> Openings:
    """Openings with the faces of ports, which lie on wall lines, opened over their whole length."""
    grid, numbers = open_.grid, FaceNumbers(open_.grid)
    ny = grid.shape[1]
    at = np.concatenate([p.faces for p in ports]) if ports else np.zeros(0, dtype=np.int64)
    on_x, on_y = at[at < numbers.n_x], at[at >= numbers.n_x] - numbers.n_x
    across_x = _opened(open_.across_x, on_x // ny, on_x % ny, grid.y, False)
    flat = open_.across_y.turned()
    axis = grid.axisymmetric and grid.x[0] == 0
    opened = _opened(flat, on_y % (ny + 1), on_y // (ny + 1), grid.x, axis)
    return replace(open_, across_x=across_x, across_y=opened.turned())


def _opened(faces: OpenFaces, line: Ints, place: Ints, edges: Floats, axis: bool) -> OpenFaces:
    """Faces (lines, places) with some opened from edge to edge; neighbours opened too are joined to them."""
    lo, hi = faces.lo.copy(), faces.hi.copy()
    joined_lo, joined_hi = faces.joined_lo.copy(), faces.joined_hi.copy()
    lo[line, place], hi[line, place] = edges[place], edges[place + 1]
    opened = np.zeros(lo.shape, dtype=np.bool_)
    opened[line, place] = True
    both = opened[:, :-1] & opened[:, 1:]
    joined_hi[:, :-1] |= both
    joined_lo[:, 1:] |= both
    if axis:  # a port that reaches the axis has no wall there
        joined_lo[:, 0] |= opened[:, 0]
    return OpenFaces(lo, hi, joined_lo, joined_hi)


def face_measures(open_: Openings) -> Floats:
    """Open measure of every face: m (planar) or m2 per radian (axisymmetric), (faces,)."""
    length_x, length_y = open_.across_x.length, open_.across_y.length
    if open_.grid.axisymmetric:
        length_x = length_x * open_.grid.x[:, None]
        length_y = length_y * open_.across_y.middle
    return np.concatenate([length_x.ravel(), length_y.ravel()])


def whole_measures(grid: Grid) -> Floats:
    """Measure of every face if it were open from edge to edge, (faces,)."""
    nx, ny = grid.shape
    across_x = np.repeat(np.diff(grid.y)[None, :], nx + 1, axis=0)
    across_y = np.repeat(np.diff(grid.x)[:, None], ny + 1, axis=1)
    if grid.axisymmetric:
        across_x = across_x * grid.x[:, None]
        across_y = across_y * grid.xc[:, None]
    return np.concatenate([across_x.ravel(), across_y.ravel()])


def divergence(open_: Openings, measures: Floats) -> tuple[sp.csr_matrix, sp.csr_matrix]:
    """Net outflow of every cell from velocities across x and across y, two matrices (cells, faces)."""
    grid, numbers = open_.grid, FaceNumbers(open_.grid)
    nx, ny = grid.shape
    i, j = np.meshgrid(np.arange(nx), np.arange(ny), indexing="ij")
    cell = (i * ny + j).ravel()
    east = np.where(grid.periodic_x & (i == nx - 1), 0, i + 1)
    north = np.where(grid.periodic_y & (j == ny - 1), 0, j + 1)
    sides = (
        (numbers.across_x(east, j), numbers.across_x(i, j)),
        (numbers.across_y(i, north), numbers.across_y(i, j)),
    )
    out = []
    for plus, minus in sides:
        rows = np.concatenate([cell, cell])
        columns = np.concatenate([plus.ravel(), minus.ravel()])
        values = np.concatenate([measures[plus.ravel()], -measures[minus.ravel()]])
        out.append(sp.csr_matrix((values, (rows, columns)), shape=(nx * ny, numbers.total)))
    return out[0], out[1]
