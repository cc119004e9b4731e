"""Oil through a hole in the element, as it is drawn: gathered in the skin of its segment, through, and
spread again.

In the model a hole uses the ports of one segment but not its medium (`rig.network_flow`), so on both faces
of the element its oil comes and goes evenly over that segment. Between the two faces it is drawn where it
belongs: the outer column of cells leads it to one row, the row carries all of the hole's oil and none of the
medium's, the inner column spreads both over the segment again. Every cell keeps its volume.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.layout import CLEAN, DIRTY, THROAT
from glasscan.flow.faces import FaceNumbers
from glasscan.flow.grid import Floats, Grid

Codes = NDArray[np.int8]


@dataclass(frozen=True)
class HoleOil:
    """A hole beside a segment and the oil through it, m3/s."""

    segment: int
    flow_m3s: float


def hole_of(state: Any) -> HoleOil | None:
    """The hole of a moment: from the readings of a plant snapshot; None in a sound element."""
    readings = getattr(state, "readings", None) or {}
    flow = float(readings.get("hole_m3s", 0.0))
    return HoleOil(int(readings["hole_segment"]), flow) if flow and "hole_segment" in readings else None


def unfiltered_m3s(state: Any) -> float:
    """Oil past the medium, through the valve and through a hole, m3/s."""
    hole = hole_of(state)
    return float(state.bypass_m3s) + (hole.flow_m3s if hole else 0.0)


def unfiltered_share(state: Any) -> float:
    """Share of the oil through the filter that has passed no medium, 0..1; 0 where nothing flows."""
    past = unfiltered_m3s(state)
    whole = float(np.sum(state.segment_m3s)) + past
    return past / whole if whole > 0.0 else 0.0


@dataclass(frozen=True)
class HoleDrawing:
    """Where a segment's band lies on the grid.

    Attributes:
        grid: of the section.
        columns: first and last grid line of the element along r.
        rows: first and last grid line of the segment along z.
    """

    grid: Grid
    columns: tuple[int, int]
    rows: tuple[int, int]

    @property
    def row(self) -> int:
        """The row that is the hole: the middle one."""
        return (self.rows[0] + self.rows[1]) // 2

    @property
    def fits(self) -> bool:
        """Whether there is room to lead the oil to one row and away from it."""
        return self.rows[1] - self.rows[0] >= 2 and self.columns[1] - self.columns[0] >= 3

    def codes(self, region: Codes) -> Codes:
        """Kinds of place with the hole in it."""
        out, (i0, i1), band = region.copy(), self.columns, slice(*self.rows)
        if self.fits:
            out[i0, band], out[i1 - 1, band] = CLEAN, DIRTY
            out[i0 + 1 : i1 - 1, self.row] = THROAT
        return out

    def redraw(self, velocity: NDArray[np.floating], medium_m3s: float, hole_m3s: float) -> None:
        """Write the velocities between the two faces of the segment, in place (faces,)."""
        if not self.fits:
            return
        grid, (i0, i1) = self.grid, self.columns
        band = np.arange(*self.rows)
        high = np.diff(grid.y)[band]
        even = (medium_m3s + hole_m3s) * high / high.sum()
        inside = np.where(band == self.row, 0.0, high)
        inside = medium_m3s * inside / inside.sum()
        inside[self.row - self.rows[0]] = hole_m3s
        numbers = FaceNumbers(grid)
        lines = np.arange(i0 + 1, i1)
        across = numbers.across_x(lines[:, None], band[None, :])
        velocity[across] = -inside[None, :] / (2 * np.pi * grid.x[lines][:, None] * high[None, :])
        self._gather(velocity, i1 - 1, even - inside)
        self._gather(velocity, i0, inside - even)

    def _gather(self, velocity: NDArray[np.floating], column: int, left_over: Floats) -> None:
        """Along a column of cells: what each row takes in more than it lets out goes up to the next."""
        area = np.pi * (self.grid.x[column + 1] ** 2 - self.grid.x[column] ** 2)
        lines = np.arange(self.rows[0] + 1, self.rows[1])
        faces = FaceNumbers(self.grid).across_y(column, lines)
        velocity[faces] = np.cumsum(left_over)[:-1] / area
