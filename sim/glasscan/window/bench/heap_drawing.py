"""One heap spread on a dish: pieces large enough to be told, paste wiped thin."""

from __future__ import annotations

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.bench.bench_top import look, mixed
from glasscan.window.bench.debris_sketch import draw_piece_at
from glasscan.workshop.inspection.heaps import Heap


def draw_heap(canvas: Canvas, plate: pygame.Rect, heap: Heap) -> None:
    """A heap spread on a dish at a size at which its pieces can be told, with a bar of 1 mm."""
    r = plate.w * 0.40
    if heap.film_kg > 0:
        _smear(canvas, plate, heap.code if heap.code in ("D10", "D11", "D16") else "D1", r)
    longest = max(heap.longest_m, 4e-4)
    px_m = min(r * 0.42 / longest, 60.0 * canvas.scale * 1e3)
    shown = heap.pieces[:44]
    for i, piece in enumerate(shown):
        far, turn = r * np.sqrt(i / max(len(shown), 1)) * 0.92, 2.4 * i
        at = (plate.centerx + far * np.cos(turn), plate.centery + far * np.sin(turn))
        draw_piece_at(canvas.surface, piece.code, at, piece.size_m * px_m, piece.turn, i)
    if heap.pieces:
        long, y = round(1e-3 * px_m), plate.bottom - round(plate.h * 0.09)
        ends = (plate.centerx - long // 2, y), (plate.centerx + long // 2, y)
        pygame.draw.line(canvas.surface, (20, 22, 26), *ends, canvas.dp(4))
        tag = pygame.Rect(0, 0, canvas.tp(90), canvas.tp(32))
        tag.midtop = (plate.centerx, y + canvas.dp(4))
        canvas.panel(tag, "sheet", "edge", 8, 1)
        canvas.text("1 mm", tag, align="centre")


def _smear(canvas: Canvas, plate: pygame.Rect, code: str, r: float) -> None:
    """Paste wiped onto the dish: thin at its ends, with grains in it."""
    random, colour = np.random.default_rng(5), look("film", code)
    for _ in range(2600):
        along = float(np.clip(random.normal(0.0, 0.42), -1.0, 1.0))
        off = random.normal(0.0, 0.11 * (1.15 - abs(along)))
        x = plate.centerx + along * r * 0.9
        y = plate.centery + r * (0.22 * np.sin(2.6 * along) + off)
        shade = mixed(colour, (150, 154, 158), float(random.uniform(0.0, 0.3)))
        pygame.draw.circle(canvas.surface, shade, (x, y), r * random.uniform(0.006, 0.026))
