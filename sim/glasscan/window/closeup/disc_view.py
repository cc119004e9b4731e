"""Where one gap of the disc stack lies on the screen, and how thick the dirt stands round its rim."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.filters.closeup.disc_face import DiscFace, DiscFrame
from glasscan.window.contract import Array

MARGIN_M = 1.0e-3  # oil of the bowl shown beyond what stands in it


@dataclass(frozen=True)
class DiscView:
    """Where the face lies: the axis at (x, y), px, and pixels per metre."""

    x: float
    y: float
    px_m: float
    box: tuple[int, int, int, int]

    @property
    def area(self) -> pygame.Rect:
        """Where it is drawn."""
        return pygame.Rect(self.box)

    def points(self, xy_m: Array) -> Array:
        """(n, 2) pixels of (n, 2) places, m, y upwards."""
        return np.stack([self.x + xy_m[:, 0] * self.px_m, self.y - xy_m[:, 1] * self.px_m], axis=1)


def view(face: DiscFace, area: pygame.Rect) -> DiscView:
    """Room for the rim with a thick cake all round and for the blade's post on the right."""
    post = (face.data.scraper.post_at_mm + face.data.scraper.post_radius_mm) * 1e-3 + MARGIN_M
    round_m = face.ro_m + 2 * MARGIN_M
    px_m = min(area.h / (2 * round_m), area.w / (round_m + max(round_m, post)))
    spare = area.w - px_m * (round_m + max(round_m, post))
    return DiscView(area.x + spare / 2 + round_m * px_m, area.centery, px_m, (area.x, area.y, area.w, area.h))


def bands(frame: DiscFrame) -> Array:
    """(1 or 2, sectors) thickness of the cake in the bands of the gap that there are, m."""
    there = np.array([frame.missed_share < 1, frame.missed_share > 0])
    return np.asarray(frame.cake_m[there])


def thickness(frame: DiscFrame) -> Array:
    """(sectors,) thickness of the cake as seen from above: that of the thicker band, m."""
    return np.asarray(bands(frame).max(axis=0))
