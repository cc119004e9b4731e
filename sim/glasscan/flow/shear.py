"""The shear part of the dissipation: links along grid lines between faces, and to the walls that end them.

Along a line, J = difference of the mean velocities of two faces (or of one and the wall) over its length L
is a sample g of the gradient. The midpoint rule `sum L g^2` is not exact for a parabola, neither its value
nor its derivative. With

    E = sum L g^2 + sum over faces of h^2/(6 delta) (g_after - g_before)^2,

h the open length of the face and delta the distance of the places where a parabola has those gradients (half
way between the middles, moved by the difference of the lengths; a third of the length from a wall), both are
exact for parabolas on cells of any size: developed flow in a channel comes out right with any number of
cells, one included. Inside a uniform grid it is the fourth-order form of the energy of cell means.
Derivation: own (the stress that the form makes at a face must be mu du/dy there). Faces that a slanting wall
cuts keep the plain links.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import scipy.sparse as sp
from numpy.typing import NDArray

from glasscan.flow.faces import FaceNumbers, Ints
from glasscan.flow.grid import Floats, OpenFaces, Openings

Bools = NDArray[np.bool_]
WHOLE = 1 - 1e-9  # of the distance of the edges: a face open less than this is cut


def strip_widths(edges: Floats, periodic: bool) -> Floats:
    """Width of the strip that each grid line stands for, m."""
    gaps = np.diff(edges)
    widths = np.zeros(len(edges))
    widths[:-1] += gaps / 2
    widths[1:] += gaps / 2
    if periodic:
        widths[0] = widths[-1] = (gaps[0] + gaps[-1]) / 2
    return widths


def shear_rows(open_: Openings, port_share: Floats) -> sp.csr_matrix:
    """Rows whose squares add up to the shear part of the dissipation, (rows, faces).

    `port_share` (faces,) is the share of the strip that counts for links along the plane of a port: 1 for
    faces of no port.
    """
    grid, numbers = open_.grid, FaceNumbers(open_.grid)
    nx, ny = grid.shape
    i, j = np.meshgrid(np.arange(nx + 1), np.arange(ny), indexing="ij")
    keep = slice(0, nx) if grid.periodic_x else slice(0, nx + 1)
    width = strip_widths(grid.x, grid.periodic_x)
    weight = (width * grid.x if grid.axisymmetric else width)[keep]
    period = float(grid.y[-1] - grid.y[0]) if grid.periodic_y else None
    across_x = numbers.across_x(i, j)[keep]
    upwards = _Lines(open_.across_x.lines(keep), grid.y, across_x, weight, port_share, False, period)
    i, j = np.meshgrid(np.arange(nx), np.arange(ny + 1), indexing="ij")
    keep = slice(0, ny) if grid.periodic_y else slice(0, ny + 1)
    weight = strip_widths(grid.y, grid.periodic_y)[keep]
    period = float(grid.x[-1] - grid.x[0]) if grid.periodic_x else None
    across_y, faces = numbers.across_y(i, j).T[keep], open_.across_y.turned().lines(keep)
    outwards = _Lines(faces, grid.x, across_y, weight, port_share, grid.axisymmetric, period)
    return sp.vstack([*upwards.rows(numbers.total), *outwards.rows(numbers.total)]).tocsr()


@dataclass(frozen=True)
class _Lines:
    """Faces along parallel grid lines, arrays (lines, m).

    Attributes:
        faces: open parts.
        edges: (m + 1,) ends of whole faces, m.
        numbers: face numbers.
        weight: (lines,) strip width of each line (with the radius of a line across r folded in).
        port_share: (all faces,) see `shear_rows`.
        outward: lines run outwards: the radius enters at every place.
        period: length of a periodic line, m, or None.
    """

    faces: OpenFaces
    edges: Floats
    numbers: Ints
    weight: Floats
    port_share: Floats
    outward: bool
    period: float | None

    @cached_property
    def joined(self) -> Bools:
        """Which faces the next one along their line continues."""
        joined = self.faces.joined_hi & np.roll(self.faces.joined_lo, -1, axis=1)
        if self.period is None:
            joined[:, -1] = False
        return joined

    @cached_property
    def at_lo(self) -> Bools:
        """Which faces end at a wall on the near side."""
        return (self.faces.length > 0) & ~self.faces.joined_lo

    @cached_property
    def at_hi(self) -> Bools:
        """Which faces end at a wall on the far side."""
        return (self.faces.length > 0) & ~self.faces.joined_hi

    def rows(self, total: int) -> list[sp.csr_matrix]:
        """Rows of links between faces, links to walls, and of the differences of neighbouring gradients."""
        faces, share = self.faces, self.port_share[self.numbers]
        onward = _next(self.numbers)
        none = np.full_like(self.numbers, -1)
        to_lo, to_hi, span = (
            self._centre - faces.lo,
            faces.hi - self._centre,
            self._next_centre - self._centre,
        )
        both = np.maximum(share, _next(share))
        return [
            self._row(
                self.joined, ((self.numbers, -1.0), (onward, 1.0)), both / _safe(span), faces.hi, total
            ),
            self._row(self.at_lo, ((self.numbers, 1.0), (none, 0.0)), share / _safe(to_lo), faces.lo, total),
            self._row(self.at_hi, ((self.numbers, -1.0), (none, 0.0)), share / _safe(to_hi), faces.hi, total),
            self._bends(share, total),
        ]

    @cached_property
    def _centre(self) -> Floats:
        """Where a velocity that varies linearly is its mean: the middle, on a ring a little farther out."""
        middle, length = self.faces.middle, self.faces.length
        return middle + length**2 / (12 * _safe(middle)) if self.outward else middle

    @cached_property
    def _next_centre(self) -> Floats:
        centre = _next(self._centre)
        if self.period is not None:
            centre[:, -1] += self.period
        return centre

    def _row(
        self, mask: Bools, ends: tuple[tuple[Ints, float], ...], per: Floats, at: Floats, total: int
    ) -> sp.csr_matrix:
        """Rows sqrt(w per) times the signed sum of velocities, where the mask holds."""
        scale = np.broadcast_to(self.weight[:, None], mask.shape) * per
        if self.outward:
            scale = scale * at
        mask = mask & (scale > 0)
        root = np.sqrt(scale[mask])
        columns = np.stack([numbers[mask] for numbers, _ in ends])
        factors = np.stack([sign * root for _, sign in ends])
        return _sparse(columns, factors, total)

    def _bends(self, share: Floats, total: int) -> sp.csr_matrix:
        """Rows of the differences between the gradients before and after each whole face."""
        faces, joined = self.faces, self.joined
        length, centre = faces.length, self._centre
        span = np.where(joined, self._next_centre - centre, 1.0)
        after_at = (centre + self._next_centre) / 2 + (_next(length) ** 2 - length**2) / (24 * span)
        before_at, before_span, before_joined = _last(after_at), _last(span), _last(joined)
        if self.period is not None:
            before_at[:, 0] -= self.period
        whole = length >= WHOLE * np.diff(self.edges)
        good = whole & (joined | self.at_hi) & (before_joined | self.at_lo)
        left = np.where(self.at_lo, faces.lo + length / 3, before_at)
        right = np.where(self.at_hi, faces.hi - length / 3, after_at)
        scale = length**2 / (6 * np.where(good, right - left, 1.0))
        scale = scale * np.broadcast_to(self.weight[:, None], good.shape) * share
        if self.outward:
            scale = scale * faces.middle
        good = good & (scale > 0)
        own = np.where(self.at_lo, -1 / _safe(centre - faces.lo), -1 / before_span)
        own = own + np.where(self.at_hi, -1 / _safe(faces.hi - centre), -1 / span)
        before = np.where(self.at_lo, 0.0, 1 / before_span)
        after = np.where(self.at_hi, 0.0, 1 / span)
        columns = np.stack([_last(self.numbers)[good], self.numbers[good], _next(self.numbers)[good]])
        factors = np.stack([before[good], own[good], after[good]]) * np.sqrt(scale[good])
        return _sparse(columns, factors, total)


def _next(values: NDArray[Any]) -> NDArray[Any]:
    """The values of the next face along each line."""
    return np.roll(values, -1, axis=1)


def _last(values: NDArray[Any]) -> NDArray[Any]:
    """The values of the face before along each line."""
    return np.roll(values, 1, axis=1)


def _safe(lengths: Floats) -> Floats:
    """Lengths with 1 where a face is shut, to divide by."""
    return np.where(lengths > 0, lengths, 1.0)


def _sparse(columns: Ints, factors: Floats, total: int) -> sp.csr_matrix:
    """One row for each place along the last axis of (terms, rows); terms of nought are left out."""
    rows = np.broadcast_to(np.arange(columns.shape[1]), columns.shape)
    kept = factors != 0
    return sp.csr_matrix((factors[kept], (rows[kept], columns[kept])), shape=(columns.shape[1], total))
