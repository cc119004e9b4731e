"""Named parts of the cartridge filter."""

from __future__ import annotations

from glasscan.filters import headvalve, housing
from glasscan.filters.cartridge.sizes import grommet_height_mm, grommet_radius_mm, seat_radius_mm
from glasscan.filters.filter_data import CartridgeData
from glasscan.filters.named_parts import Part, Spring, block

MM = 1e-3


def cartridge_parts(data: CartridgeData) -> tuple[Part, ...]:
    """Parts from the outside inwards."""
    house, element = data.housing, data.element
    low, high = element.bottom_mm - element.cap_mm, element.top_mm + element.cap_mm
    inner, outer = element.inner_radius_mm, element.outer_radius_mm
    return (
        *housing.housing_parts(house, data.passage),
        _solid("lower-cap", "lower end cap", "Bonded to the pleats.", "steel",
               (inner - element.core_mm, outer, low, element.bottom_mm), outer - 4),
        _solid("lower-grommet", "lower grommet", "Rubber: seals the element on the bolt.", "rubber",
               (house.bolt_radius_mm, inner - element.core_mm, low, element.bottom_mm), inner - 4),
        _solid("medium", "pleated element", f"{element.pleats} pleats: dirt stays outside.", "medium",
               (inner, outer, element.bottom_mm, element.top_mm), (inner + outer) / 2),
        _solid("core", "centre tube", "Perforated steel tube: keeps the pleats from collapsing.", "core",
               (inner - element.core_mm, inner, element.bottom_mm, element.top_mm), inner - 0.5, 0.25),
        _solid("upper-cap", "upper end cap", "Bonded to the pleats.", "steel",
               (house.core_radius_mm, outer, element.top_mm, high), outer - 6),
        _grommet(data),
        _solid("spigot", "spigot of the head", "Carries the upper grommet; clean oil leaves here.",
               "cast", (house.outlet_radius_mm, house.core_radius_mm, element.top_mm, house.head_bottom_mm),
               house.core_radius_mm - 1),
        *_under_the_element(data, low),
        *_bolt(data),
        *headvalve.valve_parts(house, data.passage, data.valve),
    )  # fmt: skip


def _solid(
    key: str,
    name: str,
    about: str,
    material: str,
    size: tuple[float, float, float, float],
    label_r: float,
    label_share: float = 0.5,
) -> Part:
    """A rectangular part from its (r0, r1, z0, z1) in mm."""
    outline = block(*(v * MM for v in size))
    label = (label_r * MM, (size[2] + (size[3] - size[2]) * label_share) * MM)
    return Part(key, name, about, material, (outline,), label)


def _grommet(data: CartridgeData) -> Part:
    high = data.element.top_mm + data.element.cap_mm
    about = "Rubber: seals the element on the spigot; left out or doubled, dirty oil slips past."
    size = (data.housing.core_radius_mm, grommet_radius_mm(data), high, high + grommet_height_mm(data))
    return _solid("upper-grommet", "upper grommet", about, "rubber", size, size[1] - 1)


def _under_the_element(data: CartridgeData, low: float) -> tuple[Part, ...]:
    house = data.housing
    size = (house.bolt_radius_mm, seat_radius_mm(data), low - data.support_mm, low)
    seat = _solid(
        "spring-seat", "spring seat and washer", "Spreads the push of the spring.", "steel", size, size[1] - 2
    )
    top = low - data.support_mm
    spring = Spring(11.0 * MM, 1.8 * MM, 4.0 * MM, top * MM, 4)
    about = "Presses the element up against the spigot."
    label = (11.0 * MM, top * 0.6 * MM)
    return seat, Part("hold-spring", "element spring", about, "spring", (), label, spring=spring)


def _bolt(data: CartridgeData) -> tuple[Part, ...]:
    house = data.housing
    radius, wall = house.bolt_radius_mm, house.bowl_wall_mm
    shank = block(0, radius * MM, -wall * MM, (house.head_top_mm + 4) * MM)
    head = block(0, radius * 2.2 * MM, (-wall - 7) * MM, (-wall - 1.5) * MM)
    washer = block(0, radius * 2.4 * MM, (-wall - 1.5) * MM, -wall * MM)
    low = (radius * 1.5 * MM, (-wall - 4) * MM)
    about = "Holds bowl and element to the head; torque as the manual says, then lockwire."
    bolt = Part("bolt", "through-bolt", about, "steel", (shank, head), low)
    edge = (radius * 2.3 * MM, (-wall - 0.7) * MM)
    ring = Part("washer", "sealing washer", "Soft metal: new at every fitting.", "rubber", (washer,), edge)
    return bolt, ring
