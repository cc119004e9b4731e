"""The filter of a case from outside: can or bowl, head and pipes, shut; once it is opened, its parts, dry.

Nothing here knows what is wrong. The outline is that of the filter's own parts, turned about the axis; the
pipes are drawn sideways for every kind, so that pump and engine side can be told at a glance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Theme
from glasscan.window.contract import Array, Section
from glasscan.window.cutaway import metal
from glasscan.window.cutaway.port_arrows import arrow
from glasscan.window.cutaway.section_view import View, all_points

OPENS = frozenset({"cut-open", "stack-strip", "bubble-test", "valve-bench"})
"""Tests that open the filter itself."""
MM = 1e-3
HEAD_M = (46 * MM, 24 * MM)  # radius and height of the pad that a spin-on can stands on
PIPE_M, PIPE_LONG_M, NUT_M = 8 * MM, 38 * MM, 12 * MM
BODY_M = 15 * MM  # half the side of the regulator's body on its pipe
LIGHT = (-0.55, 0.83)  # direction of the light, across and towards the eye
JUMP_M = 1.5 * MM  # step of the radius that shows as an edge across
FINE = 2  # supersampling


@dataclass(frozen=True)
class Shape:
    """Outline: `radius_m` at heights `z_m`, both (n,), material at each, height and reach of the pipes."""

    z_m: Array
    radius_m: Array
    material: tuple[str, ...]
    pipe_z_m: float
    pipe_r_m: float


def opened(tests_done: list[str]) -> bool:
    """Whether a test done so far has opened the filter."""
    return not OPENS.isdisjoint(tests_done)


def shape(section: Section, step_m: float = 0.25 * MM) -> Shape:
    """The outline of a filter; a can stands on a pad that its section does not show."""
    outer = [p for p in section.parts if p.mirrored and not p.ghost and p.spring is None and not p.lifts]
    points = all_points(outer)
    low, high = float(points[:, 1].min()), float(points[:, 1].max())
    head = next((p for p in outer if p.key == "head"), None)
    bottom = low if head is not None else low - HEAD_M[1]
    z = np.arange(bottom, high, step_m)
    radius, words = np.zeros(len(z)), np.full(len(z), "cast", dtype=object)
    for part in outer:
        for outline in part.outlines:
            out = reach(np.asarray(outline, dtype=float), z)
            words[out > radius] = part.material
            radius = np.maximum(radius, out)
    if head is None:
        radius[z < low] = HEAD_M[0]
        return Shape(z, radius, tuple(words), low - HEAD_M[1] / 2, HEAD_M[0])
    corner = all_points([head])
    middle = float(corner[:, 1].min() + corner[:, 1].max()) / 2
    return Shape(z, radius, tuple(words), middle, float(corner[:, 0].max()))


def reach(outline: Array, z: Array) -> Array:
    """Largest radius of a closed outline (n, 2) at heights (m,); 0 where it has none."""
    a, b = outline, np.roll(outline, -1, axis=0)
    rise = b[:, 1] - a[:, 1]
    share = (z[:, None] - a[:, 1]) / np.where(rise == 0.0, 1.0, rise)
    inside = (share >= 0.0) & (share <= 1.0) & (rise != 0.0)
    return np.asarray(np.where(inside, a[:, 0] + share * (b[:, 0] - a[:, 0]), 0.0).max(axis=1))


class Outside:
    """Draws the filter shut, and its parts once it is open; pictures are kept by size and theme."""

    def __init__(self, section: Section, regulator_before: bool) -> None:
        self.section, self.before = section, regulator_before
        self.shape = shape(section)
        self._kept: dict[object, pygame.Surface] = {}

    def draw(self, canvas: Canvas, box: pygame.Rect, is_open: bool, running: bool) -> None:
        """Draw into a box: pump at the left, engine at the right."""
        line = canvas.measure("Ag")[1]
        y = box.y if self._on_top() else box.bottom - line
        words = pygame.Rect(box.x, y, box.w, line)
        canvas.text("pump", words, colour="soft")
        canvas.text("engine", words, colour="soft", align="right")
        place = self._place(canvas, box)
        view = self._view(place)
        key = (place.size, canvas.theme.name, is_open)
        if key not in self._kept:
            self._kept[key] = self._picture(canvas, place, view, is_open)
        canvas.surface.blit(self._kept[key], place)
        if running:
            self._flow(canvas, view)

    def _place(self, canvas: Canvas, box: pygame.Rect) -> pygame.Rect:
        """The box without the line of words."""
        line = canvas.measure("Ag")[1]
        return pygame.Rect(box.x, box.y + line * self._on_top(), box.w, box.h - line).inflate(
            0, -canvas.dp(12)
        )

    def _on_top(self) -> bool:
        return self.shape.pipe_z_m > float(self.shape.z_m.mean())

    def _view(self, place: pygame.Rect) -> View:
        s = self.shape
        wide = 2 * (s.pipe_r_m + PIPE_LONG_M)
        low, high = float(s.z_m.min()), float(s.z_m.max())
        px_m = min(place.w / wide, place.h / (high - low))
        spare = place.h - px_m * (high - low)
        return View(place.centerx, place.y + spare / 2 + px_m * high, px_m, place)

    def _picture(self, canvas: Canvas, place: pygame.Rect, view: View, is_open: bool) -> pygame.Surface:
        local = view.shifted(place.x, place.y)
        big = View(local.axis_x * FINE, local.zero_y * FINE, local.px_m * FINE, place)
        surface = pygame.Surface((place.w * FINE, place.h * FINE), pygame.SRCALPHA)
        surface.fill((*canvas.theme["outline"], 0))
        self._pipes(surface, big, canvas.theme)
        _turned(surface, self._pad() if is_open else self.shape, big, canvas.theme)
        small = pygame.transform.smoothscale(surface, place.size)
        if is_open:
            rect = pygame.Rect((0, 0), place.size)
            small.blit(
                metal.parts_layer(list(self.section.parts), local, rect, canvas.theme, canvas.scale), rect
            )
        return small

    def _pad(self) -> Shape:
        """What is left of the outline with the filter open: the pad of a spin-on can."""
        s = self.shape
        low = float(all_points(self.section.parts)[:, 1].min())
        return replace(s, radius_m=np.where(s.z_m < low, s.radius_m, 0.0))

    def inside(self, canvas: Canvas, box: pygame.Rect) -> View:
        """Where `draw` puts the filter into the same box."""
        return self._view(self._place(canvas, box))

    def mark(self, canvas: Canvas, box: pygame.Rect, keys: Sequence[str]) -> None:
        """Rings round parts of the open filter, where `draw` has drawn it into the same box."""
        view = self.inside(canvas, box)
        for part in self.section.parts:
            if part.key in keys:
                x, y = view.points(np.array([part.label_at]))[0]
                for wide, colour in ((canvas.dp(9), "paper"), (canvas.dp(5), "accent")):
                    at = round(float(x)), round(float(y))
                    pygame.draw.circle(canvas.surface, canvas.theme[colour], at, canvas.dp(24), wide)

    def _pipes(self, surface: pygame.Surface, view: View, theme: Theme) -> None:
        s = self.shape
        out = s.pipe_r_m + PIPE_LONG_M
        for side in (-1, 1):
            _rod(surface, view, theme, "aluminium", side, s.pipe_r_m - 6 * MM, out, s.pipe_z_m, PIPE_M)
            _rod(surface, view, theme, "brass", side, s.pipe_r_m, s.pipe_r_m + 6 * MM, s.pipe_z_m, NUT_M)
        side = -1 if self.before else 1
        middle = s.pipe_r_m + 16 * MM
        _rod(surface, view, theme, "cast", side, middle - 7 * MM, middle + 7 * MM, s.pipe_z_m, BODY_M)
        _rod(
            surface,
            view,
            theme,
            "steel",
            side,
            middle - 4 * MM,
            middle + 4 * MM,
            s.pipe_z_m + 20 * MM,
            6 * MM,
        )

    def _flow(self, canvas: Canvas, view: View) -> None:
        """Arrows on both pipes while the engine runs."""
        s = self.shape
        long, wide = round(13 * MM * view.px_m), round(12 * MM * view.px_m)
        picture = pygame.transform.rotate(
            arrow(long, wide, True, canvas.theme["dirty"], canvas.theme["paper"]), -90
        )
        for side in (-1, 1):
            x, y = view.points(np.array([(s.pipe_r_m + PIPE_LONG_M - 7 * MM, s.pipe_z_m)]), side)[0]
            canvas.surface.blit(picture, picture.get_rect(center=(round(x), round(y))))


def _lit(across: Array, fill: tuple[int, int, int]) -> Array:
    """(n, 3) colours of a round body at places -1..1 across it."""
    facing = np.sqrt(np.clip(1.0 - across**2, 0.0, 1.0))
    bright = np.clip(LIGHT[0] * across + LIGHT[1] * facing, 0.0, 1.0)
    tone = 0.30 + 0.72 * bright
    return np.asarray(np.clip(tone[:, None] * np.array(fill) + 70.0 * (bright**24)[:, None], 0, 255))


def _turned(surface: pygame.Surface, s: Shape, view: View, theme: Theme) -> None:
    """The body of revolution, row by row of pixels, with its outline."""
    colours: Any = pygame.surfarray.pixels3d(surface)
    alpha: Any = pygame.surfarray.pixels_alpha(surface)
    w, h = surface.get_size()
    for y in range(h):
        z = (view.zero_y - y - 0.5) / view.px_m
        if not s.z_m[0] <= z <= s.z_m[-1]:
            continue
        k = int(np.searchsorted(s.z_m, z).clip(0, len(s.z_m) - 1))
        radius = float(s.radius_m[k]) * view.px_m
        x0, x1 = max(round(view.axis_x - radius), 0), min(round(view.axis_x + radius), w)
        if x1 - x0 < 2:
            continue
        across = (np.arange(x0, x1) + 0.5 - view.axis_x) / max(radius, 1.0)
        colours[x0:x1, y] = _lit(across, theme.material(s.material[k]).fill)
        alpha[x0:x1, y] = 255
    del colours, alpha
    _edges(surface, s, view, theme)


def _edges(surface: pygame.Surface, s: Shape, view: View, theme: Theme) -> None:
    """The outline on both sides, and a line across wherever the radius jumps."""
    ink, wide = theme.material("steel").hatch, max(2, round(0.5 * MM * view.px_m))
    rim = np.column_stack([np.append(s.radius_m, 0.0), np.append(s.z_m, s.z_m[-1])])
    rim = np.vstack([(0.0, s.z_m[0]), rim])
    for side in (-1, 1):
        pygame.draw.lines(surface, ink, False, view.points(rim, side).tolist(), wide)
    for k in np.flatnonzero(np.abs(np.diff(s.radius_m)) > JUMP_M):
        out = float(max(s.radius_m[k], s.radius_m[k + 1]))
        level = np.array([(out, s.z_m[k])])
        pygame.draw.line(
            surface, ink, view.points(level, -1)[0].tolist(), view.points(level)[0].tolist(), wide
        )


def _rod(
    surface: pygame.Surface, view: View, theme: Theme, material: str, side: int,
    r0: float, r1: float, z: float, half: float,
) -> None:  # fmt: skip
    """A round rod that lies across, from radius r0 to r1 on one side, about a height."""
    ends = view.points(np.array([(r0, z + half), (r1, z - half)]), side)
    x0, x1 = sorted((round(ends[0][0]), round(ends[1][0])))
    box = pygame.Rect(x0, round(ends[0][1]), x1 - x0, round(ends[1][1] - ends[0][1]))
    rows = _lit((np.arange(box.h) + 0.5) / box.h * 2.0 - 1.0, theme.material(material).fill)
    strip = pygame.Surface((1, box.h))
    for y, colour in enumerate(rows):
        strip.set_at((0, y), tuple(int(c) for c in colour))
    surface.blit(pygame.transform.scale(strip, box.size), box)
    pygame.draw.rect(surface, theme.material(material).hatch, box, max(2, round(0.5 * MM * view.px_m)))
