"""What the pieces lie on: pleats half unfolded, the core tube, the edge of a stack, a dish."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.bench.bench_top import dish, look, mixed, shadow
from glasscan.window.bench.element_faces import strip
from glasscan.workshop.inspection.evidence import Element, Place
from glasscan.workshop.inspection.piece_layout import Laid, Lying

DISH_M = 0.06
OPENED = 0.42
"""Width of a pleat half unfolded, over its width laid flat."""
LEAST_BOX = 8  # pixels below which there is nothing to see
ZIGZAG = 0.05
"""How far folds stand above valleys in the picture, over the height."""


@dataclass(frozen=True)
class Ground:
    """Size of a place as it lies on the bench, m."""

    place: Place
    element: Element
    width_m: float
    height_m: float

    @property
    def round(self) -> bool:
        """A dish, not a strip."""
        return self.place == "cup"

    @property
    def folded(self) -> bool:
        """Pleats that stand up and down."""
        return self.place in ("outside", "inside") and self.element.kind != "disc"

    def spot(self, piece: Lying) -> tuple[float, float]:
        """Where a piece lies, m from the left and from the top."""
        if self.round:
            r, turn = 0.42 * self.width_m * np.sqrt(0.02 + 0.96 * piece.up), 2 * np.pi * piece.along
            return float(self.width_m / 2 + r * np.cos(turn)), float(self.height_m / 2 + r * np.sin(turn))
        rise = self._rise(piece.along) * ZIGZAG if self.folded else 0.0
        flat = 1.0 - ZIGZAG if self.folded else 1.0
        return piece.along * self.width_m, ((1.0 - piece.up) * flat + rise) * self.height_m

    def _rise(self, along: float) -> float:
        """How far down the zigzag, 0 at a fold and 1 in a valley."""
        within = along * self.element.panels % 2.0
        return within if within < 1.0 else 2.0 - within


def ground_of(laid: Laid, place: Place) -> Ground:
    """The ground of a place."""
    e = laid.element
    if place == "cup":
        return Ground(place, e, DISH_M, DISH_M)
    width = e.core_m if place == "core" else e.width_m
    ground = Ground(place, e, width, e.height_m)
    return Ground(place, e, width * OPENED, e.height_m) if ground.folded else ground


@dataclass(frozen=True)
class Window:
    """The part of a ground that is seen: pixels for each metre, and the first metre at the left."""

    box: pygame.Rect
    px_m: float
    left_m: float
    ground: Ground

    def px(self, at: tuple[float, float]) -> tuple[float, float]:
        """Pixels of a place."""
        return self.box.x + (at[0] - self.left_m) * self.px_m, self.box.y + at[1] * self.px_m

    def metres(self, px: tuple[int, int]) -> tuple[float, float]:
        """Place of a pixel, kept on the ground."""
        x = (px[0] - self.box.x) / self.px_m + self.left_m
        y = (px[1] - self.box.y) / self.px_m
        return min(max(x, 0.0), self.ground.width_m), min(max(y, 0.0), self.ground.height_m)

    def shows(self, at: tuple[float, float], margin_m: float = 4e-3) -> bool:
        """Whether a place lies in the part seen."""
        return self.left_m - margin_m < at[0] < self.left_m + self.box.w / self.px_m + margin_m


def window_for(ground: Ground, box: pygame.Rect, at_x_m: float) -> Window:
    """Show as much of the ground as fits by height, with a place in view."""
    px_m = box.h / ground.height_m
    shown = box.w / px_m
    if ground.width_m <= shown:
        wide = round(ground.width_m * px_m)
        inner = pygame.Rect(box.x + (box.w - wide) // 2, box.y, wide, box.h)
        return Window(inner, px_m, 0.0, ground)
    left = min(max(at_x_m - shown / 2, 0.0), ground.width_m - shown)
    return Window(box, px_m, left, ground)


def film_of(laid: Laid, place: Place) -> tuple[tuple[str, tuple[float, ...]], ...]:
    """Film of a place by kind and segment, kg; a key for pictures."""
    return tuple(
        (code, tuple(mass.tolist()))
        for (where, code), mass in laid.film.items()
        if where == place and mass.any()
    )


def draw_ground(canvas: Canvas, window: Window, laid: Laid) -> None:
    """Draw the ground under the pieces; nothing where a thin window leaves no room."""
    ground, box = window.ground, window.box
    if min(box.size) < LEAST_BOX:
        return
    if ground.round:
        dish(canvas.surface, box, canvas.theme.name, canvas.scale)
        _oil_in_dish(canvas, box, sum(laid.film_at("cup").values()))
        return
    shadow(canvas.surface, box, canvas.dp(26))
    size = round(ground.width_m * window.px_m), box.h
    zigzag = round(ZIGZAG * box.h) if ground.folded else 0
    image = strip(ground.place, ground.element, film_of(laid, ground.place), size, zigzag, canvas.theme.name)
    left = round(window.left_m * window.px_m)
    canvas.surface.blit(image, box, pygame.Rect(left, 0, box.w, box.h))


def _oil_in_dish(canvas: Canvas, box: pygame.Rect, film_kg: float) -> None:
    """The dregs: darker the more fine dirt there is."""
    layer = pygame.Surface(box.size, pygame.SRCALPHA)
    share = 1.0 - float(np.exp(-film_kg / 4e-4))
    r = min(box.w, box.h) * 0.455
    colour = mixed(look(canvas.theme.name, "oil"), (20, 18, 16), share * 0.8)
    for k in range(10):
        alpha = round(16 + 140 * share * (k / 10) ** 2)
        pygame.draw.circle(layer, (*colour, alpha), layer.get_rect().center, r * (1 - 0.06 * k))
    canvas.surface.blit(layer, box)
