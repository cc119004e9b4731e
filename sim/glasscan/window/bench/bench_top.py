"""The top of a workbench and what stands on it: planks, dishes, metal that shines; cached."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Any

import numpy as np
import pygame
import yaml

from glasscan.paths import asset
from glasscan.ui.theme import Colour, rgb

PLANK = 150  # dp
SMOOTH = 2


@cache
def _raw() -> dict[str, Any]:
    with asset("workshop", "bench-look.yaml").open(encoding="utf-8") as stream:
        data: dict[str, Any] = yaml.safe_load(stream)
    return data


def look(theme: str, word: str) -> Colour:
    """A colour of the workshop in a theme ("dark", "light"), or of `film` and `patch`."""
    return rgb(_raw()[theme][word])


def mixed(one: Colour, other: Colour, share: float) -> Colour:
    """A colour a share of the way from one to another."""
    r, g, b = (round(a + (c - a) * share) for a, c in zip(one, other, strict=True))
    return r, g, b


@lru_cache(maxsize=8)
def planks(w: int, h: int, theme: str, plank: int) -> pygame.Surface:
    """A bench top of wooden planks, (w, h) pixels."""
    random = np.random.default_rng(11)
    rows, columns = np.mgrid[0:h, 0:w]
    which = rows // max(plank, 8)
    shade = random.uniform(0.0, 0.55, which.max() + 1)[which]
    wave = np.sin(rows * 0.55 + 9 * np.sin(columns / (0.9 * w + 1) * 3 + which * 2.1) + which * 5.0)
    fine = random.normal(0.0, 0.10, (h, max(w // 60, 1) + 1))
    grain = np.repeat(fine, 60, axis=1)[:, :w]
    share = np.clip(shade + 0.22 * wave + grain, 0.0, 1.0)[:, :, None]
    wood, dark = np.array(look(theme, "wood")), np.array(look(theme, "grain"))
    colours = wood + (dark - wood) * share
    colours[(rows % max(plank, 8)) < max(1, plank // 60)] = look(theme, "gap")
    return pygame.surfarray.make_surface(colours.astype(np.uint8).swapaxes(0, 1))


def bench(surface: pygame.Surface, rect: pygame.Rect, theme: str, scale: float) -> None:
    """Draw the bench top into a rectangle, with rounded corners; nothing where there is no room."""
    if rect.w < 1 or rect.h < 1:
        return
    surface.blit(planks(rect.w, rect.h, theme, max(8, round(PLANK * scale))), rect)
    edge = look(theme, "gap")
    pygame.draw.rect(surface, edge, rect, max(2, round(4 * scale)), border_radius=max(2, round(10 * scale)))


def shadow(surface: pygame.Surface, rect: pygame.Rect, spread: int, round_: bool = False) -> None:
    """A soft shadow under something that lies in a rectangle; none under what has no size."""
    if rect.w < 1 or rect.h < 1:
        return
    surface.blit(_shadow(rect.w, rect.h, spread, round_), (rect.x - spread, rect.y - spread // 2))


@lru_cache(maxsize=40)
def _shadow(w: int, h: int, spread: int, round_: bool) -> pygame.Surface:
    image = pygame.Surface((w + 2 * spread, h + 2 * spread), pygame.SRCALPHA)
    for k in range(spread, 0, -2):
        box = pygame.Rect(spread - k, spread - k, w + 2 * k, h + 2 * k)
        alpha = round(64 * (1 - k / spread) ** 2) + 4
        draw = pygame.draw.ellipse if round_ else pygame.draw.rect
        draw(image, (0, 0, 0, alpha), box)
    return image


def dish(surface: pygame.Surface, rect: pygame.Rect, theme: str, scale: float) -> None:
    """A white enamel dish seen from above; nothing where there is no room."""
    if rect.w < 1 or rect.h < 1:
        return
    shadow(surface, rect, max(4, round(22 * scale)), True)
    image = _dish(min(rect.w, rect.h), theme)
    surface.blit(image, image.get_rect(center=rect.center))


@lru_cache(maxsize=12)
def _dish(size: int, theme: str) -> pygame.Surface:
    big = pygame.Surface((size * SMOOTH, size * SMOOTH), pygame.SRCALPHA)
    middle, r = size * SMOOTH // 2, size * SMOOTH // 2
    rim, ground = look(theme, "dish_rim"), look(theme, "dish")
    for k, colour in ((1.0, rim), (0.985, mixed(ground, (255, 255, 255), 0.4)), (0.94, rim), (0.93, ground)):
        pygame.draw.circle(big, colour, (middle, middle), round(r * k))
    return pygame.transform.smoothscale(big, (size, size))


@lru_cache(maxsize=60)
def shine(w: int, h: int, low: Colour, main: Colour, high: Colour) -> pygame.Surface:
    """An upright round body lit from the left: a gradient across, (w, h) pixels."""
    x = np.linspace(0.0, 1.0, max(w, 1))
    body = np.clip(1.0 - 3.2 * (x - 0.42) ** 2, 0.0, 1.0)
    light = np.exp(-(((x - 0.27) / 0.09) ** 2))
    low_, main_, high_ = (np.array(c, dtype=float) for c in (low, main, high))
    colour = low_ + (main_ - low_) * body[:, None]
    colour = colour + (high_ - colour) * (0.75 * light)[:, None]
    whole = np.repeat(colour[:, None, :], max(h, 1), axis=1)
    return pygame.surfarray.make_surface(whole.astype(np.uint8))


def upright(surface: pygame.Surface, rect: pygame.Rect, theme: str, word: str) -> None:
    """A shining round body, of "can" or "steel"; nothing where there is no room."""
    if rect.w < 1 or rect.h < 1:
        return
    low, main, high = (look(theme, w) for w in (f"{word}_dark", word, f"{word}_light"))
    surface.blit(shine(rect.w, rect.h, low, main, high), rect)
