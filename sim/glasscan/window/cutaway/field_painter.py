"""Pressure as colour: a section's frame through the ramp onto a surface, fast enough for every frame."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pygame
from scipy.ndimage import distance_transform_edt

from glasscan.ui.theme import Theme
from glasscan.window.contract import CLEAN, DIRTY, NONE, Array, Frame, Section
from glasscan.window.cutaway.oil_levels import Levels
from glasscan.window.cutaway.section_view import View

FULL_OF_OIL = Levels()
LINE_ROWS = 1.5  # thickness of the line of the oil's surface, rows of the picture before scaling
CELLS_MAX = 420  # rows of the picture before smooth scaling; more would not be seen


NICE = (1, 1.2, 1.6, 2, 2.4, 3.2, 4, 6, 8, 10)  # full scales whose quarters are round numbers too


def nice_ceiling(value: float) -> float:
    """The next round full scale at or above a positive value."""
    if value <= 0 or not np.isfinite(value):
        return 1.0
    power = 10.0 ** np.floor(np.log10(value))
    return float(next(m * power for m in NICE if m * power >= value * (1 - 1e-9)))


def packed(ramp: Array) -> Array:
    """Ramp (256, 3) as (256,) uint32 0x00RRGGBB."""
    r, g, b = (ramp[:, k].astype(np.uint32) for k in range(3))
    return (r << 16) | (g << 8) | b


class FieldPainter:
    """Paints pressures of one section into the rectangle of its grid in one view."""

    def __init__(self, section: Section, view: View, theme: Theme) -> None:
        self._r, self._z = np.asarray(section.r_edges_m), np.asarray(section.z_edges_m)
        self._view = view
        self.rect = view.box(float(self._r[-1]), float(self._z[0]), float(self._z[-1])).clip(view.area)
        shrink = max(1.0, self.rect.h / CELLS_MAX)
        self._size = max(2, round(self.rect.w / shrink)), max(2, round(self.rect.h / shrink))
        self._lut = packed(theme.ramp)
        self._air, self._line = packed(np.array([theme["air"], theme["ink"]])).tolist()
        self._small = pygame.Surface(self._size, 0, 32)
        self._pixels = np.empty(self._size[::-1], dtype=np.uint32)
        self._samplings: dict[int, Array] = {}

    def _sampling(self, region: Array) -> Array:
        """Cell index of every pixel for this pattern of oil (it changes a little with the valve lift)."""
        key = hash(region.tobytes())
        if key not in self._samplings:
            self._samplings[key] = _sampling(self._r, self._z, region, self.rect, self._size, self._view)
        return self._samplings[key]

    def paint(
        self,
        surface: pygame.Surface,
        frame: Frame,
        low_pa: float,
        span_pa: float,
        values: Array | None = None,
        levels: Levels = FULL_OF_OIL,
    ) -> None:
        """Draw the pressures; `low_pa` is the dark end, `low_pa + span_pa` the light end.

        Other `values` (nz, nr) may be drawn instead, with the ends in their unit. Above its level a side
        shows air.
        """
        shown = np.asarray(frame.pressure_pa if values is None else values)
        level = (shown.ravel() - low_pa) * (255.0 / span_pa)
        index = np.nan_to_num(np.clip(level, 0, 255), nan=0.0).astype(np.uint8)
        np.take(self._lut, index[self._sampling(np.asarray(frame.region))], out=self._pixels)
        self.drawn_z: dict[str, float] = {}
        if not levels.full:
            self._let_air_in(np.asarray(frame.region), levels)
        self._copy()
        target = surface.subsurface(self.rect.clip(surface.get_rect()))
        pygame.transform.smoothscale(self._small, target.get_size(), target)

    def colours(self, values: Array, low: float, span: float, dry: Array) -> Array:
        """(n, 3) colours of some values on a scale; air where it is dry."""
        index = np.nan_to_num(np.clip((values - low) * (255.0 / span), 0, 255), nan=0.0).astype(np.uint8)
        told = np.where(dry, self._air, self._lut[index]).astype(np.uint32)
        return np.stack([told >> 16 & 255, told >> 8 & 255, told & 255], axis=1).astype(np.uint8)

    def _let_air_in(self, region: Array, levels: Levels) -> None:
        """Air over each level, and the surface of the oil as a bright line; notes where it was drawn."""
        h = self._size[1]
        y = self.rect.y + (np.arange(h) + 0.5) * self.rect.h / h
        z = ((self._view.zero_y - y) / self._view.px_m)[:, None]
        w = self._size[0]
        x = self.rect.x + (np.arange(w) + 0.5) * self.rect.w / w
        x = ((x - self._view.axis_x) / self._view.px_m)[None, :]
        here = region.ravel()[self._sampling(region)]
        dry = levels.dry(here, z, x)
        thick = LINE_ROWS * self.rect.h / h / self._view.px_m
        near = replace(levels, dirty_z=levels.dirty_z - thick, clean_z=levels.clean_z - thick)
        self._pixels[near.dry(here, z, x)] = self._line
        self._pixels[dry] = self._air
        up = np.broadcast_to({"dome-up": z, "dome-down": -z}.get(levels.hangs, x), here.shape)
        for name, code, level in (("dirty", DIRTY, levels.dirty_z), ("clean", CLEAN, levels.clean_z)):
            if np.isfinite(level):
                wet = up[(here == code) & ~dry]
                half = 0.5 * self.rect.h / h / self._view.px_m
                self.drawn_z[name] = float(wet.max()) + half if len(wet) else -np.inf

    def _copy(self) -> None:
        """Put the packed pixels into the small surface, row by row."""
        pygame.surfarray.pixels2d(self._small).T[...] = self._pixels


def _sampling(
    r: Array, z: Array, region: Array, rect: pygame.Rect, size: tuple[int, int], view: View
) -> Array:
    """Flat cell index for every pixel of the small picture; cells without oil borrow the nearest oil."""
    w, h = size
    ys = view.zero_y - (rect.y + (np.arange(h) + 0.5) * rect.h / h)
    xs = np.abs(rect.x + (np.arange(w) + 0.5) * rect.w / w - view.axis_x)
    iz = np.clip(np.searchsorted(z, ys / view.px_m) - 1, 0, len(z) - 2)
    ir = np.clip(np.searchsorted(r, xs / view.px_m) - 1, 0, len(r) - 2)
    near = distance_transform_edt(region == NONE, return_distances=False, return_indices=True)
    flat = near[0] * region.shape[1] + near[1]
    return np.ascontiguousarray(flat[np.ix_(iz, ir)])


def oil_mask(section: Section, wet: Array, view: View, rect: pygame.Rect, grow: float = 1.5) -> Array:
    """True for the pixels (w, h) of `rect` that may show oil.

    `wet` (nz, nr) is grown by `grow` cells, so that the colours reach under the edges of the parts.
    """
    r, z = np.asarray(section.r_edges_m), np.asarray(section.z_edges_m)
    distance = distance_transform_edt(~wet)
    ys = (view.zero_y - (rect.y + np.arange(rect.h) + 0.5)) / view.px_m
    xs = np.abs(rect.x + np.arange(rect.w) + 0.5 - view.axis_x) / view.px_m
    iz, ir = np.searchsorted(z, ys) - 1, np.searchsorted(r, xs) - 1
    inside = ((iz >= 0) & (iz < len(z) - 1))[:, None] & ((ir >= 0) & (ir < len(r) - 1))[None, :]
    cells = distance[np.ix_(np.clip(iz, 0, len(z) - 2), np.clip(ir, 0, len(r) - 2))]
    return np.asarray((inside & (cells <= grow)).T)
