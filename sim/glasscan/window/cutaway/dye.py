"""A line of dye let in at the inlet: carried by the solved flow alone, parted where the flow parts."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
import pygame

from glasscan.ui.theme import Streak, Theme
from glasscan.window.contract import Carriers, Section
from glasscan.window.cutaway.section_view import View
from glasscan.window.cutaway.streaks import sides

POINTS, A_LINE = 2400, 800  # points of dye there are, and in one line of it
RADIUS_DP = 2.4
FILTERED, UNFILTERED = 1, 2


def released(section: Section, dye: Carriers | None) -> Carriers | None:
    """The dye with one more line of it; None for a made-up section without a solved field."""
    if not hasattr(section, "grid"):
        return None
    from glasscan.filters.carriers import Carriers as Solved

    solved: Any = dye or Solved(section, POINTS, 0, fed=False)  # type: ignore[arg-type]
    solved.release(A_LINE)
    return solved  # type: ignore[no-any-return]


def dye_facts(dye: Any) -> dict[str, int]:
    """Points of dye on their way, and those that have gone through the element and past it."""
    kinds = np.bincount(np.asarray(dye.kind)[np.asarray(dye.alive)], minlength=3) + np.asarray(dye.left)
    return {
        "points": int(np.asarray(dye.alive).sum()),
        "through": int(kinds[FILTERED]),
        "past": int(kinds[UNFILTERED]),
    }


@lru_cache(maxsize=8)
def _drop(style: Streak, scale_percent: int) -> pygame.Surface:
    """One point of dye."""
    r = RADIUS_DP * scale_percent / 100
    size, big = int(2 * r + 4), 4
    picture = pygame.Surface((size * big, size * big), pygame.SRCALPHA)
    picture.fill((*style.rim, 0))
    middle = size * big / 2
    pygame.draw.circle(picture, (*style.rim, 150), (middle, middle), (r + 0.8) * big)
    pygame.draw.circle(picture, style.core, (middle, middle), r * big)
    return pygame.transform.smoothscale(picture, (size, size))


def draw_dye(
    surface: pygame.Surface, dye: Any, view: View, clip: pygame.Rect, theme: Theme, scale: float
) -> None:
    """Draw the points of dye, half of them on each side."""
    alive = np.asarray(dye.alive)
    at, side = np.asarray(dye.positions_m)[alive], sides(len(alive))[alive]
    picture = _drop(theme.streaks["dye"], round(100 * scale))
    half = picture.get_width() / 2
    x = np.rint(view.axis_x + side * at[:, 0] * view.px_m - half).astype(int).tolist()
    y = np.rint(view.zero_y - at[:, 1] * view.px_m - half).astype(int).tolist()
    old = surface.get_clip()
    surface.set_clip(clip)
    surface.fblits([(picture, place) for place in zip(x, y, strict=True)])
    surface.set_clip(old)
