"""The bore of a head valve, solved about the valve's own axis: its resistance and the force on the valve.

The bore leads from the gallery through the seat, round the valve, to the outlet. Each lift has a grid of its
own, finest at the edge of the seat, so that the narrow gap is resolved however little the valve is open.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glasscan.filters.named_parts import Outline, Part
from glasscan.filters.network import ValveSpec
from glasscan.filters.passages import Duct
from glasscan.filters.patches import axial_port, edges_growing, edges_through
from glasscan.flow.grid import Floats, Grid, openings
from glasscan.flow.shapes import Shape, below, box, common, cut, disc, union
from glasscan.flow.stokes import Chamber

PER_TURN = 2 * np.pi
BORE_SHARES = (0.02, 0.04, 0.08, 0.16, 0.32, 0.6, 1.0)  # of the full lift, at which the bore is solved
GAP_CELLS, GROWTH = 8, 1.15  # cells across the gap, and growth from cell to cell
FINEST_M, COARSEST_M = 1e-4, 3e-4  # cells beside a wide gap, and far from it


@dataclass(frozen=True)
class BorePath:
    """The bore as the plant sees it.

    Attributes:
        lifts_m: (L,) rising lifts, above 0, m.
        r: (L,) resistance over viscosity, 1/m3.
        push: (L,) force on the valve over viscosity and flow, opening positive, 1/m.
        shut_m2: area on which the drop acts when the valve is hardly off its seat, m2.
    """

    lifts_m: Floats
    r: Floats
    push: Floats
    shut_m2: float


@dataclass(frozen=True)
class Bore:
    """Sizes of the bore and the outline of its valve, about the bore's axis, m.

    Attributes:
        duct: where it lies in the (r, z) plane of the filter.
        seat_r: radius in the filter at which the seat ring ends.
        seat_half: radius of the seat's bore.
        valve: (n, 2) outline of the shut valve: radius in the filter, distance from the axis.
        ball_m: radius of a ball, whose outline is too coarse for the gap; None for a poppet.
    """

    duct: Duct
    seat_r: float
    seat_half: float
    valve: Outline
    ball_m: float | None = None

    @classmethod
    def of(cls, duct: Duct, parts: tuple[Part, ...], valve: ValveSpec) -> Bore:
        """From the parts of a filter: its seat ring and the body that lifts."""
        body = next(p for p in parts if p.lifts)
        seat = next(p for p in parts if p.key == "valve-seat")
        seat_r = float(min(o[:, 0].min() for o in seat.outlines))
        middle = np.array([0.0, (duct.z0 + duct.z1) / 2])
        ball_m = None if valve.ball_d_m is None else valve.ball_d_m / 2
        return cls(duct, seat_r, valve.seat_d_m / 2, body.outlines[0] - middle, ball_m)

    @property
    def half(self) -> float:
        """Radius of the bore behind the seat, m."""
        return (self.duct.z1 - self.duct.z0) / 2

    def body(self, lift_m: float) -> Shape:
        """The valve at a lift as a shape about the axis; its outline is convex."""
        if self.ball_m is not None:
            deep = float(np.sqrt(max(self.ball_m**2 - self.seat_half**2, 0.0)))
            return disc(0.0, self.seat_r - deep - lift_m, self.ball_m)
        off, r = self.valve[:, 1], self.valve[:, 0] - lift_m
        area = float((off * np.roll(r, -1) - np.roll(off, -1) * r).sum())
        corners = np.stack([off, r], axis=1)[:: -1 if area > 0 else 1]
        return common(*(below(*a, *b) for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True)))

    def room(self, lift_m: float) -> Shape:
        """Where the oil is: bore, seat, and a piece of the gallery before it, as wide as the bore."""
        wide = box(-1.0, self.half + 1.0, -1.0, self.seat_r)
        before = box(-1.0, self.half + 1.0, self.duct.r_dirty, 1.0)
        return cut(union(wide, box(-1.0, self.seat_half, -1.0, 1.0), before), self.body(lift_m))

    def chamber(self, grid: Grid, lift_m: float) -> Chamber:
        """The bore with a developed flow at either end: ports end (towards the outlet) and mouth."""
        mouth = axial_port("mouth", grid, float(grid.y[-1]), 0.0, self.half, -1, developed=True)
        end = axial_port("end", grid, self.duct.r_clean, 0.0, self.half, 1, developed=True)
        return Chamber(openings(grid, self.room(lift_m)), (end, mouth))

    def fine_grid(self, gap_m: float, fineness: float = 1.0) -> Grid:
        """Grid about the axis, finest at the edge of the seat."""
        first, grow = min(gap_m / GAP_CELLS, FINEST_M) / fineness, GROWTH ** (1 / fineness)
        largest = COARSEST_M / fineness
        off = edges_growing(0.0, self.seat_half, self.half, first, largest, grow)
        along = edges_growing(self.duct.r_clean, self.seat_r, self.duct.r_dirty, first, largest, grow)
        return Grid(off, np.append(along, self._gallery(largest)), axisymmetric=True)

    def even_grid(self, cell_m: float) -> Grid:
        """Grid about the axis with equal cells, the same for every lift."""
        off = edges_through([(0.0, cell_m), (self.seat_half, cell_m)], self.half)
        along = edges_through([(self.duct.r_clean, cell_m), (self.seat_r, cell_m)], self.duct.r_dirty)
        return Grid(off, np.append(along, self._gallery(2 * cell_m)), axisymmetric=True)

    def _gallery(self, cell_m: float) -> Floats:
        """Grid lines beyond the mouth of the bore."""
        deep = 2 * self.seat_half
        n = int(np.ceil(deep / cell_m))
        return np.asarray(self.duct.r_dirty + deep * np.arange(1, n + 1) / n)


def bore_path(bore: Bore, valve: ValveSpec, gap_share: float, fineness: float = 1.0) -> BorePath:
    """Resistance and push of a bore at each lift.

    Args:
        bore: its sizes.
        valve: for the full lift and the seat.
        gap_share: width of the gap over the lift (the sine of the cone's half angle).
        fineness: cells per length relative to the usual grid.
    """
    lifts = np.array(BORE_SHARES) * valve.max_lift_m
    found = [solve_bore(bore, lift, gap_share * lift, fineness) for lift in lifts.tolist()]
    r, push = (np.array(v) for v in zip(*found, strict=True))
    return BorePath(lifts, r, push, valve.seat_area_m2)


def solve_bore(bore: Bore, lift_m: float, gap_m: float, fineness: float = 1.0) -> tuple[float, float]:
    """Resistance, 1/m3, and push, 1/m, of the bore at a lift."""
    grid = bore.fine_grid(gap_m, fineness)
    chamber = bore.chamber(grid, lift_m)
    flow = chamber.solve(chamber.port_velocity(np.array([-1.0, 1.0])))
    stress = chamber.port_pressures(flow)
    everywhere = box(-1.0, 1.0, -1.0, 1.0)
    bare = openings(grid, cut(everywhere, bore.body(lift_m))).across_y
    facing = np.diff(
        bare.length * bare.middle, axis=1
    )  # what the valve takes of each cell's far side, m2/rad
    pressure = np.nan_to_num(flow.pressure.reshape(grid.shape) - stress[0])
    return float(stress[1] - stress[0]) / PER_TURN, float((pressure * facing).sum())
