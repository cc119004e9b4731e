"""Faces of medium, stack and core tube as pictures, with the film of every segment on them; cached."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pygame
from numpy.typing import NDArray

from glasscan.window.bench.bench_top import look
from glasscan.workshop.inspection.evidence import Element, Place

Floats = NDArray[np.float64]
Film = tuple[tuple[str, tuple[float, ...]], ...]
HALF_HIDDEN_KG_M2 = 0.008  # film that hides 63 % of the paper (chosen for the picture)
EDGE_SHARE = 6.0  # a stack's deposit bridges gap and edges: so much more before it hides the steel
MOST_HIDDEN = 0.94
WET = 0.84  # brightness of what is wet with oil against dry
GLOSS = 46.0  # of the light that oil throws back at the edges of the folds
DEEP_KG_M2 = 0.04  # film from which its own colour is 63 % lost: thick dirt soaked in used oil looks black
TILE = 10  # panels of a tile


@lru_cache(maxsize=12)
def strip(
    place: Place, element: Element, film: Film, size: tuple[int, int], zigzag: int, theme: str
) -> pygame.Surface:
    """The whole face of a place.

    Args:
        place: "outside", "inside" or "core".
        element: sizes.
        film: (kind, mass by segment in kg) of the film on it.
        size: (w, h) in px.
        zigzag: rise of the folds, px; 0 for what is flat.
        theme: "dark" or "light".
    """
    if zigzag and element.panels > TILE:
        return _tiled(place, element, film, size, zigzag, theme)
    w, h = size[0], size[1] - zigzag
    face = "core" if place == "core" and element.kind != "disc" else element.kind
    ground = _GROUND[face](place, element, w, h, theme)
    thick = HALF_HIDDEN_KG_M2 * (EDGE_SHARE if element.kind == "disc" else 1.0)
    hidden, colour = _film(film, w, h, element, thick)
    ground = ground * WET  # it comes dripping out of the oil
    shown = (ground + (colour[None] - ground) * hidden[:, :, None]).astype(np.float32)
    if zigzag:
        shown *= _light(element.panels, w)[:, None, None]
        shown += GLOSS * _gloss(element.panels, w)[:, None, None]
    return _raised(shown.clip(0, 255).astype(np.uint8), zigzag, element.panels)


def _tiled(
    place: Place, element: Element, film: Film, size: tuple[int, int], zigzag: int, theme: str
) -> pygame.Surface:
    """A long strip from one tile of some pleats: the model's deposit differs along the height only."""
    whole = pygame.Surface(size, pygame.SRCALPHA)
    tiles = element.panels / TILE
    wide = size[0] / tiles
    share = replace(element, panels=TILE, width_m=element.width_m / tiles)
    part = tuple((code, tuple(m / tiles for m in mass)) for code, mass in film)
    tile = strip(place, share, part, (round(wide), size[1]), zigzag, theme)
    for i in range(int(np.ceil(tiles))):
        whole.blit(tile, (round(i * wide), 0))
    return whole


def _film(film: Film, w: int, h: int, element: Element, thick: float) -> tuple[Floats, Floats]:
    """(w, h) share hidden and (h, 3) colour of the film; clouds, since dirt never lies evenly."""
    rows, colour = np.zeros(h), np.zeros((h, 3))
    for code, by_segment in film:
        density = _by_row(np.array(by_segment)[::-1], h, element.kind == "disc") * len(by_segment)
        density /= element.area_m2
        rows += density
        colour += density[:, None] * np.array(look("film", code), dtype=float)
    colour /= np.maximum(rows, 1e-30)[:, None]
    deep = 1.0 - np.exp(-rows / (DEEP_KG_M2 * thick / HALF_HIDDEN_KG_M2))
    colour += (np.array(look("film", "deep"), dtype=float) - colour) * deep[:, None]
    hidden = 1.0 - np.exp(-rows[None, :] / thick * _cloud(w, h))
    return MOST_HIDDEN * hidden, colour


def _by_row(mass: Floats, h: int, sharp: bool) -> Floats:
    """Mass of the segments, from the top, at each row of pixels; gaps of a stack stay apart."""
    place = (np.arange(h) + 0.5) / h * len(mass) - 0.5
    if sharp:
        return np.asarray(mass[np.clip(np.round(place).astype(int), 0, len(mass) - 1)])
    return np.asarray(np.interp(place, np.arange(len(mass)), mass))


