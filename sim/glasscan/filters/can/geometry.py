"""The spin-on can: base plate with inlet holes, anti-drain valve, pleated element, dome-end bypass valve.

The can stands dome up on its mounting face (z = 0); r runs outwards from the axis. Dirty oil comes up through
the ring of holes, lifts the anti-drain lip, fills the annulus and the dome, and goes inwards through the
element into the centre tube and down the hub. The bypass valve hangs under the top end cap and opens
downwards, into the centre tube.

The valve is a flat disc over a flat land, from the edge of the seat bore to the rim of the disc. Shut it
seals on the edge of the bore; once it is off its seat, the pressure over the land pushes too, so it opens
with a small jump and seats at a lower pressure than it cracks at.

The ring of holes is drawn, and solved, as a slot as wide as one hole; the real open area enters the inertial
loss of the holes.
"""

from __future__ import annotations

from functools import partial
from itertools import pairwise

import numpy as np

from glasscan.filters.can.parts import can_parts
from glasscan.filters.filter_data import CanData
from glasscan.filters.kept_solutions import kept_solution
from glasscan.filters.layout import AxialLayout, Opening
from glasscan.filters.levels import solve_levels, volumes
from glasscan.filters.network import FilterNetwork, MinorLoss
from glasscan.filters.network_building import Volumes, medium_dirt, pleated_network, valve_spec
from glasscan.filters.passages import Seat
from glasscan.filters.patches import edges_through, marks_growing, merged_marks
from glasscan.filters.path_table import PathTable
from glasscan.filters.section import Section
from glasscan.flow.grid import Grid
from glasscan.flow.shapes import Shape, below, box, common, cut, ellipse, union

MM = 1e-3
LIFT_SHARES = (
    1 / 30,
    1 / 15,
    2 / 15,
    4 / 15,
    7 / 15,
    11 / 15,
    1.0,
)  # of the largest lift: where it is solved
EDGE_MM = 0.01  # cells beside the edges of seat and disc: a fifth of the smallest solved gap
GAP_CELLS, LARGEST_GAP_MM = 5, 0.08  # cells across the gap between two solved lifts, and the largest
BIG = 1.0  # m: beyond every filter


def build(data: CanData, *, fineness: float = 1.0) -> Section:
    """Solve a can and return its section with the network for the plant.

    Args:
        data: sizes of the can.
        fineness: cells per length relative to the usual grid (1 = about 0.5 mm cells in the annulus).
    """
    layout = can_layout(data, fineness)
    disc = (data.valve.poppet_mm / 2 * MM, data.valve.poppet_thick_mm * MM)
    levels, paths = kept_solution(
        data.model_dump_json(), fineness, layout.grid, lambda: solve_levels(layout, disc)
    )
    return Section(layout, _network(data, paths, volumes(layout, levels[0])), levels, can_parts(data))


def _network(data: CanData, paths: PathTable, held: Volumes) -> FilterNetwork:
    base = data.base
    holes = base.holes * np.pi * (base.hole_mm * MM) ** 2 / 4
    losses = (
        MinorLoss("inlet holes", data.losses.inlet_k, float(holes), "inlet"),
        MinorLoss("hub", data.losses.outlet_k, float(np.pi * (base.hub_radius_mm * MM) ** 2), "outlet"),
    )
    dirt = medium_dirt(data.element, data.capture, data.antidrain)
    return pleated_network(data.element, valve_spec(data.valve), paths, held, losses, dirt)


def can_layout(data: CanData, fineness: float = 1.0, lifts_m: tuple[float, ...] = ()) -> AxialLayout:
    """Regions, grid and ports of a can, for the usual lifts of the valve or for others, rising, above 0."""
    base, element, valve = data.base, data.element, data.valve
    hole0 = (base.hole_circle_radius_mm - base.hole_mm / 2) * MM
    lifts = lifts_m or tuple(valve.max_lift_mm * MM * f for f in LIFT_SHARES)
    bands = np.linspace(element.bottom_mm, element.top_mm, element.segments + 1) * MM
    return AxialLayout(
        grid=can_grid(data, fineness, lifts),
        dirty=dirty_region(data),
        clean=partial(clean_region, data),
        inlet=Opening(0.0, hole0, hole0 + base.hole_mm * MM, 1),
        outlet=Opening(0.0, 0.0, base.hub_radius_mm * MM, 1),
        bands=tuple(zip(bands[:-1].tolist(), bands[1:].tolist(), strict=True)),
        r_dirty=element.outer_radius_mm * MM,
        r_clean=(element.inner_radius_mm - element.core_mm) * MM,
        passage=Seat(
            element.top_mm * MM, valve.seat_mm / 2 * MM, valve.poppet_mm / 2 * MM, element.cap_mm * MM, lifts
        ),
    )


