"""The pleated cartridge in a housing: element between a spigot and a spring seat, bypass valve in the head.

Assembly from the bottom: through-bolt, bowl, spring, spring seat with washer, lower grommet, element, upper
grommet on the spigot of the head, O-ring between bowl and head.
"""

from __future__ import annotations

import numpy as np

from glasscan.filters import housing
from glasscan.filters.cartridge.parts import cartridge_parts
from glasscan.filters.cartridge.sizes import grommet_height_mm, grommet_radius_mm, seat_radius_mm
from glasscan.filters.filter_data import CartridgeData
from glasscan.filters.headvalve import valve_path
from glasscan.filters.kept_solutions import Solution, kept_solution
from glasscan.filters.layout import AxialLayout
from glasscan.filters.levels import solve_levels, volumes, with_bore
from glasscan.filters.network_building import medium_dirt, pleated_network, valve_spec
from glasscan.filters.patches import edges_through, merged_marks
from glasscan.filters.section import Section
from glasscan.flow.grid import Grid
from glasscan.flow.shapes import Shape, box, cut, union

MM = 1e-3
BIG = 1.0  # m: beyond every filter


def build(data: CartridgeData, *, fineness: float = 1.0) -> Section:
    """Solve a cartridge filter and return its section with the network for the plant."""
    layout = cartridge_layout(data, fineness)
    parts, valve = cartridge_parts(data), valve_spec(data.valve)

    def solve() -> Solution:
        levels, ring = solve_levels(layout)
        duct = housing.valve_duct(data.housing, data.passage)
        return levels, with_bore(ring, valve_path(duct, parts, valve, fineness))

    levels, paths = kept_solution(data.model_dump_json(), fineness, layout.grid, solve)
    losses = housing.head_losses(data.housing, data.passage, data.losses.inlet_k, data.losses.outlet_k)
    dirt = medium_dirt(data.element, data.capture)
    net = pleated_network(data.element, valve, paths, volumes(layout, levels[0]), losses, dirt)
    return Section(layout, net, levels, parts)


def cartridge_layout(data: CartridgeData, fineness: float = 1.0) -> AxialLayout:
    """Regions, grid and ports of a cartridge filter."""
    element = data.element
    bands = np.linspace(element.bottom_mm, element.top_mm, element.segments + 1) * MM
    return AxialLayout(
        grid=_grid(data, fineness),
        dirty=dirty_region(data),
        clean=lambda _lift: clean_region(data),
        inlet=housing.inlet_opening(data.housing, data.passage),
        outlet=housing.outlet_opening(data.housing),
        bands=tuple(zip(bands[:-1].tolist(), bands[1:].tolist(), strict=True)),
        r_dirty=element.outer_radius_mm * MM,
        r_clean=(element.inner_radius_mm - element.core_mm) * MM,
        passage=housing.valve_duct(data.housing, data.passage),
    )


def _grid(data: CartridgeData, fineness: float) -> Grid:
    house, element = data.housing, data.element
    r_marks = [
        *housing.radial_marks(house),
        (element.inner_radius_mm - element.core_mm, 1.0),
        (element.outer_radius_mm, 0.4),
        (grommet_radius_mm(data), 0.75),
    ]
    low = element.bottom_mm - element.cap_mm
    band = (element.top_mm - element.bottom_mm) / element.segments
    z_marks = [(0.0, 0.75), (low - data.support_mm, 0.75), (low, 0.75)]
    z_marks += [(element.bottom_mm + k * band, 1.0) for k in range(element.segments)]
    z_marks += [(element.top_mm, 0.75), (element.top_mm + element.cap_mm, 0.5)]
    z_marks += [(element.top_mm + element.cap_mm + grommet_height_mm(data), 0.5)]
    z_marks += housing.axial_marks(house, data.passage)
    r = edges_through(merged_marks(r_marks, fineness), house.bowl_radius_mm)
    z = edges_through(merged_marks(z_marks, fineness), house.outlet_top_mm)
    return Grid(r * MM, z * MM, axisymmetric=True)


def dirty_region(data: CartridgeData) -> Shape:
    """Bowl and gallery, less element, grommets, spring seat, spigot and bolt."""
    house, element = data.housing, data.element
    low, high = element.bottom_mm - element.cap_mm, element.top_mm + element.cap_mm
    return cut(
        housing.bowl_and_gallery(house),
        box(-BIG, house.bolt_radius_mm * MM, -BIG, BIG),
        box(-BIG, element.outer_radius_mm * MM, low * MM, high * MM),
        box(-BIG, seat_radius_mm(data) * MM, (low - data.support_mm) * MM, (low + 1) * MM),
        box(-BIG, grommet_radius_mm(data) * MM, element.top_mm * MM, (high + grommet_height_mm(data)) * MM),
        box(-BIG, house.core_radius_mm * MM, element.top_mm * MM, BIG),
        box(-BIG, house.gallery_inner_mm * MM, house.head_bottom_mm * MM, BIG),
    )


def clean_region(data: CartridgeData) -> Shape:
    """Inside of the centre tube and the bore of the head, round the bolt."""
    house, element = data.housing, data.element
    tube = (element.inner_radius_mm - element.core_mm) * MM
    return union(
        box(house.bolt_radius_mm * MM, tube, element.bottom_mm * MM, element.top_mm * MM),
        housing.bore(house, (element.top_mm - 2) * MM),
    )
