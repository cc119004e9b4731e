"""One part in the light: all others dimmed, its name and what it does beside it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.contract import Array, Part, Section
from glasscan.window.cutaway.part_labels import Label, shown_name
from glasscan.window.cutaway.section_view import View
from glasscan.window.lesson.window_layout import LARGE_TEXT

DIM = 165  # of 255: how dark the rest becomes
EDGE_DP = 4


def top_down(section: Section) -> list[Part]:
    """Parts that have a name, from the top of the picture to its foot."""
    return sorted((p for p in section.parts if p.name), key=lambda p: -p.label_at[1])


def polygons(part: Part, view: View, lift_m: float) -> list[Array]:
    """Pixel polygons (n, 2) of a part on its sides of the axis, where it stands at a lift."""
    sides = (-1,) if part.left_only else (1, -1) if part.mirrored else (1,)
    shift = lift_m * np.asarray(part.direction) if part.lifts else np.zeros(2)
    outlines = [np.asarray(outline, dtype=float) + shift for outline in part.outlines]
    found = [view.points(outline, side) for outline in outlines for side in sides]
    if part.spring is not None:
        found += [view.points(_hull(part), side) for side in (sides if part.spring.along_r else (1,))]
    return found


def _hull(part: Part) -> Array:
    """The room that a spring takes up, in (r, z), m."""
    coil = part.spring
    assert coil is not None
    out, ends = coil.radius_m + coil.wire_m, (coil.fixed_z_m, coil.free_z_m)
    if coil.along_r:
        low, high = (min(ends), coil.at_z_m - out), (max(ends), coil.at_z_m + out)
    else:
        low, high = (-out, min(ends)), (out, max(ends))  # about the axis: one room for both halves
    return np.array([low, (high[0], low[1]), high, (low[0], high[1])])


def holds(polygon: Array, at: tuple[float, float]) -> bool:
    """True where a point lies inside a polygon (n, 2), by counting edges to its right."""
    x, y = at
    a, b = polygon, np.roll(polygon, -1, axis=0)
    between = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(between, b[:, 1] - a[:, 1], 1.0)
    cross_x = a[:, 0] + (y - a[:, 1]) / rise * (b[:, 0] - a[:, 0])
    return bool(np.count_nonzero(between & (x < cross_x)) % 2)


def frame_part(canvas: Canvas, part: Part, view: View, lift_m: float) -> None:
    """A frame along the edges of a part."""
    old = canvas.surface.get_clip()
    canvas.surface.set_clip(view.area)
    for polygon in polygons(part, view, lift_m):
        for width, colour in ((EDGE_DP + 4, "paper"), (EDGE_DP, "accent")):
            pygame.draw.lines(canvas.surface, canvas.theme[colour], True, polygon.tolist(), canvas.dp(width))
    canvas.surface.set_clip(old)


class Spotlight:
    """Which part is in the light, if any."""

    def __init__(self, section: Section) -> None:
        self.section = section
        self.key = ""
        self._veil: tuple[object, pygame.Surface] | None = None

    @property
    def part(self) -> Part | None:
        """The part in the light."""
        return next((p for p in self.section.parts if p.key == self.key), None)

    def toggle(self) -> None:
        """Begin with the first part, or end."""
        parts = top_down(self.section)
        self.key = "" if self.key or not parts else parts[0].key

    def move(self, by: int) -> None:
        """The next part down, or up."""
        keys = [p.key for p in top_down(self.section)]
        self.key = keys[(keys.index(self.key) + by) % len(keys)]

    def point(self, at: tuple[int, int], view: View, lift_m: float, placed: Sequence[Label]) -> bool:
        """Light the part under a pixel, its name, or the dot of a name near by; False where there is none."""
        by_name = {shown_name(p): p.key for p in self.section.parts if p.name}
        named = next((one for one in placed if one.box.collidepoint(at)), None)
        key = by_name.get(named.text) if named else None
        for part in reversed([p for p in self.section.parts if p.name]):
            if key is None and any(holds(polygon, at) for polygon in polygons(part, view, lift_m)):
                key = part.key
        self.key = key or self.key
        return key is not None

    def draw(self, canvas: Canvas, view: View, lift_m: float) -> None:
        """Dim the cutaway but for the part, and frame it."""
        part = self.part
        if part is None:
            return
        found = polygons(part, view, lift_m)
        key = (self.key, tuple(view.area), view.px_m, canvas.theme.name, round(4 * lift_m * view.px_m))
        if self._veil is None or self._veil[0] != key:
            veil = pygame.Surface(view.area.size, pygame.SRCALPHA)
            veil.fill((*canvas.theme["paper"], DIM))
            for polygon in found:
                pygame.draw.polygon(veil, (0, 0, 0, 0), (polygon - view.area.topleft).tolist())
            self._veil = key, veil
        canvas.surface.blit(self._veil[1], view.area)
        frame_part(canvas, part, view, lift_m)

    def draw_card(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Name of the part, what it does, and the way on."""
        part = self.part
        if part is None:
            return
        canvas.panel(box, "sheet", "edge", 12, 2)
        inner = box.inflate(-canvas.dp(36), -canvas.dp(24))
        name = shown_name(part)
        h = canvas.measure(name, "title", True, inner.w)[1]
        head = pygame.Rect(inner.x, inner.y, inner.w, h)
        canvas.text(name, head, role="title", bold=True, wrap=True, colour="accent")
        line = canvas.measure("Ag")[1]
        keys = [p.key for p in top_down(self.section)]
        foot = pygame.Rect(inner.x, inner.bottom - line, inner.w, line)
        words = f"←  →  next part ({keys.index(part.key) + 1} of {len(keys)})"
        canvas.text(words, foot, colour="soft", shorten=True)
        room = pygame.Rect(inner.x, head.bottom + canvas.dp(10), inner.w, 0)
        room.h = foot.y - canvas.dp(8) - room.y
        role = "title" if canvas.text_scale <= LARGE_TEXT and self._fits(canvas, part, room) else "body"
        canvas.text(part.about, room, role=role, wrap=True, valign="top")

    def _fits(self, canvas: Canvas, part: Part, room: pygame.Rect) -> bool:
        return canvas.measure(part.about, "title", wrap=room.w)[1] <= room.h
