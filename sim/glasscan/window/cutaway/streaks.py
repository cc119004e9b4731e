"""Oil in motion: carriers drawn as beads, solid streaks or dashed streaks, by what the oil has been through.

A mark is as long as the way its oil goes in `EXPOSURE_S` of screen time, as in a photograph: faster oil
makes a longer streak. One sprite per kind, direction and length is drawn smooth when first needed; a frame
is then a single batch of blits.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
import pygame

from glasscan.ui.theme import Streak, Theme
from glasscan.window.contract import KINDS, Array, Carriers
from glasscan.window.cutaway.section_view import View

DIRECTIONS = 48
LENGTHS_DP = (4.0, 9.0, 14.0, 20.0, 27.0, 36.0, 48.0, 64.0, 84.0)
EXPOSURE_S = 0.13
LIMITS_DP = tuple((a + b) / 2 for a, b in pairwise(LENGTHS_DP))
DASH_DP, BEAD_PITCH_DP = 13.0, 9.0  # from one dash to the next, from one bead to the next
PACE_DP_S = 190.0  # drawn speed of fast oil: quick enough to read as flow, slow enough for the eye to follow
SAMPLE_DP = {"dot": (4.0, 24.0), "solid": (27.0, 36.0), "dashed": (27.0, 39.0)}  # of the key: length, step
SMOOTH = 4
BEAD_DP = 0.8  # between two circles of a streak: less cannot be seen, more shows as a string of beads
RATES = (1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001)
DOT_DP = 2.8  # radius of a bead
LEAST_TAIL = 0.3  # size of the last bead of a tail against the first


class SpriteSet:
    """Sprites of all kinds in one theme and scale, each made when it is first drawn.

    Attributes:
        pictures: by index: kind, length and direction in turn; empty until needed.
        heads: (n, 2) where in each picture its head lies, px.
    """

    def __init__(self, styles: tuple[tuple[str, Streak], ...], scale: float) -> None:
        self.styles, self.scale = styles, scale
        number = len(styles) * len(LENGTHS_DP) * DIRECTIONS
        self.pictures = [pygame.Surface((0, 0))] * number
        self.heads = np.zeros((number, 2))
        self._known = np.zeros(number, dtype=bool)

    def need(self, index: Array) -> None:
        """Make what is missing of these sprites."""
        if self._known[index].all():
            return
        for i in np.unique(index[~self._known[index]]).tolist():
            kind, rest = divmod(i, len(LENGTHS_DP) * DIRECTIONS)
            length, turn = divmod(rest, DIRECTIONS)
            style, size = self.styles[kind][1], LENGTHS_DP[length] * self.scale
            self.pictures[i], self.heads[i] = _sprite(style, size, self.scale, 2 * np.pi * turn / DIRECTIONS)
            self._known[i] = True


@lru_cache(maxsize=12)
def sprites(theme_name: str, styles: tuple[tuple[str, Streak], ...], scale_percent: int) -> SpriteSet:
    """The sprites of a theme at a scale."""
    del theme_name
    return SpriteSet(styles, scale_percent / 100)


def _sprite(
    style: Streak, length: float, scale: float, angle: float
) -> tuple[pygame.Surface, tuple[int, int]]:
    """One smooth sprite that trails backwards along `angle` (screen sense), and where its head lies in it.

    It is cut to what can be seen of it: a frame blends thousands, and empty pixels cost as much as others.
    """
    half = int(1.3 * length + 6 * scale) + 2
    way = np.array([np.cos(angle), np.sin(angle)])
    big = pygame.Surface((2 * half * SMOOTH, 2 * half * SMOOTH), pygame.SRCALPHA)
    big.fill((*style.rim, 0))
    for colour, extra in ((style.rim, 1.3), (style.core, 0.0)):
        for along, radius in _beads(style.pattern, length, scale):
            centre = half * SMOOTH - along * SMOOTH * way
            pygame.draw.circle(big, colour, centre, (radius + extra * scale) * SMOOTH)
    whole = pygame.transform.smoothscale(big, (2 * half, 2 * half))
    seen = whole.get_bounding_rect()
    return whole.subsurface(seen).copy(), (half - seen.x, half - seen.y)


def _beads(pattern: str, length: float, scale: float) -> list[tuple[float, float]]:
    """Circles `(distance behind the head, radius)` whose union is the mark."""
    if pattern == "dot":
        along = np.arange(0.0, max(length, 1e-9), BEAD_PITCH_DP * scale)
        size = 1 - (1 - LEAST_TAIL) * along / max(length, 1e-9)
        return list(zip(along.tolist(), (DOT_DP * scale * size).tolist(), strict=True))
    if pattern == "dashed":
        along = np.arange(0.0, 1.25 * max(length, 5 * scale), BEAD_DP * scale)
        keep = along % (DASH_DP * scale) < 0.42 * DASH_DP * scale
        return [(float(a), 2.3 * scale) for a in along[keep]]
    along = np.arange(0.0, max(length, BEAD_DP * scale), BEAD_DP * scale)
    radius = 2.7 * scale * (1 - 0.72 * along / max(length, 1e-9))
    return list(zip(along.tolist(), radius.tolist(), strict=True))


def rate_for(speed_m_s: float, dp_m: float) -> float:
    """How much slower than life oil is drawn at so many dp a metre: the largest followable one of `RATES`."""
    wanted = PACE_DP_S / max(speed_m_s * dp_m, 1e-9)
    return next((r for r in RATES if r <= wanted), RATES[-1])


def sides(number: int) -> Array:
    """Side of the axis on which each of so many marks is drawn, 1 or -1, half of them on each."""
    return np.where(np.arange(number) // 2 % 2 == 0, 1, -1)


class StreakPainter:
    """Draws carriers as marks that lie along the oil's velocity."""

    def __init__(self, theme: Theme, scale: float) -> None:
        self.styles = tuple((kind, theme.streaks[kind]) for kind in KINDS)
        self.sprites = sprites(theme.name, self.styles, round(scale * 100))
        self.scale = scale

    def draw(
        self,
        surface: pygame.Surface,
        carriers: Carriers,
        drawn_m_s: Array,
        view: View,
        clip: pygame.Rect,
        hidden: Array | None = None,
        side: Array | None = None,
    ) -> int:
        """Draw the carriers that are not `hidden` (n,), each on its `side` (n,); returns how many marks.

        `drawn_m_s` (n, 2) is the velocity (r, z) at which each is drawn: the oil's, slowed.
        """
        at = np.asarray(carriers.positions_m, dtype=float)
        if len(at) == 0:
            return 0
        side = sides(len(at)) if side is None else side
        x = view.axis_x + side * at[:, 0] * view.px_m
        y = view.zero_y - at[:, 1] * view.px_m
        along = np.stack([side * drawn_m_s[:, 0], -drawn_m_s[:, 1]]) * view.px_m
        index = picked(np.asarray(carriers.kind), along[0], along[1], self.scale)
        if hidden is not None:
            x, y, index = x[~hidden], y[~hidden], index[~hidden]
        self.sprites.need(index)
        head = self.sprites.heads[index]
        left, top = np.rint(x - head[:, 0]).astype(int).tolist(), np.rint(y - head[:, 1]).astype(int).tolist()
        pictures = self.sprites.pictures
        old = surface.get_clip()
        surface.set_clip(clip)
        chosen = map(pictures.__getitem__, index.tolist())  # not a loop: that took a third of it all
        surface.fblits(list(zip(chosen, zip(left, top, strict=True), strict=True)))
        surface.set_clip(old)
        return len(index)


