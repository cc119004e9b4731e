"""Cut parts as an engineer draws them: filled, hatched, outlined, smooth; cached as one layer per size."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pygame

from glasscan.ui.theme import Material, Theme
from glasscan.window.contract import Array, Coil, Part, Section
from glasscan.window.cutaway.section_view import View, all_points

HATCH_DP = 0.6  # width of a hatch line: there, but not the first thing seen
SUPER = 3  # supersampling of the parts
PLEATED = ("medium", "paper")
COIL = "spring"
TURNED = ("handle", "blades", "blade-post")  # of a scraper: see `scraper_drawing`
CORE = "core"
HOLE_PITCH_M = 7e-3  # holes of a perforated wall as drawn; the flow takes the wall as open
HOLE_M = 3.5e-3
TOUCH_M = 5e-4  # a spring end nearer than this to a part rests on it
THIN_EDGES = 2.0  # widths of an edge
AXIS_M = 1e-6  # an outline point nearer to the axis than this lies on it


def is_pleated(part: Part) -> bool:
    """True where the part is a pleated medium."""
    return part.material in PLEATED


def movers(section: Section) -> list[Part]:
    """The valve and the spring under it, the spring first."""
    valve = [p for p in section.parts if p.lifts]
    springs = [p for p in section.parts if p.spring is not None and _rests_on(p.spring, valve)]
    return springs + valve


def _rests_on(coil: Coil, valve: list[Part]) -> bool:
    """True where the spring's free end touches a part that lifts."""
    if not valve:
        return False
    every = all_points(valve)
    low, high = every.min(axis=0) - TOUCH_M, every.max(axis=0) + TOUCH_M
    if coil.along_r:
        return bool(low[0] <= coil.free_z_m <= high[0] and low[1] <= coil.at_z_m <= high[1])
    return bool(coil.radius_m <= high[0] and low[1] <= coil.free_z_m <= high[1])


def still_parts(section: Section) -> list[Part]:
    """Parts that do not move with the valve, nor are drawn as the handle of a scraper turns."""
    moving = {p.key for p in movers(section)} | set(TURNED)
    return [p for p in section.parts if p.key not in moving]


def parts_layer(
    parts: list[Part], view: View, rect: pygame.Rect, theme: Theme, scale: float
) -> pygame.Surface:
    """The given parts, both halves, smooth, on a transparent surface the size of `rect`."""
    big = pygame.Surface((rect.w * SUPER, rect.h * SUPER), pygame.SRCALPHA)
    big.fill((*theme["outline"], 0))
    local = view.shifted(rect.x, rect.y)
    zoomed = View(local.axis_x * SUPER, local.zero_y * SUPER, view.px_m * SUPER, big.get_rect())
    for part in parts:
        draw_part(big, part, zoomed, theme, scale * SUPER)
    return pygame.transform.smoothscale(big, rect.size)


def draw_part(
    surface: pygame.Surface, part: Part, view: View, theme: Theme, scale: float, lift_m: float = 0.0
) -> None:
    """Draw one part on its sides of the axis, moved by the lift where it moves."""
    sides = (-1,) if part.left_only else (1, -1) if part.mirrored else (1,)
    if part.spring is not None:
        draw_spring(surface, part.spring, lift_m, view, theme, scale, sides)
    material = theme.material(part.material)
    shift = lift_m * np.asarray(part.direction) if part.lifts else np.zeros(2)
    for whole in part.outlines:
        moved = np.asarray(whole, dtype=float) + shift
        for outline in perforated(moved) if part.material == CORE else [moved]:
            for side in sides if not part.ghost else ():
                _fill(surface, view.points(outline, side), is_pleated(part), material, scale)
            for side in () if _is_thin(outline, view, scale) else sides:
                _stroke(surface, outline, view, side, theme["outline"], scale, part.ghost)


def _is_thin(outline: Array, view: View, scale: float) -> bool:
    """A sheet no thicker than its own edges: outlined, a stack of such discs would be one block of ink."""
    return bool(np.ptp(outline, axis=0).min() * view.px_m < THIN_EDGES * 2.0 * scale)


def _fill(surface: pygame.Surface, points: Array, pleated: bool, material: Material, scale: float) -> None:
    (_pleats if pleated else _hatched)(surface, points, material, scale)


