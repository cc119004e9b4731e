"""The heap of sludge in the bowl: a ring below the edge of the discs that holds the volume of the books."""

from __future__ import annotations

from functools import cached_property

import numpy as np
import pygame

from glasscan.ui.theme import Theme
from glasscan.window.contract import Array, Section
from glasscan.window.cutaway.section_view import View

RASTER_M = 2.5e-4  # the floor of the bowl is looked up so finely
SLOPE = 0.36  # tan of 20 degrees, repose of settled sludge under oil; common practice, no source
BESIDE_M = 2.5e-3  # the crest lies so far outside the edge of the discs, from which the flakes fall
HALVINGS = 40
GRAINS = 900  # specks in a full picture of sludge; they only tell it from metal
SEED = 5


class SludgeBed:
    """The room for sludge in one filter's bowl, and the surface that a volume takes in it."""

    def __init__(self, section: Section) -> None:
        self._section = section
        self.crest_m = section.layout.r_dirty + BESIDE_M  # type: ignore[attr-defined]

    @cached_property
    def _room(self) -> tuple[Array, Array, Array]:
        """Radii (n,), and the lowest and highest oil of the bowl over each, (n,) both, m."""
        section = self._section
        low = float(section.z_edges_m[0])
        high = float(section.layout.bands[-1][1])  # type: ignore[attr-defined]
        r = np.arange(RASTER_M / 2, float(section.r_edges_m[-1]), RASTER_M)
        z = np.arange(low + RASTER_M / 2, high, RASTER_M)
        grid = np.stack(np.meshgrid(r, z, indexing="ij"), axis=-1)
        oil = section.in_oil(grid.reshape(-1, 2)).reshape(len(r), len(z))  # type: ignore[attr-defined]
        there = oil.any(axis=1)
        first = np.argmax(oil, axis=1)
        shut = ~oil & (np.arange(len(z))[None, :] > first[:, None])
        last = np.where(shut.any(axis=1), np.argmax(shut, axis=1), len(z))
        return r[there], z[first[there]] - RASTER_M / 2, z[0] + (last[there] - 0.5) * RASTER_M

    def top_m(self, crest_z: float) -> tuple[Array, Array]:
        """Radii and heights (n,) of the surface whose crest lies at a height, m."""
        r, floor, roof = self._room
        top = crest_z - SLOPE * np.abs(r - self.crest_m)
        return r, np.clip(top, floor, roof)

    def volume_m3(self, r: Array, top: Array) -> float:
        """Volume under a surface, all round the axis, m3."""
        known, floor, _ = self._room
        deep = np.maximum(np.interp(known, r, top) - floor, 0.0)
        return float((2 * np.pi * known * deep).sum() * RASTER_M)

    def surface(self, volume_m3: float) -> tuple[Array, Array]:
        """The surface under which a volume lies; of the whole room where that is less."""
        low, high = float(self._room[1].min()), float(self._room[2].max()) + 0.05
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            if self.volume_m3(*self.top_m(middle)) < volume_m3:
                low = middle
            else:
                high = middle
        return self.top_m((low + high) / 2)


class HeapPainter:
    """Draws the heap in one view."""

    def __init__(self, section: Section, view: View, theme: Theme, scale: float) -> None:
        self.bed, self.view, self.theme, self.scale = SludgeBed(section), view, theme, scale
        random = np.random.default_rng(SEED)
        self._specks = random.random((GRAINS, 2))
        self._kept: tuple[int, list[Array]] | None = None
        self.drawn_mm3 = 0.0

    def draw(self, surface: pygame.Surface, volume_m3: float) -> None:
        """Draw a volume of sludge on both sides, under the metal that hides the rest."""
        key = round(volume_m3 * 1e9)
        self.drawn_mm3 = 0.0
        if key <= 0:
            return
        if self._kept is None or self._kept[0] != key:
            r, top = self.bed.surface(volume_m3)
            self._kept = key, [self.view.points(np.stack([r, top], axis=1), side) for side in (1, -1)]
        foot = self.view.zero_y - float(self.bed._room[1].min()) * self.view.px_m + 2
        for line in self._kept[1]:
            shape = [*line.tolist(), (float(line[-1, 0]), foot), (float(line[0, 0]), foot)]
            pygame.draw.polygon(surface, self.theme["sludge"], shape)
            pygame.draw.lines(
                surface, self.theme["sludge-edge"], False, line.tolist(), max(2, round(2 * self.scale))
            )
            self._draw_specks(surface, line, foot)
        line = self._kept[1][0]
        r = (line[:, 0] - self.view.axis_x) / self.view.px_m
        self.drawn_mm3 = 1e9 * self.bed.volume_m3(r, (self.view.zero_y - line[:, 1]) / self.view.px_m)

    def _draw_specks(self, surface: pygame.Surface, line: Array, foot: float) -> None:
        """Specks that tell sludge from metal; each keeps its place in the bowl."""
        order = np.argsort(line[:, 0])
        x0, x1 = float(line[order[0], 0]), float(line[order[-1], 0])
        x = x0 + self._specks[:, 0] * (x1 - x0)
        top = np.interp(x, line[order, 0], line[order, 1])
        y = foot - self._specks[:, 1] * 40.0 * self.scale
        size = max(1, round(1.6 * self.scale))
        for px, py in zip(x[y > top + size].tolist(), y[y > top + size].tolist(), strict=True):
            surface.fill(self.theme["sludge-edge"], (round(px), round(py), size, size))
