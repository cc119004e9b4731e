"""Where the section lies on the window: metres to pixels, mirrored about the axis, to scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.window.contract import Array, Part


@dataclass(frozen=True)
class View:
    """A map from (r, z) to pixels: the axis at `axis_x`, z = 0 at `zero_y`, `px_m` pixels per metre."""

    axis_x: float
    zero_y: float
    px_m: float
    area: pygame.Rect

    def points(self, rz: Array, side: int = 1) -> Array:
        """Pixels (n, 2) of points (n, 2) in metres on the right (side 1) or left (-1) half."""
        rz = np.asarray(rz, dtype=float)
        return np.stack(
            [self.axis_x + side * rz[:, 0] * self.px_m, self.zero_y - rz[:, 1] * self.px_m], axis=1
        )

    def box(self, r: float, z_low: float, z_high: float) -> pygame.Rect:
        """Pixel rectangle of both halves out to radius `r` between two heights."""
        left, right = self.axis_x - r * self.px_m, self.axis_x + r * self.px_m
        top, bottom = self.zero_y - z_high * self.px_m, self.zero_y - z_low * self.px_m
        rect = pygame.Rect(round(left), round(top), 0, 0)
        rect.w, rect.h = round(right) - rect.x, round(bottom) - rect.y
        return rect

    def shifted(self, dx: float, dy: float) -> View:
        """The same view on a surface whose origin lies at (dx, dy)."""
        return View(self.axis_x - dx, self.zero_y - dy, self.px_m, self.area.move(-round(dx), -round(dy)))


def all_points(parts: Sequence[Part]) -> Array:
    """Every outline point of some parts, and the corners of their springs, (n, 2), m."""
    points = [np.asarray(outline, dtype=float) for part in parts for outline in part.outlines]
    for coil in (part.spring for part in parts if part.spring is not None):
        out = coil.radius_m + coil.wire_m
        ends = (coil.fixed_z_m, coil.free_z_m)
        if coil.along_r:
            points.append(np.array([(end, coil.at_z_m + way * out) for end in ends for way in (-1, 1)]))
        else:
            points.append(np.array([(out, end) for end in ends]))
    return np.vstack(points)


def extent(parts: Sequence[Part]) -> tuple[float, float, float]:
    """Largest radius, lowest and highest z of some parts, m."""
    every = all_points(parts)
    return float(every[:, 0].max()), float(every[:, 1].min()), float(every[:, 1].max())


def fit(parts: Sequence[Part], area: pygame.Rect, foot_px: int = 0, head_px: int = 0) -> View:
    """The largest view that shows all parts inside `area`, leaving room free below and above them."""
    r, low, high = extent(parts)
    tall = area.h - foot_px - head_px
    px_m = min(area.w / (2 * r), tall / (high - low))
    spare = tall - px_m * (high - low)
    return View(area.centerx, area.y + head_px + spare / 2 + px_m * high, px_m, area)


def close_up(strip_m: tuple[float, float, float, float], area: pygame.Rect) -> View:
    """A view of the strip `(r_low, r_high, z_low, z_high)` that fits into `area`; r_low may be below 0."""
    r_low, r_high, low, high = strip_m
    px_m = min(area.w / (r_high - r_low), area.h / (high - low))
    axis_x = area.centerx - px_m * (r_low + r_high) / 2
    return View(axis_x, area.centery + px_m * (low + high) / 2, px_m, area)
