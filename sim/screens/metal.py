"""Cut parts as an engineer draws them: filled, hatched, outlined, smooth; cached as one layer per size."""

from __future__ import annotations

import numpy as np
import pygame

from sim.screens.contract import Array, Part, Section
from sim.screens.theme import Material, Theme
from sim.screens.view import View

SUPER = 3  # supersampling of the parts
PLEATED = ("medium", "paper")
COIL = "spring"
AXIS_M = 1e-6  # an outline point nearer to the axis than this lies on it


def is_pleated(part: Part) -> bool:
    """True where the part is a pleated medium."""
    return part.material in PLEATED


def is_spring(part: Part) -> bool:
    """True where the part is a coil spring, drawn as coils and not as its outline."""
    return part.material == COIL


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


def draw_part(surface: pygame.Surface, part: Part, view: View, theme: Theme, scale: float) -> None:
    """Draw one part on both sides of the axis."""
    material = theme.material(part.material)
    outline = np.asarray(part.outline_m, dtype=float)
    for side in (1, -1):
        points = view.points(outline, side)
        if is_pleated(part):
            _pleats(surface, points, material, scale)
        else:
            _hatched(surface, points, material, scale)
    for side in (1, -1):
        _stroke(surface, outline, view, side, theme["outline"], scale)


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
    width = max(1, round(1.3 * scale))
    for x in np.arange(first, box.right + run, pitch):
        start, end = (x - box.x, 0), (x - box.x - box.h / slope, box.h)
        pygame.draw.line(ink, material.hatch, start, end, width)


def _pleats(surface: pygame.Surface, points: Array, material: Material, scale: float) -> None:
    """Paper let through a little, with the folds seen edge-on, closer towards the outside as they turn away."""
    box = _bounds(points, surface)
    ink = pygame.Surface(box.size, pygame.SRCALPHA)
    ink.fill((*material.fill, 118))
    folds = max(6, round(box.w / (material.pitch * 2.2 * scale)))
    width = max(1, round(1.2 * scale))
    pale = tuple(min(255, round(c * 1.08)) for c in material.fill)
    for i in range(folds):
        x, half, end = (round(box.w * (i + share) / folds) for share in (0.0, 0.5, 1.0))
        ink.fill((*pale, 150), pygame.Rect(x, 0, half - x, box.h))
        ink.fill((*material.hatch, 70), pygame.Rect(half, 0, end - half, box.h))
        pygame.draw.line(ink, (*material.hatch, 225), (x, 0), (x, box.h), width)
    ink.blit(_mask_surface(points, box.size, box.topleft), (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    surface.blit(ink, box)


def _stroke(
    surface: pygame.Surface, outline: Array, view: View, side: int, colour: tuple[int, int, int], scale: float
) -> None:
    """The visible edges: every edge but those on the axis, where the two halves meet."""
    points = view.points(outline, side)
    width = max(1, round(2.0 * scale))
    for i, (a, b) in enumerate(zip(points, np.roll(points, -1, axis=0), strict=True)):
        on_axis = max(outline[i, 0], outline[(i + 1) % len(outline), 0]) <= AXIS_M
        if not on_axis:
            pygame.draw.line(surface, colour, a, b, width)
            pygame.draw.circle(surface, colour, b, width / 2)


def spring_box(spring: Part, moving: list[Part], lift_m: float) -> tuple[float, float, float, float]:
    """The spring's `(r_in, r_out, z_low, z_high)` at a lift; the end next to the valve follows it.

    A bypass valve in the dome end opens downward, so the moving end comes down by the lift.
    """
    outline = np.asarray(spring.outline_m, dtype=float)
    (r_in, low), (r_out, high) = outline.min(axis=0), outline.max(axis=0)
    valve_z = np.mean([np.asarray(p.outline_m)[:, 1].mean() for p in moving]) if moving else high
    if abs(valve_z - low) < abs(valve_z - high):
        return float(r_in), float(r_out), float(low) - lift_m, float(high)
    return float(r_in), float(r_out), float(low), float(high) - lift_m


def draw_spring(
    surface: pygame.Surface, box_m: tuple[float, float, float, float], view: View, theme: Theme, scale: float
) -> None:
    """Coils cut by the section plane: round wire ends on both sides, joined by the wire behind the plane."""
    r_in, r_out, low, high = box_m
    material = theme.material(COIL)
    turns = 5
    mean = r_out * 0.94 if r_in < 0.3 * r_out else (r_in + r_out) / 2
    wire = max(2.0, min((r_out - r_in) * 0.5, (high - low) / (2.4 * turns)) * view.px_m)
    wire_m = wire / view.px_m
    zs = np.linspace(low + wire_m / 2, high - wire_m / 2, 2 * turns + 1)
    sides = np.where(np.arange(2 * turns + 1) % 2 == 0, 1, -1)
    points = [
        (view.axis_x + s * mean * view.px_m, view.zero_y - z * view.px_m)
        for s, z in zip(sides, zs, strict=True)
    ]
    back = tuple(round(0.72 * c) for c in material.fill)
    for a, b in zip(points, points[1:], strict=False):
        pygame.draw.line(surface, theme["shadow"], a, b, round(wire + 3 * scale))
        pygame.draw.line(surface, back, a, b, round(wire))
    for p in points:
        pygame.draw.circle(surface, material.hatch, p, wire / 2 + 1.6 * scale)
        pygame.draw.circle(surface, material.fill, p, wire / 2)


def moving_layer(
    section: Section, lift_m: float, view: View, rect: pygame.Rect, theme: Theme, scale: float
) -> pygame.Surface:
    """The valve and its spring at a lift, smooth, on a transparent surface the size of `rect`."""
    moving = [p for p in section.parts if p.moves and not is_spring(p)]
    big = pygame.Surface((rect.w * SUPER, rect.h * SUPER), pygame.SRCALPHA)
    big.fill((*theme["outline"], 0))
    local = view.shifted(rect.x, rect.y)
    zoomed = View(local.axis_x * SUPER, local.zero_y * SUPER, view.px_m * SUPER, big.get_rect())
    for part in (p for p in section.parts if is_spring(p)):
        draw_spring(big, spring_box(part, moving, lift_m), zoomed, theme, scale * SUPER)
    lowered = View(zoomed.axis_x, zoomed.zero_y + lift_m * zoomed.px_m, zoomed.px_m, zoomed.area)
    for part in moving:
        draw_part(big, part, lowered, theme, scale * SUPER)
    return pygame.transform.smoothscale(big, rect.size)


def moving_rect(section: Section, max_lift_m: float, view: View) -> pygame.Rect:
    """Pixels that the valve and its spring can reach."""
    movers = [p for p in section.parts if p.moves or is_spring(p)]
    if not movers:
        return pygame.Rect(0, 0, 0, 0)
    every = np.vstack([np.asarray(p.outline_m, dtype=float) for p in movers])
    box = view.box(float(every[:, 0].max()), float(every[:, 1].min()) - max_lift_m, float(every[:, 1].max()))
    return box.inflate(8, 8).clip(view.area)
