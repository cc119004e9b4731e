"""Pieces of debris as they look lying on a bench or under the lens: each kind by its shape and its colour.

The bodies of the model know a section; on the bench a flake lies on its face, a curl curls, a fibre bends.
Sizes are those of the model: the longest side is drawn to scale, with a least size so that it can be seen.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
import pygame
from numpy.typing import NDArray

from glasscan.debris.debris_data import catalogue
from glasscan.ui.theme import Colour
from glasscan.window.bench.bench_top import mixed
from glasscan.window.cutaway.debris_drawing import colour_of, rim_of

Floats = NDArray[np.float64]
LEAST_PX = 4.0
FINE_PX = 14.0  # from this size on a piece shows its surface
Painter = Callable[[pygame.Surface, Floats, Colour, Colour, float], None]


def draw_piece_at(
    surface: pygame.Surface, code: str, at: tuple[float, float], longest_px: float, turn: float, number: int
) -> None:
    """Draw a piece.

    Args:
        surface: where.
        code: its kind.
        at: its middle, px.
        longest_px: longest side, px.
        turn: rad.
        number: tells one piece from another of its kind.
    """
    size = max(longest_px, LEAST_PX)
    points = outline_of(code, number % 12) * size
    c, s = np.cos(turn), np.sin(turn)
    corners = points @ np.array([[c, s], [-s, c]]) + np.array(at)
    colour = _colour(code, number)
    _PAINT.get(code, _solid)(surface, corners, colour, rim_of(colour), size)


def _colour(code: str, number: int) -> Colour:
    """Colour of a kind; of several looks each piece has one."""
    base = colour_of(code)
    return mixed(base, (255, 255, 255), 0.12 * (number % 3)) if code not in ("D9", "D12") else base


@lru_cache(maxsize=400)
def outline_of(code: str, variant: int) -> Floats:
    """(n, 2) outline, or line, of a piece whose longest side is 1."""
    kind = catalogue().kind(code)
    random = np.random.default_rng([ord(code[0]), int(code[1:]), variant])
    made = _SHAPE.get(code, _BY_SHAPE[kind.shape])(random)
    longest = max(float(np.hypot(*(p - q))) for p in made for q in made)
    return np.asarray((made - made.mean(axis=0)) / longest)


def _polygon(random: np.random.Generator, corners: int, aspect: float, rough: float) -> Floats:
    turn = 2 * np.pi * (np.arange(corners) + 0.6 * random.random(corners)) / corners
    r = 1.0 - rough * random.random(corners)
    return np.stack([r * np.cos(turn), aspect * r * np.sin(turn)], axis=1)


def _flake(random: np.random.Generator) -> Floats:
    return _polygon(random, 8, 0.75, 0.35)


def _needle(random: np.random.Generator) -> Floats:
    bend = 0.06 * random.normal()
    return np.array([(-1, 0), (-0.3, 0.09 + bend), (1, 0.02), (-0.2, -0.07 + bend)])


def _lump(random: np.random.Generator) -> Floats:
    return _polygon(random, 10, 0.8, 0.22)


def _grain(random: np.random.Generator) -> Floats:
    return _polygon(random, 6, 0.85, 0.2)


def _ball(random: np.random.Generator) -> Floats:
    del random
    turn = np.linspace(0, 2 * np.pi, 25)[:-1]
    return np.stack([np.cos(turn), np.sin(turn)], axis=1)


def _curl(random: np.random.Generator) -> Floats:
    """A spiral of swarf, as a line."""
    t = np.linspace(0.0, 2 * np.pi * (1.2 + random.random()), 26)
    r = 0.25 + 0.09 * t
    return np.stack([r * np.cos(t) + 0.16 * t, r * np.sin(t)], axis=1)


def _thread(random: np.random.Generator) -> Floats:
    """A bent fibre or string, as a line."""
    t = np.linspace(-1.0, 1.0, 18)
    a, b = random.normal(0, 0.25, 2)
    return np.stack([t, a * np.sin(2.2 * t) + b * np.cos(3.9 * t)], axis=1)


def _shred(random: np.random.Generator) -> Floats:
    """A torn strip of rubber."""
    t = np.linspace(-1.0, 1.0, 9)
    bend = random.normal(0, 0.35) * t**2
    top = np.stack([t, bend + 0.16 + 0.1 * random.random(9)], axis=1)
    foot = np.stack([t[::-1], bend[::-1] - 0.16 - 0.1 * random.random(9)], axis=1)
    return np.concatenate([top, foot])


_BY_SHAPE = {
    "flake": _flake, "cake": _lump, "sliver": _needle, "chip": _lump, "grain": _grain, "sphere": _ball,
}  # fmt: skip
_SHAPE: dict[str, Callable[[np.random.Generator], Floats]] = {
    "D8": _shred, "D16": _lump, "D12": _shred, "D13": _thread, "D15": _thread, "D17": _curl,
}  # fmt: skip


def _solid(surface: pygame.Surface, corners: Floats, colour: Colour, rim: Colour, size: float) -> None:
    """A body with its rim; a large one shows facets."""
    points = corners.tolist()
    pygame.draw.polygon(surface, colour, points)
    if size >= FINE_PX:
        middle = corners.mean(axis=0)
        light, dark = mixed(colour, (255, 255, 255), 0.55), mixed(colour, (0, 0, 0), 0.35)
        half = len(points) // 2
        pygame.draw.polygon(surface, dark, [middle.tolist(), *points[: half + 1]])
        inner = (middle + (corners - middle) * 0.62).tolist()
        pygame.draw.polygon(surface, colour, inner)
        pygame.draw.line(surface, light, inner[half], inner[-1], max(1, round(size / 22)))
    pygame.draw.aalines(surface, rim, True, points)
    if size >= FINE_PX:
        thin = float(np.ptp(corners, axis=0).min()) < size / 4
        pygame.draw.lines(surface, rim, True, points, 1 if thin else max(1, round(size / 40)))


def _line(wide: float) -> Painter:
    def paint(surface: pygame.Surface, corners: Floats, colour: Colour, rim: Colour, size: float) -> None:
        thick = max(2, round(size * wide))
        pygame.draw.lines(surface, rim, False, corners.tolist(), thick + 2)
        pygame.draw.lines(surface, colour, False, corners.tolist(), thick)
        if size >= 3 * FINE_PX:
            lit = mixed(colour, (255, 255, 255), 0.7)
            pygame.draw.lines(surface, lit, False, (corners - thick / 4).tolist(), max(1, thick // 4))

    return paint


def _clear(alpha: int) -> Painter:
    """A body that light goes through: sealant, jelly, clear grains."""

    def paint(surface: pygame.Surface, corners: Floats, colour: Colour, rim: Colour, size: float) -> None:
        low = corners.min(axis=0) - 3
        box = pygame.Rect(
            *low.round().astype(int).tolist(), *(np.ptp(corners, axis=0) + 7).astype(int).tolist()
        )
        layer = pygame.Surface(box.size, pygame.SRCALPHA)
        points = (corners - np.array(box.topleft)).tolist()
        pygame.draw.polygon(layer, (*colour, alpha), points)
        pygame.draw.lines(layer, (*rim, 230), True, points, max(1, round(size / 30)))
        if size >= FINE_PX:
            spot = (np.array(points).mean(axis=0) - size * 0.12).tolist()
            pygame.draw.circle(layer, (255, 255, 255, 210), spot, max(1, round(size / 14)))
        surface.blit(layer, box)

    return paint


def _round(surface: pygame.Surface, corners: Floats, colour: Colour, rim: Colour, size: float) -> None:
    _solid(surface, corners, colour, rim, 0.0)
    middle = corners.mean(axis=0)
    if size >= FINE_PX:
        pygame.draw.circle(surface, mixed(colour, (0, 0, 0), 0.3), middle.tolist(), size * 0.44)
        pygame.draw.circle(surface, colour, (middle - size * 0.05).tolist(), size * 0.36)
        lit = mixed(colour, (255, 255, 255), 0.85)
        pygame.draw.circle(surface, lit, (middle - size * 0.16).tolist(), max(1.0, size * 0.09))


def _porous(surface: pygame.Surface, corners: Floats, colour: Colour, rim: Colour, size: float) -> None:
    _solid(surface, corners, colour, rim, size)
    if size >= FINE_PX:
        middle = corners.mean(axis=0)
        for i in range(0, len(corners), 2):
            spot = (middle + (corners[i] - middle) * 0.5).tolist()
            pygame.draw.circle(surface, mixed(colour, (255, 255, 255), 0.35), spot, max(1.0, size * 0.04))


def _painted(surface: pygame.Surface, corners: Floats, colour: Colour, rim: Colour, size: float) -> None:
    """A chip of paint: a coloured face, a pale primer edge."""
    _solid(surface, corners, (214, 203, 180), rim, 0.0)
    middle = corners.mean(axis=0)
    if size < FINE_PX:
        return
    pygame.draw.polygon(surface, colour, (middle + (corners - middle) * 0.82).tolist())


_PAINT: dict[str, Painter] = {
    "D9": _porous, "D10": _clear(190), "D13": _line(0.16), "D14": _painted, "D15": _line(0.035),
    "D16": _clear(150), "D17": _line(0.075), "D18": _round,
}  # fmt: skip
