"""Head and bowl shared by the cartridge filter and the stacked-disc filter: regions, passage and parts.

The bowl hangs under its head; z = 0 is the inside of the bowl's bottom. Oil comes down through a ring-shaped
gallery in the head, goes inwards through the element and up through the bore in the middle. Inlet and outlet
really leave to the sides; the (r, z) plane shows them as a ring and as the bore around bolt or shaft.
"""

from __future__ import annotations

import numpy as np

from glasscan.filters.filter_data import HousingData, PassageData
from glasscan.filters.layout import Opening
from glasscan.filters.named_parts import Outline, Part, block
from glasscan.filters.network import MinorLoss
from glasscan.filters.passages import Duct
from glasscan.flow.shapes import Shape, box, common, ellipse, union

MM = 1e-3
BIG = 1.0  # m: beyond every filter
ARC_POINTS = 32


def ceiling_mm(house: HousingData, passage: PassageData) -> float:
    """Roof of the head's inlet gallery, mm: half way from the valve passage to the top of the head."""
    return (passage.top_mm + house.head_top_mm) / 2


def bowl_and_gallery(house: HousingData, passage: PassageData) -> Shape:
    """Inside of bowl, gallery and inlet, before anything stands in it."""
    bowl, floor = house.bowl_radius_mm * MM, house.bowl_round_mm * MM
    roof = ceiling_mm(house, passage) * MM
    return union(
        box(-BIG, bowl, floor, house.head_bottom_mm * MM),
        common(ellipse(0, floor, bowl, floor), box(-BIG, bowl, -BIG, house.head_bottom_mm * MM)),
        box(house.gallery_inner_mm * MM, bowl, floor, roof),
        box(house.inlet_inner_mm * MM, house.inlet_outer_mm * MM, floor, house.head_top_mm * MM),
    )


def bore(house: HousingData, from_m: float) -> Shape:
    """Outlet bore around bolt or shaft, from a height to the top of the head."""
    return box(house.bolt_radius_mm * MM, house.outlet_radius_mm * MM, from_m, house.head_top_mm * MM)


def inlet_opening(house: HousingData) -> Opening:
    """Ring through which oil enters at the top of the head."""
    return Opening(house.head_top_mm * MM, house.inlet_inner_mm * MM, house.inlet_outer_mm * MM, -1)


def outlet_opening(house: HousingData) -> Opening:
    """Mouth of the bore at the top of the head."""
    return Opening(house.head_top_mm * MM, house.bolt_radius_mm * MM, house.outlet_radius_mm * MM, -1)


def valve_duct(house: HousingData, passage: PassageData) -> Duct:
    """Passage through the head's core, from gallery to bore."""
    return Duct(
        house.gallery_inner_mm * MM, house.outlet_radius_mm * MM, passage.bottom_mm * MM, passage.top_mm * MM
    )


def head_losses(house: HousingData, inlet_k: float, outlet_k: float) -> tuple[MinorLoss, ...]:
    """Inertial losses of inlet ring and outlet bore."""
    ring = np.pi * (house.inlet_outer_mm**2 - house.inlet_inner_mm**2) * MM**2
    mouth = np.pi * (house.outlet_radius_mm**2 - house.bolt_radius_mm**2) * MM**2
    return MinorLoss("inlet", inlet_k, float(ring), "inlet"), MinorLoss(
        "outlet", outlet_k, float(mouth), "outlet"
    )


def radial_marks(house: HousingData) -> list[tuple[float, float]]:
    """Grid marks along r that the head asks for: (place, largest cell), mm."""
    return [
        (0.0, 1.0),
        (house.bolt_radius_mm, 0.5),
        (house.outlet_radius_mm, 0.75),
        (house.core_radius_mm, 0.75),
        (house.gallery_inner_mm, 0.75),
        (house.inlet_inner_mm, 0.75),
        (house.inlet_outer_mm, 0.5),
    ]


