"""Debris drawn in the cutaway: outlines by kind in its own colour with a contrary rim, and their legend."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Colour, luminance, raw, rgb
from glasscan.window.cutaway.section_view import View
from glasscan.window.lesson.debris_controller import CAKE, Body, DebrisController
from glasscan.window.lesson.window_layout import LARGE_TEXT

LEAST_DP = 6.0  # a smaller piece is drawn this large, so that it is seen
SHOWN_KINDS = 4
DARK, LIGHT = (12, 14, 18), (250, 250, 246)
MIDDLE = 0.18  # luminance from which a dark rim shows better than a light one


@cache
def colour_of(kind: str) -> Colour:
    """Colour of a kind of debris, by the first word of its look that has a colour in the theme."""
    from glasscan.debris.debris_data import catalogue

    known = raw()["debris"]
    words = catalogue().kind(kind).colours
    return rgb(next((known[w] for w in words if w in known), known["grey"]))


def rim_of(colour: Colour) -> Colour:
    """Dark round light pieces, light round dark ones."""
    return DARK if luminance(colour) > MIDDLE else LIGHT


def draw_bodies(canvas: Canvas, bodies: list[Body], view: View) -> None:
    """Draw every body where it is."""
    old = canvas.surface.get_clip()
    canvas.surface.set_clip(view.area)
    least = LEAST_DP * canvas.scale
    rim = max(1, round(1.6 * canvas.scale))
    looks = {kind: (colour_of(kind), rim_of(colour_of(kind))) for kind in {b.kind for b in bodies}}
    for body, corners in zip(bodies, _corners(bodies, view, least), strict=True):
        colour, edge = looks[body.kind]
        pygame.draw.polygon(canvas.surface, edge, corners, 2 * rim + 1)
        pygame.draw.polygon(canvas.surface, colour, corners)
    canvas.surface.set_clip(old)


def _corners(bodies: list[Body], view: View, least_px: float) -> list[list[tuple[float, float]]]:
    """Corners of all bodies on the window, each blown up about its middle to a least size."""
    if not bodies:
        return []
    counts = np.array([len(b.outline) for b in bodies])
    starts = np.concatenate([[0], np.cumsum(counts)])
    side = np.repeat([b.side for b in bodies], counts)
    points = view.points(np.concatenate([b.outline for b in bodies]) * np.stack([side, abs(side)], axis=1))
    low, high = (f.reduceat(points, starts[:-1], axis=0) for f in (np.minimum, np.maximum))
    factor = np.maximum(least_px / np.maximum((high - low).max(axis=1), 1e-6), 1.0)
    middle = np.repeat((low + high) / 2, counts, axis=0)
    grown = middle + (points - middle) * np.repeat(factor, counts)[:, None]
    flat = list(zip(*grown.T.tolist(), strict=True))
    return [flat[a:b] for a, b in pairwise(starts.tolist())]


def legend_rows(
    loose: DebrisController, short: bool = False, combed_kg: float | None = None
) -> list[tuple[str, str]]:
    """Kind and words of each row of the legend; an empty kind has no swatch. A short one has one row each.

    `combed_kg` is what a scraper has taken off; None where there is none.
    """
    counts = list(loose.by_kind().items())
    cake = [(CAKE, f"scraped off: {1e3 * combed_kg:.2f} g")] if combed_kg is not None else []
    if short:
        return cake + ([(counts[0][0], f"{loose.count} pieces")] if counts else [])
    rows = cake + [(kind, f"{n} × {kind.replace('-', ' ')}") for kind, n in counts[:SHOWN_KINDS]]
    rest = sum(n for _, n in counts[SHOWN_KINDS:])
    if rest:
        rows.append(("", f"{rest} others"))
    if loose.passed():
        rows.append(("", f"{loose.passed()} went out with the oil"))
    return rows


def draw_legend(
    canvas: Canvas, box: pygame.Rect, loose: DebrisController, combed_kg: float | None = None
) -> int:
    """Draw the legend at the foot of a box; returns its height."""
    rows = legend_rows(loose, canvas.text_scale > LARGE_TEXT, combed_kg)
    if combed_kg is not None:
        canvas.record("combed_mg", round(1e6 * combed_kg, 1))
    mark = canvas.tp(20)
    wide = box.w - mark - canvas.dp(10)
    heights = [canvas.measure(text, wrap=wide)[1] for _, text in rows]
    y = top = box.bottom - sum(heights)
    for (kind, text), h in zip(rows, heights, strict=True):
        if kind:
            line = canvas.measure("Ag")[1]
            diamond = pygame.Rect(box.x, y + (line - mark) // 2, mark, mark)
            corners = [diamond.midtop, diamond.midright, diamond.midbottom, diamond.midleft]
            pygame.draw.polygon(canvas.surface, colour_of(kind), corners)
            pygame.draw.polygon(canvas.surface, rim_of(colour_of(kind)), corners, max(1, canvas.dp(2)))
        canvas.text(text, pygame.Rect(box.x + mark + canvas.dp(10), y, wide, h), valign="top", wrap=True)
        y += h
    return box.bottom - top
