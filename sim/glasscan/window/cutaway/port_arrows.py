"""Flow arrows at the ports, smooth and cached."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pygame

from glasscan.ui.theme import Colour
from glasscan.window.contract import Opening, Section, SideWay

SMOOTH = 4


@lru_cache(maxsize=64)
def arrow(
    length: int, width: int, up: bool, core: Colour, rim: Colour, dashed: bool = False
) -> pygame.Surface:
    """A vertical arrow of `length` x `width` pixels; dashed where part of the oil is unfiltered."""
    w, h = (width + 4) * SMOOTH, (length + 4) * SMOOTH
    big = pygame.Surface((w, h), pygame.SRCALPHA)
    big.fill((*rim, 0))
    head = width * 0.62 * SMOOTH
    mid, top, bottom, shaft = w / 2, 2 * SMOOTH, h - 2 * SMOOTH, width * 0.22 * SMOOTH
    points = [
        (mid, top),
        (w - 2 * SMOOTH, top + head),
        (mid + shaft, top + head),
        (mid + shaft, bottom),
        (mid - shaft, bottom),
        (mid - shaft, top + head),
        (2 * SMOOTH, top + head),
    ]
    pygame.draw.polygon(big, core, points)
    for y in np.arange(top + head + 3 * SMOOTH, bottom, 12 * SMOOTH) if dashed else ():
        pygame.draw.rect(big, (*rim, 0), pygame.Rect(0, int(y), w, 5 * SMOOTH))
    if not dashed:
        pygame.draw.polygon(big, rim, points, 2 * SMOOTH)
    picture = pygame.transform.smoothscale(big, (width + 4, length + 4))
    return picture if up else pygame.transform.flip(picture, False, True)


@dataclass(frozen=True)
class PortPlace:
    """Where a port's arrows stand: radius of its middle, height of its plane, m, and whether it is on top.

    A bore in the side has its one arrow beside the filter: `side` is -1 or 1 there, else 0, `r_m` its end.
    """

    r_m: float
    z_m: float
    on_top: bool
    side: int = 0

    @property
    def sides(self) -> tuple[int, ...]:
        """Sides of the axis that get an arrow: one for a bore on the axis or in the side, else both."""
        if self.side:
            return (self.side,)
        return (1,) if self.r_m == 0.0 else (1, -1)


def ports(section: Section) -> tuple[PortPlace, PortPlace]:
    """Places of the inlet and the outlet."""
    return _place(section.layout.inlet), _place(section.layout.outlet)


def _place(way: Opening) -> PortPlace:
    if isinstance(way, SideWay):
        return PortPlace(way.end_r, (way.z0 + way.z1) / 2, on_top=False, side=way.side)
    middle = 0.0 if way.r0 <= 0.0 else (way.r0 + way.r1) / 2
    return PortPlace(middle, way.z, way.inward < 0)
