"""The sign of the window in title bar and task list: a can cut open, dirty oil outside, clean oil inside."""

from __future__ import annotations

import pygame

from glasscan.ui.theme import load_theme

SIDE = 64


def emblem(side: int = SIDE) -> pygame.Surface:
    """A square picture with a transparent ground, px."""
    theme = load_theme("dark")
    surface = pygame.Surface((side, side), pygame.SRCALPHA)
    unit = side / 16

    def box(x: float, y: float, w: float, h: float) -> pygame.Rect:
        return pygame.Rect(round(x * unit), round(y * unit), round(w * unit), round(h * unit))

    shell = box(2, 1, 12, 14)
    round_px = round(3 * unit)
    corners = {"border_top_left_radius": round_px, "border_top_right_radius": round_px}
    pygame.draw.rect(surface, theme["accent"], shell, **corners)
    pygame.draw.rect(surface, theme["paper"], box(5.5, 3.5, 5, 11.5))
    for x in (4.5, 5.5, 9.5, 10.5):
        pygame.draw.rect(surface, theme["ink"], box(x, 4, 0.5, 9.5))
    pygame.draw.rect(surface, theme["ink"], shell, max(1, round(unit / 2)), **corners)
    return surface
