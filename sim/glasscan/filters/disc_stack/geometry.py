"""The edge-type stacked-disc filter with scrapers.

Oil goes from the bowl inwards through the narrow gaps between stacked discs, held apart by separators, into
the hollow centre and up. Fixed blades stand in every gap: turning the stack with the handle combs the dirt
off, and it falls into the bowl. Every gap is one element segment with the law of radial flow between discs,
`6 mu Q ln(ro/ri) / (pi h^3)` and its two mouths, over the open share of the circle that the separators leave.
"""

from __future__ import annotations

import numpy as np
from scipy.special import ndtri

from glasscan.filters import housing
from glasscan.filters.disc_stack.parts import GLAND_MM, NUT_RADIUS_MM, disc_parts, nut_mm
from glasscan.filters.element_capture import Catcher, DirtSide, Scraper
from glasscan.filters.filter_data import DiscStackData, StackData
from glasscan.filters.headvalve import valve_path
from glasscan.filters.kept_solutions import Solution, kept_solution
from glasscan.filters.layout import AxialLayout
from glasscan.filters.levels import solve_levels, volumes, with_bore
from glasscan.filters.network_building import network, valve_spec
from glasscan.filters.patches import edges_through, merged_marks
from glasscan.filters.section import Section
from glasscan.flow.grid import Floats, Grid
from glasscan.flow.shapes import Shape, box, cut, union
from glasscan.laws.combing import Comb
from glasscan.laws.disc_pack import DiscPack
from glasscan.laws.discs import gap_viscous_drop_pa, mouth_drop_pa
from glasscan.laws.media import cake_resistance_m_kg

MM = 1e-3
BIG = 1.0  # m: beyond every filter
FOOT_MM = 3.0  # plate under the stack
SLUDGE_SOLIDS, SLUDGE_GRAIN_M = 0.2, 20e-6  # volume share of solids in settled sludge, its grain; no source


def build(data: DiscStackData, *, fineness: float = 1.0) -> Section:
    """Solve a stacked-disc filter and return its section with the network for the plant."""
    layout = disc_layout(data, fineness)
    parts, valve = disc_parts(data), valve_spec(data.valve)

    def solve() -> Solution:
        levels, ring = solve_levels(layout)
        duct = housing.valve_duct(data.housing, data.passage)
        return levels, with_bore(ring, valve_path(duct, parts, valve, fineness))

    levels, paths = kept_solution(data.model_dump_json(), fineness, layout.grid, solve)
    losses = housing.head_losses(data.housing, data.passage, data.losses.inlet_k, data.losses.outlet_k)
    segments = (gap_areas(data.stack), gap_resistances(data.stack))
    held = volumes(layout, levels[0])
    net = network(paths, held, segments, valve, losses, data.stack.gap_um, stack_dirt(data))
    return Section(layout, net, levels, parts)


def gap_resistances(stack: StackData) -> Floats:
    """(gaps,) clean resistance of each gap, 1/m3."""
    size = (stack.gap_um * 1e-6, stack.outer_radius_mm * MM, stack.inner_radius_mm * MM)
    one = (gap_viscous_drop_pa(*size, 1.0, 1.0) + mouth_drop_pa(*size, 1.0, 1.0)) / stack.open_fraction
    return np.full(stack.gaps, one)


def gap_areas(stack: StackData) -> Floats:
    """(gaps,) area of the ring of deposit that bridges each gap on the dirty side, m2."""
    one = 2 * np.pi * stack.outer_radius_mm * MM * stack.rim.ring_mm * MM * stack.open_fraction
    return np.full(stack.gaps, one)


def stack_dirt(data: DiscStackData) -> DirtSide:
    """How the gaps catch dirt and the blades take it off."""
    stack, rim, blades = data.stack, data.stack.rim, data.scraper
    gap = stack.gap_um * 1e-6
    catcher = Catcher(
        opening_m=np.array([gap * sieve_shift(stack.beta_at_gap, rim.spread)]),
        spread=rim.spread,
        fibre_m=None,
        rating_m=gap,
        beta=stack.beta_at_gap,
        porosity=rim.cake_porosity,
        solid_kg_m3=rim.solid_kg_m3,
        block_kg_m2=rim.block_g_m2 * 1e-3,
        first_grain=0.0,
    )
    scraper = Scraper(
        cleared_per_turn=blades.cleared_per_turn,
        loose_share=blades.loose_share,
        sink_m=(stack.top_m + stack.bottom_mm * MM) / 2,
        stir_m3s=blades.stir_l_min * 1e-3 / 60,
        stir_s=blades.stir_s,
        comb=_comb(data),
        **_sludge(data),
    )
    pack = DiscPack.sound(stack.gaps, gap, blades.blade_um * 1e-6)
    return DirtSide(catcher, scraper, pack=pack)


