"""Oil in motion: carriers drawn as dots, solid streaks or dashed streaks, by what the oil has been through.

One sprite per kind, direction and length is drawn smooth once; a frame is then a single batch of blits.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pygame

from glasscan.ui.theme import Streak, Theme
from glasscan.window.contract import KINDS, Array, Carriers
from glasscan.window.cutaway.section_view import View

DIRECTIONS = 48
LENGTHS = (0.15, 0.55, 0.7, 0.85, 1.0)  # of the longest; the first for oil that hardly moves
PACES = (0.03, 0.55, 0.7, 0.85)  # of the quickest, from which the next length is used
LONGEST_DP = 30.0  # length of the fastest streak
DASH_DP = 13.0  # from one dash to the next
PACE_DP_S = 190.0  # drawn speed of fast oil: quick enough to read as flow, slow enough for the eye to follow
SAMPLE_DP = {"dot": 16.0, "solid": LONGEST_DP + 6, "dashed": 3 * DASH_DP}  # from mark to mark in the key
SMOOTH = 4
BEAD_DP = 0.8  # between two circles of a streak: less cannot be seen, more shows as a string of beads
RATES = (1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001)


@lru_cache(maxsize=12)
def sprites(
    theme_name: str, styles: tuple[tuple[str, Streak], ...], scale_percent: int
) -> tuple[list[pygame.Surface], Array]:
    """All sprites in order kind, length, direction, and where in each its head lies, (n, 2) px.

    Each is cut to what can be seen of it: a frame blends thousands, and empty pixels cost as much as others.
    """
    del theme_name
    scale = scale_percent / 100
    whole = [sprite for _, style in styles for sprite in _all_of(style, scale)]
    seen = [sprite.get_bounding_rect() for sprite in whole]
    cut = [sprite.subsurface(box).copy() for sprite, box in zip(whole, seen, strict=True)]
    heads = [
        (s.get_width() // 2 - box.x, s.get_height() // 2 - box.y) for s, box in zip(whole, seen, strict=True)
    ]
    return cut, np.array(heads)


def _all_of(style: Streak, scale: float) -> list[pygame.Surface]:
    """Sprites of one kind in order length, direction; a dot looks the same in all of them."""
    if style.pattern == "dot":
        return [_sprite(style, 0.0, scale, 0.0)] * (len(LENGTHS) * DIRECTIONS)
    turns = [2 * np.pi * d / DIRECTIONS for d in range(DIRECTIONS)]
    return [_sprite(style, LONGEST_DP * scale * length, scale, turn) for length in LENGTHS for turn in turns]


def _sprite(style: Streak, length: float, scale: float, angle: float) -> pygame.Surface:
    """One smooth sprite, its head at the centre, trailing backwards along `angle` (screen sense)."""
    half = int(1.3 * length + 8 * scale) + 2 if style.pattern != "dot" else int(8 * scale) + 2
    big = pygame.Surface((2 * half * SMOOTH, 2 * half * SMOOTH), pygame.SRCALPHA)
    big.fill((*style.rim, 0))
    for colour, extra in ((style.rim, 1.3), (style.core, 0.0)):
        for along, radius in _beads(style.pattern, length, scale):
            centre = half * SMOOTH - along * SMOOTH * np.array([np.cos(angle), np.sin(angle)])
            pygame.draw.circle(big, colour, centre, (radius + extra * scale) * SMOOTH)
    return pygame.transform.smoothscale(big, (2 * half, 2 * half))


def _beads(pattern: str, length: float, scale: float) -> list[tuple[float, float]]:
    """Circles `(distance behind the head, radius)` whose union is the mark."""
    if pattern == "dot":
        return [(0.0, 3.4 * scale)]
    if pattern == "dashed":
        along = np.arange(0.0, 1.25 * length, BEAD_DP * scale)
        keep = along % (DASH_DP * scale) < 0.42 * DASH_DP * scale
        return [(float(a), 2.3 * scale) for a in along[keep]]
    along = np.arange(0.0, length, BEAD_DP * scale)
    radius = 2.7 * scale * (1 - 0.72 * along / max(length, 1e-9))
    return list(zip(along.tolist(), radius.tolist(), strict=True))


def rate_for(speed_m_s: float, view: View, scale: float) -> float:
    """How much slower than life the oil is drawn: the largest of `RATES` that keeps fast oil followable."""
    wanted = PACE_DP_S * scale / max(speed_m_s * view.px_m, 1e-9)
    return next((r for r in RATES if r <= wanted), RATES[-1])


class StreakPainter:
    """Draws carriers as marks that lie along the oil's velocity."""

    def __init__(self, theme: Theme, scale: float) -> None:
        self.styles = tuple((kind, theme.streaks[kind]) for kind in KINDS)
        self.sprites, self.heads = sprites(theme.name, self.styles, round(scale * 100))
        self.scale = scale

    def draw(
        self,
        surface: pygame.Surface,
        carriers: Carriers,
        drawn_m_s: Array,
        view: View,
        clip: pygame.Rect,
        hidden: Array | None = None,
    ) -> int:
        """Draw the carriers that are not `hidden` (n,), half of them on each side; returns how many marks.

        `drawn_m_s` (n, 2) is the velocity (r, z) at which each is drawn: the oil's, slowed.
        """
        at = np.asarray(carriers.positions_m, dtype=float)
        if len(at) == 0:
            return 0
        side = np.where(np.arange(len(at)) // 2 % 2 == 0, 1, -1)
        x = view.axis_x + side * at[:, 0] * view.px_m
        y = view.zero_y - at[:, 1] * view.px_m
        index = self._pick(np.asarray(carriers.kind), side * drawn_m_s[:, 0], -drawn_m_s[:, 1], view)
        if hidden is not None:
            x, y, index = x[~hidden], y[~hidden], index[~hidden]
        head = self.heads[index]
        left, top = np.rint(x - head[:, 0]).astype(int).tolist(), np.rint(y - head[:, 1]).astype(int).tolist()
        pictures = self.sprites
        old = surface.get_clip()
        surface.set_clip(clip)
        chosen = map(pictures.__getitem__, index.tolist())  # not a loop: that took a third of it all
        surface.fblits(list(zip(chosen, zip(left, top, strict=True), strict=True)))
        surface.set_clip(old)
        return len(index)

    def _pick(self, kind: Array, vx: Array, vy: Array, view: View) -> Array:
        """Index of each carrier's sprite by kind, speed and direction."""
        turn = np.rint(np.arctan2(vy, vx) / (2 * np.pi) * DIRECTIONS).astype(int) % DIRECTIONS
        pace = np.hypot(vx, vy) * view.px_m / (PACE_DP_S * self.scale)
        length = np.searchsorted(PACES, pace)
        return np.asarray((kind.astype(int) * len(LENGTHS) + length) * DIRECTIONS + turn)


def legend_sprite(theme: Theme, kind: str, width: int, scale: float) -> pygame.Surface:
    """A sample of one kind for the key: the mark itself, pointing right, on mid-ramp oil."""
    swatch = pygame.Surface((width, round(26 * scale)))
    swatch.fill(theme.ramp[len(theme.ramp) // 2 - 30])
    style = theme.streaks[kind]
    step = SAMPLE_DP[style.pattern] * scale
    sprite = _sprite(style, LONGEST_DP * scale, scale, 0.0)
    x = width - 8 * scale
    while x > 0:
        swatch.blit(sprite, sprite.get_rect(center=(round(x), swatch.get_height() // 2)))
        x -= step
    return swatch