def perforated(outline: Array) -> list[Array]:
    """A wall cut through its row of holes: the metal left between them along its longer side, m."""
    low, high = outline.min(axis=0), outline.max(axis=0)
    along = int(np.argmax(high - low))
    length = float(high[along] - low[along])
    holes = max(1, round(length / HOLE_PITCH_M))
    middles = low[along] + length * (np.arange(holes) + 0.5) / holes
    starts = [float(low[along]), *(middles + HOLE_M / 2)]
    ends = [*(middles - HOLE_M / 2), float(high[along])]
    pieces = []
    for start, end in zip(starts, ends, strict=True):
        one, other = low.copy(), high.copy()
        one[along], other[along] = start, end
        pieces.append(np.array([one, (other[0], one[1]), other, (one[0], other[1])]))
    return pieces


def _mask_surface(points: Array, size: tuple[int, int], corner: tuple[int, int]) -> pygame.Surface:
    mask = pygame.Surface(size, pygame.SRCALPHA)
    pygame.draw.polygon(mask, (255, 255, 255, 255), [(x - corner[0], y - corner[1]) for x, y in points])
    return mask


def _bounds(points: Array, surface: pygame.Surface) -> pygame.Rect:
    low, high = np.floor(points.min(axis=0)).astype(int) - 1, np.ceil(points.max(axis=0)).astype(int) + 2
    return pygame.Rect(*low, *(high - low)).clip(surface.get_rect().inflate(4, 4))


