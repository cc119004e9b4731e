"""Velocity and turning of the oil at the middles of bodies, from the cells of a section frame."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

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
    i, s, dr = _bracket(cells.r, at[:, 0])
    j, t, dz = _bracket(cells.z, at[:, 1])
    corner, wide = j * len(cells.r) + i, len(cells.r)
    a, b, c, d = (_both(fields, corner + k) for k in (0, 1, wide, wide + 1))
    s2, t2 = s[:, None], t[:, None]
    low, high = a + (b - a) * s2, c + (d - c) * s2
    along_r = ((b - a) * (1 - t2) + (d - c) * t2)[:, 1] / dr
    along_z = (high - low)[:, 0] / dz
    return low + (high - low) * t2, (along_r - along_z) / 2


def _both(fields: Fields, cell: NDArray[np.int64]) -> Floats:
    """Velocity (n, 2) of cells by their number, rows first, m/s."""
    out = np.empty((len(cell), 2))
    out[:, 0], out[:, 1] = fields.u_r_m_s.take(cell), fields.u_z_m_s.take(cell)
    return out


def _bracket(places: Floats, values: Floats) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Lower index, share of the way (0..1, held at the ends) and width of the interval of each value."""
    i = np.clip(np.searchsorted(places, values) - 1, 0, len(places) - 2)
    width = places[i + 1] - places[i]
    return i, np.clip((values - places[i]) / width, 0.0, 1.0), width