def _comb(data: DiscStackData) -> Comb:
    """What the handle turns; the packing is as long as the gland that is drawn."""
    stack, blades, rim = data.stack, data.scraper, data.stack.rim
    return Comb(
        blades=stack.gaps,
        rim_m=stack.outer_radius_mm * MM,
        ring_m=rim.ring_mm * MM,
        bulk_kg_m3=(1.0 - rim.cake_porosity) * rim.solid_kg_m3,
        shaft_m=blades.shaft_radius_mm * MM,
        gland_m=GLAND_MM * MM,
        arm_m=blades.handle_mm / 2 * MM,
    )


def _sludge(data: DiscStackData) -> dict[str, float]:
    """Room for sludge below and beside the stack, and what a gap behind it has to draw through."""
    stack, bowl_m = data.stack, data.housing.bowl_radius_mm * MM
    solid = SLUDGE_SOLIDS * stack.rim.solid_kg_m3
    ring_m2 = np.pi * (bowl_m**2 - (stack.outer_radius_mm * MM) ** 2)
    alpha = cake_resistance_m_kg(1.0 - SLUDGE_SOLIDS, SLUDGE_GRAIN_M, stack.rim.solid_kg_m3)
    bed = alpha * solid * np.log(bowl_m * 1e3 / stack.outer_radius_mm) / (2 * np.pi * stack.pitch_m)
    return {
        "room_kg": float(solid * np.pi * bowl_m**2 * stack.bottom_mm * MM),
        "beside_kg": float(solid * ring_m2 * stack.gaps * stack.pitch_m),
        "bed_1_m3": float(bed),
        "sludge_kg_m3": solid,
    }


def sieve_shift(beta: float, spread: float) -> float:
    """Opening that sieves half, over the gap, so that grains of the gap's own size have the ratio beta."""
    return float(np.exp(-spread * ndtri(1.0 - 1.0 / beta)))


def gap_bands(stack: StackData) -> tuple[tuple[float, float], ...]:
    """(z0, z1) of every gap from the bottom, m; the stack begins and ends with a disc."""
    first = (stack.bottom_mm + stack.disc_mm) * MM
    lows = first + np.arange(stack.gaps) * stack.pitch_m
    return tuple((float(z), float(z + stack.gap_um * 1e-6)) for z in lows)


def disc_layout(data: DiscStackData, fineness: float = 1.0) -> AxialLayout:
    """Regions, grid and ports of a stacked-disc filter."""
    stack = data.stack
    return AxialLayout(
        grid=_grid(data, fineness),
        dirty=dirty_region(data),
        clean=lambda _lift: clean_region(data),
        inlet=housing.inlet_opening(data.housing, data.passage),
        outlet=housing.outlet_opening(data.housing),
        bands=gap_bands(stack),
        r_dirty=stack.outer_radius_mm * MM,
        r_clean=stack.inner_radius_mm * MM,
        passage=housing.valve_duct(data.housing, data.passage),
    )


def _grid(data: DiscStackData, fineness: float) -> Grid:
    house, stack = data.housing, data.stack
    r_marks = [
        *housing.radial_marks(house),
        (NUT_RADIUS_MM, 0.75),
        (stack.inner_radius_mm, 1.0),
        (stack.outer_radius_mm, 0.5),
    ]
    z_marks = [
        (0.0, 0.75),
        *((z, 0.75) for z in nut_mm(data)),
        (stack.bottom_mm - FOOT_MM, 0.75),
        (stack.bottom_mm, stack.disc_mm),
    ]
    for low, high in gap_bands(stack):
        z_marks += [(low / MM, stack.gap_um * 1e-3), (high / MM, stack.disc_mm / 2)]
    z_marks += [(stack.top_m / MM, 0.75), *housing.axial_marks(house, data.passage)]
    r = edges_through(merged_marks(r_marks, fineness), house.bowl_radius_mm)
    z = edges_through(merged_marks(z_marks, fineness), house.outlet_top_mm)
    return Grid(r * MM, z * MM, axisymmetric=True)


def dirty_region(data: DiscStackData) -> Shape:
    """Bowl and gallery, less stack, foot plate, tube and shaft (the blade post is no ring: left out)."""
    house, stack = data.housing, data.stack
    return cut(
        housing.bowl_and_gallery(house),
        box(-BIG, stack.outer_radius_mm * MM, (stack.bottom_mm - FOOT_MM) * MM, stack.top_m),
        box(-BIG, data.scraper.shaft_radius_mm * MM, nut_mm(data)[0] * MM, (stack.bottom_mm) * MM),
        box(-BIG, NUT_RADIUS_MM * MM, nut_mm(data)[0] * MM, nut_mm(data)[1] * MM),
        box(-BIG, house.core_radius_mm * MM, stack.bottom_mm * MM, BIG),
        box(-BIG, house.gallery_inner_mm * MM, house.head_bottom_mm * MM, BIG),
    )


def clean_region(data: DiscStackData) -> Shape:
    """Hollow centre of the stack and the bore of the head, round the shaft."""
    house, stack = data.housing, data.stack
    hollow = box(house.bolt_radius_mm * MM, stack.inner_radius_mm * MM, stack.bottom_mm * MM, stack.top_m)
    return union(hollow, housing.bore(house, stack.top_m - 2 * MM))
