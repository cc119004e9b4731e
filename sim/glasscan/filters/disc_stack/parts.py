"""Named parts of the edge-type stacked-disc filter."""

from __future__ import annotations

import numpy as np

from glasscan.filters import headvalve, housing
from glasscan.filters.filter_data import DiscStackData
from glasscan.filters.named_parts import Part, Spring, block

MM = 1e-3
NUT_RADIUS_MM = 9.0
GLAND_MM = 6.0


def disc_parts(data: DiscStackData) -> tuple[Part, ...]:
    """Parts from the outside inwards."""
    return (
        *housing.housing_parts(data.housing, data.passage),
        _drain(data),
        _discs(data),
        _foot(data),
        _tube(data),
        _shaft(data),
        *_blades(data),
        *_stack_spring(data),
        *_handle(data),
        *headvalve.valve_parts(data.housing, data.passage, data.valve),
    )


def _discs(data: DiscStackData) -> Part:
    stack = data.stack
    inner, outer = stack.inner_radius_mm * MM, stack.outer_radius_mm * MM
    lows = stack.bottom_mm * MM + np.arange(stack.gaps + 1) * stack.pitch_m
    outlines = tuple(block(inner, outer, z, z + stack.disc_mm * MM) for z in lows.tolist())
    about = f"{stack.gaps + 1} discs, {stack.gaps} gaps of {stack.gap_um:g} um: what is larger stays outside."
    label = ((inner + outer) / 2, float(lows[len(lows) // 2]))
    return Part("discs", "disc stack", about, "steel", outlines, label)


def _foot(data: DiscStackData) -> Part:
    stack = data.stack
    low = stack.bottom_mm - 3.0
    outline = block(0, stack.outer_radius_mm * MM, low * MM, stack.bottom_mm * MM)
    about = "Closes the hollow centre from below; nut and spring press it against the discs."
    return Part(
        "foot", "foot plate", about, "steel", (outline,), (stack.outer_radius_mm * 0.7 * MM, (low + 1.5) * MM)
    )


def _tube(data: DiscStackData) -> Part:
    house, stack = data.housing, data.stack
    outline = block(
        house.outlet_radius_mm * MM, house.core_radius_mm * MM, stack.top_m, house.head_bottom_mm * MM
    )
    label = (house.core_radius_mm * MM, (stack.top_m + house.head_bottom_mm * MM) / 2)
    return Part(
        "tube", "outlet tube", "Leads clean oil from the stack to the head.", "cast", (outline,), label
    )


def _shaft(data: DiscStackData) -> Part:
    house = data.housing
    radius = data.scraper.shaft_radius_mm * MM
    outline = block(0, radius, nut_mm(data)[0] * MM, (house.head_top_mm + 14) * MM)
    about = "Turns the discs; the handle drives it through a gland."
    return Part("shaft", "shaft", about, "steel", (outline,), (radius / 2, (house.head_top_mm + 4) * MM))


def nut_mm(data: DiscStackData) -> tuple[float, float]:
    """Height of the lower and upper face of the stack nut, mm: it leaves room for its spring."""
    deep = min(14.0, data.stack.bottom_mm - 1.0)
    low = data.stack.bottom_mm - deep
    return low, low + 3.0 * deep / 14.0


def _stack_spring(data: DiscStackData) -> tuple[Part, ...]:
    low, high = nut_mm(data)
    nut = block(0, NUT_RADIUS_MM * MM, low * MM, high * MM)
    foot = data.stack.bottom_mm - 3.0
    spring = Spring((NUT_RADIUS_MM - 2.0) * MM, 1.6 * MM, high * MM, foot * MM, 2)
    about = "Presses the discs together through its spring; a loose one lets all gaps open."
    label = (NUT_RADIUS_MM * 0.8 * MM, (low + high) / 2 * MM)
    return (
        Part("stack-nut", "stack nut and spring", about, "steel", (nut,), label),
        Part("stack-spring", "", "Keeps the stack tight.", "spring", (), label, spring=spring),
    )


def _blades(data: DiscStackData) -> tuple[Part, ...]:
    stack, scraper = data.stack, data.scraper
    post0, post1 = scraper.post_at_mm - scraper.post_radius_mm, scraper.post_at_mm + scraper.post_radius_mm
    post = block(post0 * MM, post1 * MM, (stack.bottom_mm - 2) * MM, data.housing.head_bottom_mm * MM)
    lows = (stack.bottom_mm + stack.disc_mm) * MM + np.arange(stack.gaps) * stack.pitch_m
    reach = (stack.inner_radius_mm + 1.0) * MM
    blades = tuple(block(reach, post0 * MM, z, z + stack.gap_um * 1e-6) for z in lows.tolist())
    label = (scraper.post_at_mm * MM, (stack.bottom_mm + 6) * MM)
    about = "One thin blade stands still in every gap: turning the discs combs the dirt off."
    return (
        Part(
            "blade-post",
            "blade post",
            "Carries the scraper blades.",
            "steel",
            (post,),
            label,
            mirrored=False,
            ghost=True,
        ),
        Part(
            "blades",
            "scraper blades",
            about,
            "steel",
            blades,
            (post0 * MM, float(lows[-8])),
            mirrored=False,
            ghost=True,
        ),
    )


def _handle(data: DiscStackData) -> tuple[Part, ...]:
    house, scraper = data.housing, data.scraper
    top = house.head_top_mm + 10
    bar = block(0, scraper.handle_mm / 2 * MM, top * MM, (top + 4) * MM)
    gland = block(
        scraper.shaft_radius_mm * MM,
        house.outlet_radius_mm * 1.3 * MM,
        house.head_top_mm * MM,
        (house.head_top_mm + GLAND_MM) * MM,
    )
    return (
        *_cover(data),
        Part("gland", "gland and packing", "Seals the turning shaft.", "rubber", (gland,),
             (house.outlet_radius_mm * MM, (house.head_top_mm + 3) * MM)),
        Part("handle", "handle", "Turn it full turns as marked; never force or extend it.", "steel",
             (bar,), (scraper.handle_mm / 2 * MM - 4 * MM, (top + 2) * MM)),
    )  # fmt: skip


def _cover(data: DiscStackData) -> tuple[Part, ...]:
    house = data.housing
    low, high, top = (z * MM for z in (house.head_top_mm, house.head_top_mm + 3, house.head_top_mm + 6))
    edge, rim, bolt = (
        r * MM
        for r in (house.outlet_radius_mm * 1.3, house.gallery_inner_mm - 1, house.gallery_inner_mm * 0.7)
    )
    plate, head = block(edge, rim, low, high), block(bolt - 2 * MM, bolt + 2 * MM, high, top)
    about = "Carries the gland; its bolts are tightened crosswise."
    label = (rim - 3 * MM, (low + high) / 2)
    return (
        Part("cover", "bolted cover", about, "cast", (plate,), label),
        Part("cover-bolts", "", "Bolts of the cover.", "steel", (head,), (bolt, top)),
    )


def _drain(data: DiscStackData) -> Part:
    wall = data.housing.bowl_wall_mm
    plug = block(0, 5 * MM, (-wall - 4) * MM, 0.5 * MM)
    about = "Open only with the system stopped and at no pressure: the dirt scraped off lies above it."
    return Part("drain", "drain plug", about, "steel", (plug,), (4 * MM, (-wall - 2) * MM))
