"""Flow arrows at the ports, smooth and cached."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pygame

from sim.screens.contract import CLEAN, DIRTY, Array, Section
from sim.screens.theme import Colour

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


def ports(section: Section, region: Array) -> tuple[float, float]:
    """Radii (m) at which oil enters and leaves at the bottom of the section, from its lowest oil cells."""
    r = np.asarray(section.r_edges_m)
    middle = (r[1:] + r[:-1]) / 2
    return _lowest(np.asarray(region) == DIRTY, middle), _lowest(np.asarray(region) == CLEAN, middle)


def _lowest(wet: Array, middle: Array) -> float:
    rows = np.flatnonzero(wet.any(axis=1))
    if len(rows) == 0:
        return 0.0
    cells = middle[wet[rows[0]]]
    return 0.0 if cells.min() < 2 * middle[0] else float(cells.mean())
