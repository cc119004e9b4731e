"""Named parts of the spin-on can, with outlines from its data."""

from __future__ import annotations

import numpy as np

from glasscan.filters.filter_data import CanData
from glasscan.filters.named_parts import Outline, Part, Spring, block

MM = 1e-3
ARC_POINTS = 48


def can_parts(data: CanData) -> tuple[Part, ...]:
    """Parts from the outside inwards, in the order in which they should be drawn."""
    return (
        _shell(data),
        _base(data),
        _seal(data),
        _bottom_cap(data),
        _medium(data),
        _core(data),
        _top_cap(data),
        _hold_spring(data),
        *_valve_parts(data),
        *((_antidrain(data),) if data.antidrain.fitted else ()),
    )


def _mm(points: list[tuple[float, float]]) -> Outline:
    return np.array(points) * MM


def _dome(radius: float, height: float, top: float) -> list[tuple[float, float]]:
    angle = np.linspace(0, np.pi / 2, ARC_POINTS)
    return [(float(radius * np.cos(a)), float(top + height * np.sin(a))) for a in angle]


def _shell(data: CanData) -> Part:
    shell = data.shell
    inner = _dome(shell.inner_radius_mm, shell.dome_height_mm, shell.straight_top_mm)
    outer = _dome(
        shell.inner_radius_mm + shell.wall_mm, shell.dome_height_mm + shell.wall_mm, shell.straight_top_mm
    )
    foot = [(shell.inner_radius_mm, 0.6), (shell.inner_radius_mm + shell.wall_mm, 0.6)]
    outline = _mm([foot[0], *inner, *reversed(outer), foot[1]])
    label = (shell.inner_radius_mm * MM, shell.straight_top_mm * 0.72 * MM)
    about = "Drawn steel: holds the pressure and the oil."
    return Part("shell", "can (shell)", about, "steel", (outline,), label)


def _base(data: CanData) -> Part:
    base, shell = data.base, data.shell
    hole0 = base.hole_circle_radius_mm - base.hole_mm / 2
    plate = block(base.boss_radius_mm * MM, hole0 * MM, 0, base.plate_mm * MM)
    rim = block((hole0 + base.hole_mm) * MM, shell.inner_radius_mm * MM, 0, base.plate_mm * MM)
    boss_top = data.element.bottom_mm * MM
    boss = block(base.hub_radius_mm * MM, base.boss_radius_mm * MM, 0, boss_top)
    label = ((hole0 + base.hole_mm + 4) * MM, base.plate_mm / 2 * MM)
    about = "Threaded steel plate: dirty oil enters by the ring of holes, clean oil leaves by the hub."
    return Part("base", "base plate and inlet holes", about, "steel", (plate, rim, boss), label)


def _seal(data: CanData) -> Part:
    base = data.base
    r0, r1 = base.seal_radius_mm - base.seal_mm / 2, base.seal_radius_mm + base.seal_mm / 2
    outline = block(r0 * MM, r1 * MM, -base.seal_mm * 0.6 * MM, 0.0)
    about = "Rubber ring between can and mounting face: one ring only, oiled, never two."
    return Part("seal", "seal (gasket)", about, "rubber", (outline,), (r1 * MM, -base.seal_mm * 0.3 * MM))


def _bottom_cap(data: CanData) -> Part:
    element, base = data.element, data.base
    z1 = element.bottom_mm * MM
    outline = block(base.boss_radius_mm * MM, element.outer_radius_mm * MM, z1 - element.cap_mm * MM, z1)
    label = ((element.outer_radius_mm - 4) * MM, z1 - element.cap_mm / 2 * MM)
    return Part(
        "bottom-cap",
        "lower end cap",
        "Bonded to the pleats; seals them on the boss.",
        "steel",
        (outline,),
        label,
    )


def _top_cap(data: CanData) -> Part:
    element, valve = data.element, data.valve
    z0, z1 = element.top_mm * MM, (element.top_mm + element.cap_mm) * MM
    outline = block(valve.seat_mm / 2 * MM, element.outer_radius_mm * MM, z0, z1)
    label = ((element.outer_radius_mm - 6) * MM, (z0 + z1) / 2)
    about = "Bonded to the pleats; its centre hole is the seat of the bypass valve."
    return Part("top-cap", "upper end cap and valve seat", about, "steel", (outline,), label)


