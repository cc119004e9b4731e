"""Panels: corners from a small picture, the rest by fills, look like one smooth rounded rectangle."""

import numpy as np
import pygame
import pytest
from glasscan.ui.canvas import Canvas, draw_rounded, rounded
from glasscan.ui.theme import load_theme

INK, EDGE = (10, 20, 30), (200, 100, 50)


@pytest.mark.parametrize("inks", [(INK, EDGE), (None, EDGE), (INK, None)])
@pytest.mark.parametrize(
    ("size", "radius", "line"), [((300, 200), 10, 2), ((61, 45), 13, 4), ((500, 9), 4, 1)]
)
def test_it_looks_like_one_picture(size, radius, line, inks):
    """No pixel differs from the rounded rectangle drawn whole by more than a rounding of the smoothing."""
    whole = pygame.Surface((size[0] + 20, size[1] + 20))
    whole.fill((255, 255, 255))
    pieces = whole.copy()
    whole.blit(rounded(*size, *inks, radius, line), (10, 10))
    draw_rounded(pieces, pygame.Rect(10, 10, *size), *inks, radius, line)
    a, b = (pygame.surfarray.array3d(s).astype(int) for s in (whole, pieces))
    assert np.abs(a - b).max() <= 1


def test_panels_of_many_sizes_keep_little():
    """A hundred large panels of different sizes share the picture of their corners."""
    canvas = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"))
    rounded.cache_clear()
    for i in range(100):
        canvas.panel(pygame.Rect(10, 10, 900 + i, 700 + i), "sheet", "edge", 12, 2)
    assert rounded.cache_info().currsize == 1
