"""Head and bowl shared by the cartridge filter and the stacked-disc filter: regions, passage and parts.

The bowl hangs under its head; z = 0 is the inside of the bowl's bottom. Oil comes through a bore in one side
of the head into a ring-shaped gallery, goes down round the element and inwards through it, up the bore in the
middle, and out through a bore in the other side, above the gallery. In the (r, z) plane each of these is a
slot all round of the bore's height: the gallery spreads the oil. The bores are drawn on their own sides.
"""

from __future__ import annotations

import numpy as np

from glasscan.filters.filter_data import HousingData, PassageData
from glasscan.filters.layout import SideOpening
from glasscan.filters.named_parts import Outline, Part, block
from glasscan.filters.network import MinorLoss
from glasscan.filters.passages import Duct
from glasscan.flow.shapes import Shape, box, common, ellipse, union

MM = 1e-3
BIG = 1.0  # m: beyond every filter
ARC_POINTS = 32
RIM_MM = 4.0  # of the head outside the bowl
BOSS_MM, BOSS_WALL_MM = 6.0, 3.0  # of the boss round a port
LAP_MM = 6.0  # of the head over the rim of the bowl


def bowl_and_gallery(house: HousingData) -> Shape:
    """Inside of bowl and gallery, before anything stands in it."""
    bowl, floor = house.bowl_radius_mm * MM, house.bowl_round_mm * MM
    roof = house.gallery_top_mm * MM
    return union(
        box(-BIG, bowl, floor, house.head_bottom_mm * MM),
        common(ellipse(0, floor, bowl, floor), box(-BIG, bowl, -BIG, house.head_bottom_mm * MM)),
        box(house.gallery_inner_mm * MM, bowl, floor, roof),
    )


def bore(house: HousingData, from_m: float) -> Shape:
    """Outlet bore around bolt or shaft, from a height to the roof of the outlet port."""
    return box(house.bolt_radius_mm * MM, house.outlet_radius_mm * MM, from_m, house.outlet_top_mm * MM)


def outside_mm(house: HousingData) -> float:
    """Radius of the head's outside, mm."""
    return house.bowl_radius_mm + house.bowl_wall_mm + RIM_MM


def inlet_opening(house: HousingData, passage: PassageData) -> SideOpening:
    """Bore from the left side of the head into the gallery, as high as the valve passage opposite."""
    ends = passage.bottom_mm * MM, passage.top_mm * MM
    end = (outside_mm(house) + BOSS_MM) * MM
    return SideOpening(house.bowl_radius_mm * MM, *ends, inward=-1, side=-1, end_r=end)


def outlet_opening(house: HousingData) -> SideOpening:
    """Bore from the middle to the right side of the head, above the gallery."""
    ends = house.outlet_bottom_mm * MM, house.outlet_top_mm * MM
    end = (outside_mm(house) + BOSS_MM) * MM
    return SideOpening(house.outlet_radius_mm * MM, *ends, inward=-1, side=1, end_r=end)


def valve_duct(house: HousingData, passage: PassageData) -> Duct:
    """Passage through the head's core, from gallery to bore."""
    return Duct(
        house.gallery_inner_mm * MM, house.outlet_radius_mm * MM, passage.bottom_mm * MM, passage.top_mm * MM
    )


def head_losses(
    house: HousingData, passage: PassageData, inlet_k: float, outlet_k: float
) -> tuple[MinorLoss, ...]:
    """Inertial losses where the oil enters the gallery, and of the bore that it leaves by.

    The differential is taken in the head, from gallery to bore: what the ports outside lose is not in it.
    """
    entry = inlet_opening(house, passage).area_m2
    mouth = float(np.pi * (house.outlet_radius_mm**2 - house.bolt_radius_mm**2) * MM**2)
    return MinorLoss("inlet", inlet_k, entry, "inlet"), MinorLoss("outlet", outlet_k, mouth, "outlet")


def radial_marks(house: HousingData) -> list[tuple[float, float]]:
    """Grid marks along r that the head asks for: (place, largest cell), mm."""
    return [
        (0.0, 1.0),
        (house.bolt_radius_mm, 0.5),
        (house.outlet_radius_mm, 0.75),
        (house.core_radius_mm, 0.75),
        (house.gallery_inner_mm, 0.75),
    ]