def _medium(data: CanData) -> Part:
    element = data.element
    outline = block(
        element.inner_radius_mm * MM,
        element.outer_radius_mm * MM,
        element.bottom_mm * MM,
        element.top_mm * MM,
    )
    middle = (element.inner_radius_mm + element.outer_radius_mm) / 2 * MM
    height = element.bottom_mm + (element.top_mm - element.bottom_mm) * 0.45
    about = f"{element.pleats} pleats of filter paper: dirt stays on the outside of the pleats."
    return Part("medium", "pleated element", about, "medium", (outline,), (middle, height * MM))


def _core(data: CanData) -> Part:
    element = data.element
    r1 = element.inner_radius_mm * MM
    outline = block(r1 - element.core_mm * MM, r1, element.bottom_mm * MM, element.top_mm * MM)
    height = element.bottom_mm + (element.top_mm - element.bottom_mm) * 0.25
    about = "Perforated steel tube: keeps the pleats from collapsing inwards."
    return Part(
        "core", "centre tube", about, "core", (outline,), (r1 - element.core_mm / 2 * MM, height * MM)
    )


def _hold_spring(data: CanData) -> Part:
    element, shell = data.element, data.shell
    z0 = (element.top_mm + element.cap_mm) * MM
    radius = (element.outer_radius_mm + element.inner_radius_mm) / 2
    roof = shell.straight_top_mm + shell.dome_height_mm * np.sqrt(1 - (radius / shell.inner_radius_mm) ** 2)
    spring = Spring(radius * MM, 1.6 * MM, float(roof) * MM, z0, 3)
    label = (radius * MM, (z0 + float(roof) * MM) / 2)
    return Part(
        "hold-spring",
        "hold-down spring",
        "Holds the element down on its boss.",
        "spring",
        (),
        label,
        False,
        spring,
    )


def _valve_parts(data: CanData) -> tuple[Part, ...]:
    valve, top = data.valve, data.element.top_mm
    under = top - valve.poppet_thick_mm
    poppet = block(0.0, valve.poppet_mm / 2 * MM, under * MM, top * MM)
    foot = under - 18.0
    spring = Spring((valve.poppet_mm / 2 - 2.0) * MM, 1.2 * MM, foot * MM, under * MM, 6)
    tube = data.element.inner_radius_mm - data.element.core_mm
    cage = block((valve.poppet_mm / 2 - 3.5) * MM, tube * MM, (foot - 1.2) * MM, foot * MM)
    return (
        Part(
            "valve-cage", "spring cage", "Holds the foot of the spring; oil passes through its windows.",
            "core", (cage,), ((valve.poppet_mm / 2 + 2) * MM, (foot - 0.6) * MM),
        ),
        Part(
            "valve-spring", "bypass spring", "Sets the differential pressure at which the valve opens.",
            "spring", (), ((valve.poppet_mm / 2 - 1.0) * MM, (foot + 8) * MM), False, spring,
        ),
        Part(
            "valve-poppet", "bypass valve", "Opens when the dirty side pushes harder than the spring.",
            "steel", (poppet,), (2.0 * MM, (under + 0.5) * MM), True,
        ),
    )  # fmt: skip


def _antidrain(data: CanData) -> Part:
    lip, base, element = data.antidrain, data.base, data.element
    z_boss = element.bottom_mm - element.cap_mm
    z_rim = base.plate_mm + lip.lip_gap_mm + lip.thickness_mm
    r0, r1 = base.boss_radius_mm, lip.lip_radius_mm
    outline = _mm(
        [(r0, z_boss), (r1, z_rim), (r1, z_rim - lip.thickness_mm), (r0, z_boss - lip.thickness_mm)]
    )
    about = "Rubber lip: lets oil in, and keeps it in the can when the engine stops."
    return Part(
        "antidrain", "anti-drain-back valve", about, "rubber", (outline,), ((r1 - 4) * MM, (z_rim + 0.2) * MM)
    )