def axial_marks(house: HousingData, passage: PassageData) -> list[tuple[float, float]]:
    """Grid marks along z that the head asks for, mm."""
    return [
        (house.head_bottom_mm, 0.75),
        (passage.bottom_mm, 0.75),
        (passage.top_mm, 0.75),
        (ceiling_mm(house, passage), 0.75),
    ]


def housing_parts(house: HousingData, passage: PassageData) -> tuple[Part, ...]:
    """Head, bowl and the ring between them."""
    return _head(house, passage), _solid_side(house, passage), _bowl(house), _ring(house)


def _head(house: HousingData, passage: PassageData) -> Part:
    bowl, wall = house.bowl_radius_mm * MM, house.bowl_wall_mm * MM
    bottom, top, roof = (
        z * MM for z in (house.head_bottom_mm, house.head_top_mm, ceiling_mm(house, passage))
    )
    gallery, bore_r = house.gallery_inner_mm * MM, house.outlet_radius_mm * MM
    inlet0, inlet1 = house.inlet_inner_mm * MM, house.inlet_outer_mm * MM
    outlines = (
        block(bore_r, gallery, bottom, passage.bottom_mm * MM),
        np.array(
            [
                (bore_r, passage.top_mm * MM),
                (gallery, passage.top_mm * MM),
                (gallery, roof),
                (inlet0, roof),
                (inlet0, top),
                (bore_r, top),
            ]
        ),
        np.array(
            [
                (bowl, bottom - 6 * MM),
                (bowl + wall + 4 * MM, bottom - 6 * MM),
                (bowl + wall + 4 * MM, top),
                (inlet1, top),
                (inlet1, roof),
                (bowl, roof),
            ]
        ),
    )
    label = (bowl + wall / 2 + 2 * MM, (bottom + top) / 2)
    return Part(
        "head",
        "head",
        "Cast head: inlet, outlet and bypass valve; stays on the machine.",
        "cast",
        outlines,
        label,
    )


def _solid_side(house: HousingData, passage: PassageData) -> Part:
    """The head on the side that has no valve passage: solid (it has no name of its own)."""
    inner, outer = house.outlet_radius_mm * MM, house.gallery_inner_mm * MM
    outline = block(inner, outer, passage.bottom_mm * MM, passage.top_mm * MM)
    about = "Cast head, solid here: the valve passage is one hole, on the other side."
    return Part("head-solid", "", about, "cast", (outline,), (outer, passage.top_mm * MM), left_only=True)


def _bowl(house: HousingData) -> Part:
    inner, wall, floor = house.bowl_radius_mm, house.bowl_wall_mm, house.bowl_round_mm
    angle = np.linspace(0, np.pi / 2, ARC_POINTS)
    arc = np.stack([inner * np.cos(angle), floor - floor * np.sin(angle)], axis=1)
    back = np.stack([(inner + wall) * np.cos(angle), floor - (floor + wall) * np.sin(angle)], axis=1)[::-1]
    rim = house.head_bottom_mm - 6.0
    outline: Outline = np.concatenate([[(inner, rim)], arc, back, [(inner + wall, rim)]]) * MM
    label = ((inner + wall / 2) * MM, rim * 0.45 * MM)
    return Part(
        "bowl",
        "bowl",
        "Holds the oil round the element; comes off downwards, full of oil.",
        "steel",
        (outline,),
        label,
    )


def _ring(house: HousingData) -> Part:
    r, z, size = (house.bowl_radius_mm + house.bowl_wall_mm / 2), house.head_bottom_mm - 6.0, house.ring_mm
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    outline = np.stack([r + size / 2 * np.cos(angle), z + size / 2 * np.sin(angle)], axis=1) * MM
    about = "O-ring in its groove between bowl and head: new at every fitting, one only."
    return Part("bowl-seal", "bowl O-ring", about, "rubber", (outline,), ((r + size / 2) * MM, z * MM))
