"""Pressure as colour: a section's frame through the ramp onto a surface, fast enough for every frame."""

from __future__ import annotations

import numpy as np
import pygame
from scipy.ndimage import distance_transform_edt

from sim.screens.contract import NONE, Array, Frame, Section
from sim.screens.theme import Theme
from sim.screens.view import View

CELLS_MAX = 420  # rows of the picture before smooth scaling; more would not be seen


def nice_ceiling(value: float) -> float:
    """The next of 1, 2, 5 x 10^n at or above a positive value."""
    if value <= 0 or not np.isfinite(value):
        return 1.0
    power = 10.0 ** np.floor(np.log10(value))
    return float(next(m * power for m in (1, 2, 5, 10) if m * power >= value * (1 - 1e-9)))


def packed(ramp: Array) -> Array:
    """Ramp (256, 3) as (256,) uint32 0x00RRGGBB."""
    r, g, b = (ramp[:, k].astype(np.uint32) for k in range(3))
    return (r << 16) | (g << 8) | b


class FieldPainter:
    """Paints pressures of one section into the rectangle of its grid in one view."""

    def __init__(self, section: Section, region: Array, view: View, theme: Theme) -> None:
        grid = section.grid
        r, z = np.asarray(grid.r_edges), np.asarray(grid.z_edges)
        self.rect = view.box(float(r[-1]), float(z[0]), float(z[-1])).clip(view.area)
        self._take = _sampling(r, z, np.asarray(region), self.rect, view)
        self._lut = packed(theme.ramp)
        h, w = self._take.shape
        self._small = pygame.Surface((w, h), 0, 32)
        self._pixels = np.empty((h, w), dtype=np.uint32)

    def paint(self, surface: pygame.Surface, frame: Frame, low_pa: float, span_pa: float) -> None:
        """Draw the pressures; `low_pa` is the dark end, `low_pa + span_pa` the light end."""
        level = (np.asarray(frame.pressure_pa).ravel() - low_pa) * (255.0 / span_pa)
        index = np.nan_to_num(np.clip(level, 0, 255), nan=0.0).astype(np.uint8)
        np.take(self._lut, index[self._take], out=self._pixels)
        self._copy()
        target = surface.subsurface(self.rect.clip(surface.get_rect()))
        pygame.transform.smoothscale(self._small, target.get_size(), target)

    def _copy(self) -> None:
        """Put the packed pixels into the small surface, whatever its row length."""
        pitch = self._small.get_pitch() // 4
        flat = np.frombuffer(self._small.get_buffer(), dtype=np.uint32).reshape(-1, pitch)
        flat[:, : self._pixels.shape[1]] = self._pixels


def _sampling(r: Array, z: Array, region: Array, rect: pygame.Rect, view: View) -> Array:
    """Flat cell index for every pixel of the small picture; cells without oil borrow the nearest oil."""
    shrink = max(1.0, rect.h / CELLS_MAX)
    h, w = max(2, round(rect.h / shrink)), max(2, round(rect.w / shrink))
    ys = view.zero_y - (rect.y + (np.arange(h) + 0.5) * rect.h / h)
    xs = np.abs(rect.x + (np.arange(w) + 0.5) * rect.w / w - view.axis_x)
    iz = np.clip(np.searchsorted(z, ys / view.px_m) - 1, 0, len(z) - 2)
    ir = np.clip(np.searchsorted(r, xs / view.px_m) - 1, 0, len(r) - 2)
    near = distance_transform_edt(region == NONE, return_distances=False, return_indices=True)
    flat = near[0] * region.shape[1] + near[1]
    return np.ascontiguousarray(flat[np.ix_(iz, ir)])


def oil_mask(section: Section, region: Array, view: View, rect: pygame.Rect, grow: int = 1) -> Array:
    """True for the pixels (w, h) of `rect` that show oil, grown by `grow` cells to reach under the parts."""
    r, z = np.asarray(section.grid.r_edges), np.asarray(section.grid.z_edges)
    wet = np.asarray(region) != NONE
    distance = distance_transform_edt(~wet)
    ys = (view.zero_y - (rect.y + np.arange(rect.h) + 0.5)) / view.px_m
    xs = np.abs(rect.x + np.arange(rect.w) + 0.5 - view.axis_x) / view.px_m
    iz, ir = np.searchsorted(z, ys) - 1, np.searchsorted(r, xs) - 1
    inside = ((iz >= 0) & (iz < len(z) - 1))[:, None] & ((ir >= 0) & (ir < len(r) - 1))[None, :]
    cells = distance[np.ix_(np.clip(iz, 0, len(z) - 2), np.clip(ir, 0, len(r) - 2))]
    return (inside & (cells <= grow)).T
