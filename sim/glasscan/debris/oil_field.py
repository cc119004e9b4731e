"""Velocity and turning of the oil at the middles of bodies, from the cells of a section frame.

In the bore of a head valve the frame knows only a straight ring-shaped flow; there the flow round the valve
counts, solved about its own axis and scaled by what the frame lets through.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.headvalve import BoreFlow

Floats = NDArray[np.float64]


class Fields(Protocol):
    """Velocities at cell middles, (nz, nr), m/s; a `SectionFrame` has them."""

    @property
    def u_r_m_s(self) -> NDArray[np.float32]:
        """Outward."""
        ...

    @property
    def u_z_m_s(self) -> NDArray[np.float32]:
        """Upward."""
        ...


@dataclass(frozen=True)
class CellMiddles:
    """Places of the velocities, m."""

    r: Floats
    z: Floats

    @classmethod
    def between(cls, r_edges_m: Floats, z_edges_m: Floats) -> CellMiddles:
        """Middles of the cells between edges."""
        return cls((r_edges_m[1:] + r_edges_m[:-1]) / 2, (z_edges_m[1:] + z_edges_m[:-1]) / 2)

    @property
    def shape(self) -> tuple[int, int]:
        """(nz, nr)."""
        return len(self.z), len(self.r)


def oil_at(fields: Fields, cells: CellMiddles, at: Floats) -> tuple[Floats, Floats]:
    """Velocity (n, 2), m/s, and rate of turning (n,), rad/s counter-clockwise, at points (n, 2) of (r, z).

    Linear in r and z between cell middles; the turning is half the curl of that.
    """
    return _interpolated((fields.u_r_m_s, fields.u_z_m_s), cells, at)


class BoreOil:
    """The oil in the bore of a head valve.

    Args:
        bore: solved flow round the valve.
        cells: of the section frames.
    """

    def __init__(self, bore: BoreFlow, cells: CellMiddles) -> None:
        self.bore = bore
        duct = bore.duct
        rows = np.flatnonzero((cells.z > duct.z0) & (cells.z < duct.z1))
        columns = np.flatnonzero((cells.r > duct.r_clean) & (cells.r < duct.r_dirty))
        self._middle = rows[len(rows) // 2], columns[len(columns) // 2]
        self._ring_m2 = 2 * np.pi * float(cells.r[self._middle[1]]) * (duct.z1 - duct.z0)
        self._places = CellMiddles(bore.off_m, bore.r_m)
        turned = (np.ascontiguousarray(v.transpose(0, 2, 1)) for v in (bore.away, bore.along))
        self._speeds = list(zip(*turned, strict=True))

    def flow_m3s(self, fields: Fields) -> float:
        """What a frame lets through the bore, m3/s."""
        return -float(fields.u_r_m_s[self._middle]) * self._ring_m2

    def overlay(self, fields: Fields, lift_m: float, at: Floats, oil_m_s: Floats, turning: Floats) -> None:
        """Write velocity and turning of the points (n, 2) that lie in the bore over those of the frame."""
        duct = self.bore.duct
        inside = (at[:, 0] > duct.r_clean) & (at[:, 0] < duct.r_dirty)
        inside &= (at[:, 1] > duct.z0) & (at[:, 1] < duct.z1)
        if not inside.any():
            return
        level = int(np.abs(self.bore.lifts_m - lift_m).argmin())
        off = at[inside, 1] - self.bore.middle_m
        side = np.where(off < 0, -1.0, 1.0)
        places = np.stack([np.abs(off), at[inside, 0]], axis=1)
        round_it, spin = _interpolated(self._speeds[level], self._places, places)
        q = self.flow_m3s(fields)
        oil_m_s[inside] = q * np.stack([round_it[:, 1], side * round_it[:, 0]], axis=1)
        turning[inside] = -q * side * spin

    def round_the_head(self, at: Floats, left: NDArray[np.bool_], oil_m_s: Floats) -> None:
        """Take from the oil of points (n, 2) in the left half what would run into the solid head there.

        The ring of the (r, z) plane has its mouth on both sides; the real oil goes round the gallery, out of
        the plane, to the one bore on the right.
        """
        duct = self.bore.duct
        deep = duct.z1 - duct.z0
        off = at[:, 0] - duct.r_dirty
        near = left & (off >= 0.0) & (off < deep) & (np.abs(at[:, 1] - self.bore.middle_m) < deep)
        near &= oil_m_s[:, 0] < 0.0
        oil_m_s[near, 0] *= off[near] / deep


def _interpolated(
    speeds: tuple[NDArray[Any], NDArray[Any]], cells: CellMiddles, at: Floats
) -> tuple[Floats, Floats]:
    """Two speeds (nz, nr) at points (n, 2), and half of their curl."""
    i, s, dr = _bracket(cells.r, at[:, 0])
    j, t, dz = _bracket(cells.z, at[:, 1])
    corner, wide = j * len(cells.r) + i, len(cells.r)
    a, b, c, d = (_both(speeds, corner + k) for k in (0, 1, wide, wide + 1))
    s2, t2 = s[:, None], t[:, None]
    low, high = a + (b - a) * s2, c + (d - c) * s2
    along_r = ((b - a) * (1 - t2) + (d - c) * t2)[:, 1] / dr
    along_z = (high - low)[:, 0] / dz
    return low + (high - low) * t2, (along_r - along_z) / 2


def _both(speeds: tuple[NDArray[Any], NDArray[Any]], cell: NDArray[np.int64]) -> Floats:
    """Both speeds (n, 2) of cells by their number, rows first, m/s."""
    out = np.empty((len(cell), 2))
    out[:, 0], out[:, 1] = speeds[0].take(cell), speeds[1].take(cell)
    return out


def _bracket(places: Floats, values: Floats) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Lower index, share of the way (0..1, held at the ends) and width of the interval of each value."""
    i = np.clip(np.searchsorted(places, values) - 1, 0, len(places) - 2)
    width = places[i + 1] - places[i]
    return i, np.clip((values - places[i]) / width, 0.0, 1.0), width