def axial_marks(house: HousingData, passage: PassageData) -> list[tuple[float, float]]:
    """Grid marks along z that the head asks for, mm."""
    return [
        (house.head_bottom_mm, 0.75),
        (passage.bottom_mm, 0.75),
        (passage.top_mm, 0.75),
        (house.gallery_top_mm, 0.75),
        (house.outlet_bottom_mm, 0.75),
    ]


def housing_parts(house: HousingData, passage: PassageData) -> tuple[Part, ...]:
    """Head, bowl and the ring between them."""
    return _head(house, passage), _left_of_head(house, passage), _bowl(house), _ring(house)


def _head(house: HousingData, passage: PassageData) -> Part:
    """The head on the right: valve passage and outlet are bored here, its outer wall is solid."""
    out, bowl, bore_r, gallery, bolt = _radii(house)
    outlines = (
        block(bore_r, gallery, house.head_bottom_mm * MM, passage.bottom_mm * MM),
        _outline(
            (bore_r, passage.top_mm), (gallery, passage.top_mm), (gallery, house.gallery_top_mm),
            (bowl, house.gallery_top_mm), (bowl, house.head_bottom_mm - LAP_MM),
            (out, house.head_bottom_mm - LAP_MM), (out, house.outlet_bottom_mm),
            (bore_r, house.outlet_bottom_mm),
        ),
        block(bolt, out, house.outlet_top_mm * MM, house.head_top_mm * MM),
        *_boss(house, house.outlet_bottom_mm, house.outlet_top_mm),
    )  # fmt: skip
    label = ((bowl + out) / 2, (house.head_bottom_mm + house.gallery_top_mm) / 2 * MM)
    about = "Cast head: inlet, outlet and bypass valve; stays on the machine."
    return Part("head", "head", about, "cast", outlines, label, mirrored=False)


def _left_of_head(house: HousingData, passage: PassageData) -> Part:
    """The head on the left: the inlet is bored here, the core is solid (it has no name of its own)."""
    out, bowl, bore_r, gallery, bolt = _radii(house)
    outlines = (
        _outline(
            (bore_r, house.head_bottom_mm), (gallery, house.head_bottom_mm), (gallery, house.gallery_top_mm),
            (bowl, house.gallery_top_mm), (bowl, passage.top_mm), (out, passage.top_mm),
            (out, house.head_top_mm),
            (bolt, house.head_top_mm), (bolt, house.outlet_top_mm), (bore_r, house.outlet_top_mm),
        ),
        block(bowl, out, (house.head_bottom_mm - LAP_MM) * MM, passage.bottom_mm * MM),
        *_boss(house, passage.bottom_mm, passage.top_mm),
    )  # fmt: skip
    about = "Cast head: the inlet is a bore on this side; valve passage and outlet lie on the other."
    return Part("head-left", "", about, "cast", outlines, (gallery, passage.top_mm * MM), left_only=True)


def _boss(house: HousingData, low_mm: float, high_mm: float) -> tuple[Outline, Outline]:
    """Metal under and over a port where it stands out of the head."""
    r0, r1 = outside_mm(house) * MM, (outside_mm(house) + BOSS_MM) * MM
    return (
        block(r0, r1, (low_mm - BOSS_WALL_MM) * MM, low_mm * MM),
        block(r0, r1, high_mm * MM, (high_mm + BOSS_WALL_MM) * MM),
    )


def _radii(house: HousingData) -> tuple[float, float, float, float, float]:
    """Outside, bowl, bore, gallery and bolt, m."""
    sizes = (
        outside_mm(house), house.bowl_radius_mm, house.outlet_radius_mm, house.gallery_inner_mm,
        house.bolt_radius_mm,
    )  # fmt: skip
    return tuple(size * MM for size in sizes)  # type: ignore[return-value]


def _outline(*corners: tuple[float, float]) -> Outline:
    """A closed outline from corners (r in m, z in mm)."""
    return np.array([(r, z * MM) for r, z in corners])


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
