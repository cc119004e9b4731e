"""Sizes of the cartridge filter that follow from its data, for its regions and its named parts alike."""

from __future__ import annotations

from glasscan.filters.filter_data import CartridgeData


def grommet_radius_mm(data: CartridgeData) -> float:
    """Outside of the upper grommet, mm."""
    return (data.housing.core_radius_mm + data.element.outer_radius_mm) / 2 - 4.0


def grommet_height_mm(data: CartridgeData) -> float:
    """How far the upper grommet stands above the cap, mm: two thirds of the room under the head."""
    room = data.housing.head_bottom_mm - data.element.top_mm - data.element.cap_mm
    return 2 * room / 3


def seat_radius_mm(data: CartridgeData) -> float:
    """Outside of the spring seat under the element, mm."""
    return data.element.inner_radius_mm + 5.0