def _cloud(w: int, h: int) -> Floats:
    """(w, h) factors about 1, coarse and fine."""
    random = np.random.default_rng(9)
    whole = np.ones((w, h))
    for step, much in ((90, 0.22), (24, 0.16), (5, 0.12)):
        coarse = random.normal(0.0, much, (w // step + 2, h // step + 2))
        x, y = np.arange(w) / step, np.arange(h) / step
        i, j = x.astype(int), y.astype(int)
        a, b = (x - i)[:, None], (y - j)[None, :]
        whole += (
            coarse[i][:, j] * (1 - a) * (1 - b) + coarse[i + 1][:, j] * a * (1 - b)
            + coarse[i][:, j + 1] * (1 - a) * b + coarse[i + 1][:, j + 1] * a * b
        )  # fmt: skip
    return np.clip(whole, 0.25, 2.0)


def _within(panels: int, w: int) -> tuple[Floats, NDArray[np.bool_]]:
    """Where each column lies in its panel, 0..1, and whether the panel falls away from the light."""
    x = np.arange(w) / max(w, 1) * panels
    return np.asarray(x % 1.0), np.asarray(x.astype(int) % 2 == 1)


def _light(panels: int, w: int) -> Floats:
    """(w,) light on panels that stand up and down: one side lit, the other in shade, folds bright."""
    within, away = _within(panels, w)
    lit = np.where(away, 0.56 + 0.16 * within, 1.02 - 0.10 * within)
    edge = np.exp(-((np.where(away, within, 1 - within) / 0.06) ** 2))
    return np.asarray(lit + 0.16 * edge)


def _gloss(panels: int, w: int) -> Floats:
    """(w,) light thrown back by the oil, in a narrow line beside each fold that stands up."""
    within, away = _within(panels, w)
    at = np.where(away, 1 - within, within)
    return np.asarray(np.exp(-(((at - 0.86) / 0.035) ** 2)))


def _raised(pixels: NDArray[np.uint8], zigzag: int, panels: int) -> pygame.Surface:
    """Columns moved down towards the valleys; what is left open stays clear."""
    w, h = pixels.shape[:2]
    surface = pygame.Surface((w, h + zigzag), pygame.SRCALPHA)
    within, away = _within(panels, w)
    down = np.round(np.where(away, 1 - within, within) * zigzag).astype(int)
    colours = np.zeros((w, h + zigzag, 3), dtype=np.uint8)
    seen = np.zeros((w, h + zigzag), dtype=np.uint8)
    for d in np.unique(down):
        columns = np.flatnonzero(down == d)
        colours[columns, d : d + h] = pixels[columns]
        seen[columns, d : d + h] = 255
    pygame.surfarray.pixels3d(surface)[:] = colours
    pygame.surfarray.pixels_alpha(surface)[:] = seen
    return surface


def _paper(place: Place, element: Element, w: int, h: int, theme: str) -> Floats:
    del element
    random = np.random.default_rng(4)
    base = np.array(look(theme, "paper_clean" if place == "inside" else "paper"), dtype=float)
    return np.asarray(base * (1.0 + random.normal(0.0, 0.025, (w, h)))[:, :, None])


def _edges(place: Place, element: Element, w: int, h: int, theme: str) -> Floats:
    """Edges of the discs one above another, with the gaps between them."""
    del place
    within = np.arange(h) / max(h, 1) * element.panels % 1.0
    steel, light, dark = (np.array(look(theme, c), dtype=float) for c in ("steel", "steel_light", "gap"))
    shine = np.exp(-(((within - 0.42) / 0.22) ** 2))[None, :, None]
    across = (0.80 + 0.20 * np.sin(np.linspace(0.4, 8.4, w)))[:, None, None]
    colours = (steel + (light - steel) * shine) * across
    gap = np.broadcast_to((within > 0.84)[None, :, None], colours.shape)
    return np.where(gap, dark, colours)


def _tube(place: Place, element: Element, w: int, h: int, theme: str) -> Floats:
    """The core tube cut along and laid flat: steel with its holes."""
    del place
    image = pygame.Surface((w, h))
    image.fill(look(theme, "steel"))
    pitch, r, px = 7e-3, 1.75e-3, h / element.height_m
    for i in range(int(w / px / pitch) + 1):
        for j in range(int(element.height_m / pitch) + 1):
            at = ((i + 0.5) * pitch * px, ((j + 0.5 * (i % 2)) * pitch + pitch / 3) * px)
            pygame.draw.circle(image, look(theme, "steel_light"), (at[0] + 2, at[1] + 2), r * px)
            pygame.draw.circle(image, look(theme, "gap"), at, r * px * 0.94)
    return np.asarray(pygame.surfarray.array3d(image), dtype=float)


_GROUND = {"can": _paper, "cartridge": _paper, "disc": _edges, "core": _tube}
