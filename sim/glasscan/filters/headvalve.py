"""The bypass valve of a head: it lies across the core of the head, in a bore from the gallery to the outlet.

In the (r, z) plane of the filter the bore is drawn as a ring, see `passages.Duct`. About its own axis it is a
round bore with a round valve in it, so its flow is solved there, with the same solver, for bodies that drift
into it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glasscan.filters.bore import Bore, BorePath, bore_path
from glasscan.filters.filter_data import HousingData, PassageData, ValveData
from glasscan.filters.named_parts import Outline, Part, Spring, block
from glasscan.filters.network import ValveSpec
from glasscan.filters.passages import Duct
from glasscan.filters.section import Section
from glasscan.flow.faces import FaceNumbers
from glasscan.flow.grid import Floats, Grid
from glasscan.flow.stokes import Chamber

MM = 1e-3
CAGE_MM = 1.2  # thickness of the plate that holds the spring
SEAT_THICK_MM = 2.5  # of the seat ring at the mouth of the bore
CELL_M = 2e-4  # of the grid about the valve's axis
LIFT_SHARES = (0.25, 0.5, 1.0)  # of the full lift, at which the bore is solved


def valve_parts(house: HousingData, passage: PassageData, valve: ValveData) -> tuple[Part, ...]:
    """Bypass valve lying in its passage: seat towards the gallery, opening inwards against its spring."""
    outer, inner = house.gallery_inner_mm * MM, house.outlet_radius_mm * MM
    middle = (passage.bottom_mm + passage.top_mm) / 2 * MM
    seat_r = outer - SEAT_THICK_MM * MM
    half, bore_half = valve.poppet_mm / 2 * MM, valve.seat_mm / 2 * MM
    seat = (
        block(seat_r, outer, middle + bore_half, passage.top_mm * MM),
        block(seat_r, outer, passage.bottom_mm * MM, middle - bore_half),
    )
    body = _ball(valve, seat_r, middle) if valve.ball_mm else _cone(valve, seat_r, middle)
    back = float(body[:, 0].min())
    foot = inner + CAGE_MM * MM
    spring = Spring(min(half * 0.7, 4 * MM), 0.8 * MM, foot, back, 4, along_r=True, at_z_m=middle)
    word = "ball" if valve.ball_mm else "poppet"
    return (
        Part("valve-seat", "valve seat", "The edge on which the bypass valve seals.", "steel", seat,
             (seat_r + 1 * MM, middle + bore_half), mirrored=False),
        Part("valve-poppet", f"bypass valve ({word})", "Opens when the dirty side beats the spring.",
             "steel", (body,), (back + 2 * MM, middle), lifts=True, direction=(-1.0, 0.0), mirrored=False),
        Part("valve-spring", "bypass spring", "Sets the differential pressure at which the valve opens.",
             "spring", (), ((inner + back) / 2, middle), spring=spring, mirrored=False),
        Part("valve-cage", "", "Holds the foot of the spring and lets oil through.",
             "core", (block(inner, inner + CAGE_MM * MM, passage.bottom_mm * MM, passage.top_mm * MM),),
             (inner + CAGE_MM * MM, middle), mirrored=False),
    )  # fmt: skip


def _ball(valve: ValveData, seat_r: float, middle: float) -> Outline:
    assert valve.ball_mm is not None
    radius, bore_half = valve.ball_mm / 2 * MM, valve.seat_mm / 2 * MM
    centre = seat_r - float(np.sqrt(max(radius**2 - bore_half**2, 0.0)))
    angle = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    return np.stack([centre + radius * np.cos(angle), middle + radius * np.sin(angle)], axis=1)


def _cone(valve: ValveData, seat_r: float, middle: float) -> Outline:
    half, bore_half = valve.poppet_mm / 2 * MM, valve.seat_mm / 2 * MM
    slope = 1 / np.tan(np.radians(valve.half_angle_deg))
    tip = seat_r + bore_half * slope * 0.5
    shoulder = seat_r - (half - bore_half) * slope
    back = shoulder - valve.poppet_thick_mm * MM
    upper = [(tip, middle + bore_half * 0.5), (shoulder, middle + half), (back, middle + half)]
    lower = [(r, 2 * middle - z) for r, z in reversed(upper)]
    return np.array(upper + lower)


@dataclass(frozen=True)
class BoreFlow:
    """Creeping flow in the bore of a head valve, round the valve, for 1 m3/s inwards.

    Attributes:
        duct: where the bore lies in the (r, z) plane.
        lifts_m: lifts at which it is solved, rising, m.
        off_m: (n,) distances from the bore's axis of the cell middles, m.
        r_m: (m,) radii of the cell middles in the filter, m.
        along: (lifts, n, m) speed outwards along the bore's axis, 1/m2 (m/s for 1 m3/s).
        away: (lifts, n, m) speed away from the bore's axis.
    """

    duct: Duct
    lifts_m: Floats
    off_m: Floats
    r_m: Floats
    along: Floats
    away: Floats

    @property
    def middle_m(self) -> float:
        """Height of the bore's axis, m."""
        return (self.duct.z0 + self.duct.z1) / 2


def bore_flow(section: Section) -> BoreFlow | None:
    """Solve the bore of a section's head valve; None where the filter has no valve in a head."""
    duct, valve = section.layout.passage, section.network.valve
    if not isinstance(duct, Duct) or valve is None or not any(p.lifts for p in section.parts):
        return None
    bore = Bore.of(duct, section.parts, valve)
    grid = bore.even_grid(CELL_M)
    lifts = np.array(LIFT_SHARES) * valve.max_lift_m
    fields = [_speeds(grid, bore.chamber(grid, lift)) for lift in lifts.tolist()]
    along, away = (np.array(v) for v in zip(*fields, strict=True))
    return BoreFlow(duct, lifts, grid.xc, grid.yc, along, away)


def _speeds(grid: Grid, chamber: Chamber) -> tuple[Floats, Floats]:
    """Speeds at cell middles along the axis and away from it, 0 where there is no oil."""
    flow = chamber.solve(chamber.port_velocity(np.array([-1.0, 1.0]) / (2 * np.pi)))
    (nx, ny), n_x = grid.shape, FaceNumbers(grid).n_x
    across, along = flow.velocity[:n_x].reshape(nx + 1, ny), flow.velocity[n_x:].reshape(nx, ny + 1)
    return (along[:, 1:] + along[:, :-1]) / 2, (across[1:] + across[:-1]) / 2


def valve_path(duct: Duct, parts: tuple[Part, ...], valve: ValveSpec, fineness: float = 1.0) -> BorePath:
    """The bore as the plant sees it; a ball meets its seat along a tangent cone."""
    half = valve.half_angle_deg
    if valve.ball_d_m is not None:
        half = 90.0 - float(np.degrees(np.arcsin(min(valve.seat_d_m / valve.ball_d_m, 0.999))))
    return bore_path(Bore.of(duct, parts, valve), valve, float(np.sin(np.radians(half))), fineness)