def _hatched(surface: pygame.Surface, points: Array, material: Material, scale: float) -> None:
    box = _bounds(points, surface)
    if box.w < 1 or box.h < 1:
        return
    ink = pygame.Surface(box.size, pygame.SRCALPHA)
    ink.fill((*material.fill, 255))
    _shade(ink, box, material)
    _hatch_lines(ink, box, material, scale)
    ink.blit(_mask_surface(points, box.size, box.topleft), (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    surface.blit(ink, box)


def _shade(ink: pygame.Surface, box: pygame.Rect, material: Material) -> None:
    """A little light from the left top, so that the fill is not dead flat."""
    light = pygame.Surface((2, 2), pygame.SRCALPHA)
    tones = ((1.06, 1.0), (0.97, 0.9))
    for y, row in enumerate(tones):
        for x, tone in enumerate(row):
            light.set_at((x, y), tuple(min(255, round(c * tone)) for c in material.fill))
    ink.blit(pygame.transform.smoothscale(light, box.size), (0, 0))


def _hatch_lines(ink: pygame.Surface, box: pygame.Rect, material: Material, scale: float) -> None:
    """Parallel lines at the material's angle, in step over the whole drawing."""
    pitch = max(4, material.pitch * scale)
    slope = np.tan(np.radians(material.angle))
    run = box.h / max(abs(slope), 0.1)
    first = (box.x - run) - ((box.x - run) + (box.y / slope if slope else 0)) % pitch
    width = max(1, round(HATCH_DP * scale))
    for x in np.arange(first, box.right + run, pitch):
        start, end = (x - box.x, 0), (x - box.x - box.h / slope, box.h)
        pygame.draw.line(ink, material.hatch, start, end, width)


def _pleats(surface: pygame.Surface, points: Array, material: Material, scale: float) -> None:
    """Folds of paper, one side of each in the light, the other in the shade; the pressure shows through."""
    box = _bounds(points, surface)
    ink = pygame.Surface(box.size, pygame.SRCALPHA)
    ink.fill((*material.fill, 118))
    folds = max(6, round(box.w / (material.pitch * 2.2 * scale)))
    width = max(1, round(1.2 * scale))
    pale = tuple(min(255, round(c * 1.08)) for c in material.fill)
    for i in range(folds):
        x, half, end = (round(box.w * (i + share) / folds) for share in (0.0, 0.5, 1.0))
        ink.fill((*pale, 118), pygame.Rect(x, 0, half - x, box.h))
        ink.fill((*material.hatch, 70), pygame.Rect(half, 0, end - half, box.h))
        pygame.draw.line(ink, (*material.hatch, 225), (x, 0), (x, box.h), width)
    ink.blit(_mask_surface(points, box.size, box.topleft), (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    surface.blit(ink, box)


def _stroke(
    surface: pygame.Surface,
    outline: Array,
    view: View,
    side: int,
    colour: tuple[int, int, int],
    scale: float,
    dotted: bool = False,
) -> None:
    """The visible edges: every edge but those on the axis, where the two halves meet; dotted for a ghost."""
    points = view.points(outline, side)
    width = max(1, round(2.0 * scale))
    for i, (a, b) in enumerate(zip(points, np.roll(points, -1, axis=0), strict=True)):
        on_axis = max(outline[i, 0], outline[(i + 1) % len(outline), 0]) <= AXIS_M
        if on_axis:
            continue
        if dotted:
            steps = max(1, int(np.hypot(*(b - a)) / (8 * scale)))
            for share in np.arange(steps + 1) / steps:
                pygame.draw.circle(surface, colour, a + share * (b - a), width * 0.8)
        else:
            pygame.draw.line(surface, colour, a, b, width)
            pygame.draw.circle(surface, colour, b, width / 2)


def coil_points(coil: Coil, drop_m: float) -> Array:
    """Where the section plane cuts the wire, end to end, (2 coils + 1, 2) of (r, z), m.

    The free end moves towards the fixed one by `drop_m`. A spring on the axis has cuts on both sides of
    it: those on the left carry a negative r.
    """
    way = np.sign(coil.fixed_z_m - coil.free_z_m)
    low, high = sorted((coil.fixed_z_m, coil.free_z_m + way * drop_m))
    inset = min(coil.wire_m / 2, max(high - low, 0.0) / 2)  # wire centres stay between the ends
    along = np.linspace(low + inset, high - inset, 2 * coil.coils + 1)
    across = np.where(np.arange(len(along)) % 2 == 0, 1, -1) * coil.radius_m
    if coil.along_r:
        return np.stack([along, coil.at_z_m + across], axis=1)
    return np.stack([across, along], axis=1)


def draw_spring(
    surface: pygame.Surface,
    coil: Coil,
    drop_m: float,
    view: View,
    theme: Theme,
    scale: float,
    sides: tuple[int, ...] = (1,),
) -> None:
    """Coils cut by the section plane: round wire ends on both sides, joined by the wire behind the plane."""
    material = theme.material(COIL)
    wire = max(2.0, coil.wire_m * view.px_m)
    back = tuple(round(0.72 * c) for c in material.fill)
    for side in sides if coil.along_r else (1,):
        points = view.points(coil_points(coil, drop_m), side)
        for a, b in pairwise(points):
            pygame.draw.line(surface, material.hatch, a, b, round(wire + 2.4 * scale))
            pygame.draw.line(surface, back, a, b, max(1, round(wire * 0.9)))
        for p in points:
            pygame.draw.circle(surface, material.hatch, p, wire / 2 + 1.4 * scale)
            pygame.draw.circle(surface, material.fill, p, wire / 2)


def moving_layer(
    section: Section, lift_m: float, view: View, rect: pygame.Rect, theme: Theme, scale: float
) -> pygame.Surface:
    """The valve and its spring at a lift, smooth, on a transparent surface the size of `rect`."""
    big = pygame.Surface((rect.w * SUPER, rect.h * SUPER), pygame.SRCALPHA)
    big.fill((*theme["outline"], 0))
    local = view.shifted(rect.x, rect.y)
    zoomed = View(local.axis_x * SUPER, local.zero_y * SUPER, view.px_m * SUPER, big.get_rect())
    for part in movers(section):
        draw_part(big, part, zoomed, theme, scale * SUPER, lift_m)
    return pygame.transform.smoothscale(big, rect.size)


def moving_rect(section: Section, max_lift_m: float, view: View) -> pygame.Rect:
    """Pixels that the valve and its spring can reach."""
    if not movers(section):
        return pygame.Rect(0, 0, 0, 0)
    every = all_points(movers(section))
    reach = np.abs(every).max(axis=0)[0] + max_lift_m
    box = view.box(float(reach), float(every[:, 1].min()) - max_lift_m, float(every[:, 1].max()) + max_lift_m)
    return box.inflate(8, 8).clip(view.area)
