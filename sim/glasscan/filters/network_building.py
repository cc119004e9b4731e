"""What the filters share in building the network for the plant."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from glasscan.filters.element_capture import Antidrain, Catcher, DirtSide, plain_medium
from glasscan.filters.filter_data import PSI_PA, AntidrainData, CaptureData, ElementData, ValveData
from glasscan.filters.network import FilterNetwork, MinorLoss, ValveSpec
from glasscan.filters.panel_table import PanelLaw, panel_law
from glasscan.filters.path_table import PathTable
from glasscan.flow.grid import Floats
from glasscan.laws.deposit import PleatRoom
from glasscan.laws.media import davies
from glasscan.laws.pleats import pair_drop_pa

MM = 1e-3
FOLD_M = 0.1e-3  # least room in a fold
Volumes = tuple[float, float]


def valve_spec(valve: ValveData) -> ValveSpec:
    """Bypass valve in SI units; the preload is what makes it crack at the stated pressure."""
    area = np.pi * (valve.seat_mm * MM) ** 2 / 4
    return ValveSpec(
        seat_d_m=valve.seat_mm * MM,
        half_angle_deg=valve.half_angle_deg,
        ball_d_m=None if valve.ball_mm is None else valve.ball_mm * MM,
        rate_n_m=valve.rate_n_mm / MM,
        preload_n=max(0.0, float(valve.cracking_psi * PSI_PA * area) - valve.friction_n),
        max_lift_m=valve.max_lift_mm * MM,
        mass_kg=valve.mass_g * 1e-3,
        cd=valve.cd,
        leak_area_m2=valve.leak_area_mm2 * MM**2,
        friction_n=valve.friction_n,
    )


def pleat_resistances(element: ElementData) -> Floats:
    """(K,) clean resistance of medium and pleat channels of each segment, 1/m3."""
    wall = element.medium_mm * MM / element.permeability_m2
    per_pair = 1 / (element.pleats * element.height_m)
    whole = pair_drop_pa(element.channel_m, element.depth_m, wall, 1.0, per_pair)
    return np.full(element.segments, whole * element.segments)


def fibre_m(capture: CaptureData, permeability_m2: float) -> float:
    """Fibre diameter that gives the medium its permeability at its solid fraction (Davies), m."""
    return float(2.0 * np.sqrt(permeability_m2 / davies(capture.solid_fraction)))


def pleat_room(element: ElementData) -> PleatRoom:
    """Wedge between two panels on the dirty side: the pitch less two layers, shared with the clean side.

    At the mouth the dirty side has all of it but a tenth, at the fold a tenth (drawing of a tight fold).
    """
    wide, narrow = (
        2 * np.pi * radius * MM / element.pleats - 2 * element.medium_mm * MM
        for radius in (element.outer_radius_mm, element.inner_radius_mm)
    )
    return PleatRoom(0.9 * wide, max(0.1 * narrow, FOLD_M))


def medium_dirt(
    element: ElementData, capture: CaptureData | None, antidrain: AntidrainData | None = None
) -> DirtSide:
    """How a pleated element deals with dirt, and the can with standing still."""
    back = None
    if antidrain is not None and antidrain.fitted:
        back = Antidrain(antidrain.crack_kpa * 1e3, antidrain.leak_mm3 * MM**3)
    if capture is None:
        return replace(plain_medium(element.rating_um, element.beta_at_rating), antidrain=back)
    rating = element.rating_um * 1e-6
    catcher = Catcher(
        opening_m=np.array([capture.pore_over_rating * rating]),
        spread=capture.spread,
        fibre_m=fibre_m(capture, element.permeability_m2),
        rating_m=rating,
        beta=element.beta_at_rating,
        porosity=capture.cake_porosity,
        solid_kg_m3=capture.solid_kg_m3,
        block_kg_m2=capture.block_g_m2 * 1e-3,
        first_grain=capture.first_grain,
        bulk_solids=capture.bulk_solids,
        squeeze=capture.squeeze,
        room=pleat_room(element),
    )
    return DirtSide(catcher, antidrain=back)


def pleated_network(
    element: ElementData,
    valve: ValveSpec | None,
    paths: PathTable,
    volumes: Volumes,
    losses: tuple[MinorLoss, ...],
    dirt: DirtSide,
) -> FilterNetwork:
    """Network of a filter with a pleated element."""
    area = np.full(element.segments, element.area_m2 / element.segments)
    segments = (area, pleat_resistances(element))
    panels = panel_law(element, segments[1])
    return network(paths, volumes, segments, valve, losses, element.rating_um, dirt, panels)


def network(
    paths: PathTable,
    volumes: Volumes,
    segments: tuple[Floats, Floats],
    valve: ValveSpec | None,
    losses: tuple[MinorLoss, ...],
    rating_um: float,
    dirt: DirtSide | None = None,
    panels: PanelLaw | None = None,
) -> FilterNetwork:
    """Network from solved paths, volumes of both sides, m3, and (area m2, resistance 1/m3) of segments."""
    area, resistance = segments
    return FilterNetwork(
        paths=paths,
        segment_area_m2=area,
        segment_r=resistance,
        valve=valve,
        losses=losses,
        dirty_volume_m3=volumes[0],
        clean_volume_m3=volumes[1],
        rating_um=rating_um,
        dirt=dirt,
        panels=panels,
    )