def can_grid(data: CanData, fineness: float, lifts_m: tuple[float, ...]) -> Grid:
    """Grid lines along every straight wall; fine under the seat, in the annulus and under the base."""
    base, element, valve, shell = data.base, data.element, data.valve, data.shell
    hole = base.hole_circle_radius_mm - base.hole_mm / 2
    coarse, middle, small, fine = 1.0, 0.5, 0.35, 0.25
    seat, rim = valve.seat_mm / 2, valve.poppet_mm / 2
    half = (seat + rim) / 2
    r_marks = [
        (0.0, middle),
        *marks_growing(seat, seat - 1, EDGE_MM, fine),
        *marks_growing(seat, half, EDGE_MM, fine),
        *marks_growing(rim, half, EDGE_MM, fine),
        *marks_growing(rim, rim + 1, EDGE_MM, fine),
        (rim + 1, middle),
        (base.hub_radius_mm, middle),
        (base.boss_radius_mm, middle),
        (element.inner_radius_mm - element.core_mm, coarse),
        (hole, coarse),
        (hole + base.hole_mm, coarse),
        (element.outer_radius_mm, small),
    ]
    under = element.top_mm - lifts_m[-1] / MM - valve.poppet_thick_mm
    z_marks = [(0.0, coarse), (base.plate_mm, small), (element.bottom_mm - element.cap_mm, middle)]
    band = (element.top_mm - element.bottom_mm) / element.segments
    bottoms = [element.bottom_mm + k * band for k in range(element.segments)]
    z_marks += [(b, coarse) for b in bottoms if b < under - 1e-9]
    z_marks += [(b, fine) for b in bottoms if b > under + 1e-9]
    z_marks += _valve_marks(data, [lift / MM for lift in lifts_m])
    z_marks += marks_growing(element.top_mm, element.top_mm + element.cap_mm, 2 * EDGE_MM, fine)
    z_marks += [(element.top_mm + element.cap_mm, middle)]
    r = edges_through(merged_marks(r_marks, fineness), shell.inner_radius_mm)
    z = edges_through(merged_marks(z_marks, fineness), shell.straight_top_mm + shell.dome_height_mm)
    return Grid(r * MM, z * MM, axisymmetric=True)


def _valve_marks(data: CanData, lifts: list[float]) -> list[tuple[float, float]]:
    """Grid marks at the top and the underside of the disc at every solved lift, mm."""
    valve, top = data.valve, data.element.top_mm
    marks = [(top - lift - valve.poppet_thick_mm, 0.12) for lift in (*lifts, 0.0)]
    return marks + [
        (top - lift, min((lift - above) / GAP_CELLS, LARGEST_GAP_MM))
        for above, lift in pairwise((0.0, *lifts))
    ]


def dirty_region(data: CanData) -> Shape:
    """Holes, space over the base plate, annulus and dome, less the element and the anti-drain valve."""
    base, element, shell = data.base, data.element, data.shell
    top = shell.straight_top_mm
    hole = base.hole_circle_radius_mm - base.hole_mm / 2
    inside = union(
        box(-BIG, shell.inner_radius_mm * MM, base.plate_mm * MM, top * MM),
        common(
            ellipse(0, top * MM, shell.inner_radius_mm * MM, shell.dome_height_mm * MM),
            box(-BIG, shell.inner_radius_mm * MM, base.plate_mm * MM, BIG),
        ),
        box(hole * MM, (hole + base.hole_mm) * MM, 0.0, (base.plate_mm + 2) * MM),
    )
    bottom, over = element.bottom_mm - element.cap_mm, element.top_mm + element.cap_mm
    solid = [
        box(-BIG, element.outer_radius_mm * MM, bottom * MM, element.top_mm * MM),
        cut(
            box(-BIG, element.outer_radius_mm * MM, element.bottom_mm * MM, over * MM),
            box(-BIG, data.valve.seat_mm / 2 * MM, element.top_mm * MM, BIG),
        ),
        box(-BIG, base.boss_radius_mm * MM, -BIG, element.bottom_mm * MM),
    ]
    if data.antidrain.fitted:
        solid.append(antidrain_lip(data))
    return cut(inside, *solid)


def antidrain_lip(data: CanData) -> Shape:
    """The rubber lip, lifted: a slanting ring from the boss to its edge above the plate."""
    lip, base = data.antidrain, data.base
    (r0, z0), (r1, z1) = _lip_line(data)
    upper = below(r0, z0, r1, z1)
    lower = below(r1, z1 - lip.thickness_mm * MM, r0, z0 - lip.thickness_mm * MM)
    return common(upper, lower, box(-BIG, r1, base.plate_mm * MM, BIG))


def _lip_line(data: CanData) -> tuple[tuple[float, float], tuple[float, float]]:
    """Upper edge of the lip from the boss to its rim, (r, z) in m."""
    lip, base, element = data.antidrain, data.base, data.element
    z_boss = element.bottom_mm - element.cap_mm
    z_rim = base.plate_mm + lip.lip_gap_mm + lip.thickness_mm
    return (base.boss_radius_mm * MM, z_boss * MM), (lip.lip_radius_mm * MM, z_rim * MM)


def clean_region(data: CanData, lift_m: float) -> Shape:
    """Centre tube and hub bore, less the valve at a lift."""
    base, element, valve = data.base, data.element, data.valve
    tube = (element.inner_radius_mm - element.core_mm) * MM
    top, poppet = element.top_mm * MM, valve.poppet_mm / 2 * MM
    inside = union(
        box(-BIG, tube, element.bottom_mm * MM, top),
        box(-BIG, base.hub_radius_mm * MM, 0.0, (element.bottom_mm + 2) * MM),
    )
    face = top - lift_m
    return cut(
        inside,
        box(-BIG, poppet, face - valve.poppet_thick_mm * MM, face),
    )