def picked(kind: Array, vx_px_s: Array, vy_px_s: Array, scale: float) -> Array:
    """Index of each mark's sprite by kind, drawn velocity (n,), px/s, y downwards."""
    turn = np.rint(np.arctan2(vy_px_s, vx_px_s) / (2 * np.pi) * DIRECTIONS).astype(int) % DIRECTIONS
    length = np.searchsorted(LIMITS_DP, np.hypot(vx_px_s, vy_px_s) * (EXPOSURE_S / scale))
    return np.asarray((kind.astype(int) * len(LENGTHS_DP) + length) * DIRECTIONS + turn)


def legend_sprite(theme: Theme, kind: str, width: int, scale: float) -> pygame.Surface:
    """A sample of one kind for the key: the mark itself, pointing right, on mid-ramp oil."""
    swatch = pygame.Surface((width, round(26 * scale)))
    swatch.fill(theme.ramp[len(theme.ramp) // 2 - 30])
    style = theme.streaks[kind]
    length, step = (size * scale for size in SAMPLE_DP[style.pattern])
    sprite, (head_x, head_y) = _sprite(style, length, scale, 0.0)
    x = width - 8 * scale
    while x > 0:
        swatch.blit(sprite, (round(x) - head_x, swatch.get_height() // 2 - head_y))
        x -= step
    return swatch
