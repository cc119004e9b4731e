"""Confidence against what came, as a picture: where each level pays, and the share that was right."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.learning.scoring.confidence import Calibrated
from glasscan.ui.canvas import Canvas

ADVICE = {
    "fits": "fits what came",
    "too bold": "too bold: lower odds",
    "too shy": "too shy: higher odds",
    "–": "no answers yet",
}


def draw_calibration(canvas: Canvas, box: pygame.Rect, rows: Sequence[Calibrated]) -> None:
    """Draw one scale from 0 to 100 % right for each level of odds."""
    line = canvas.measure("Ag")[1]
    head = pygame.Rect(box.x, box.y, box.w, line + canvas.dp(8))
    canvas.text("Odds you gave, and how often you were right", head, bold=True, shorten=True)
    foot = pygame.Rect(box.x, box.bottom - line, box.w, line)
    for text, align in (("0 %", "left"), ("50 %", "centre"), ("100 % right", "right")):
        canvas.text(text, foot, colour="soft", align=align)
    each = (foot.y - head.bottom) // len(rows)
    for i, row in enumerate(rows):
        _row(canvas, pygame.Rect(box.x, head.bottom + i * each, box.w, each - canvas.dp(8)), row)


def _row(canvas: Canvas, box: pygame.Rect, row: Calibrated) -> None:
    line = canvas.measure("Ag")[1]
    words = pygame.Rect(box.x, box.y, box.w, line)
    told = ADVICE[row.verdict]
    if row.share is not None:
        told = f"{row.right} of {row.answers}: {told}"
    told_w = canvas.measure(told, bold=True)[0] + 2
    colour = {"fits": "good", "–": "soft"}.get(row.verdict, "warn")
    canvas.text(told, words, align="right", bold=True, colour=colour, shorten=True)
    room = pygame.Rect(words.x, words.y, max(words.w - told_w - canvas.dp(12), 1), line)
    canvas.text(row.odds, room, shorten=True)
    tall = min(max(box.bottom - words.bottom - canvas.dp(6), 6), canvas.dp(40))
    track = pygame.Rect(box.x, words.bottom + canvas.dp(4), box.w, tall)
    canvas.panel(track, "well", "edge", 6, 2)
    band = track.inflate(-4, -4)
    band.x, band.w = track.x + 2 + round(band.w * row.at_least), round(band.w * (row.below - row.at_least))
    _hatch(canvas, band)
    if row.share is not None:
        _mark(canvas, track, row.share, colour)


def _hatch(canvas: Canvas, band: pygame.Rect) -> None:
    """The band in which a level pays: slanted lines, so that it is seen without colour."""
    surface = canvas.surface
    before = surface.get_clip()
    surface.set_clip(band)
    for x in range(band.x - band.h, band.right, canvas.dp(14)):
        ends = (x, band.bottom), (x + band.h, band.y)
        pygame.draw.line(surface, canvas.theme["edge"], *ends, canvas.dp(2))
    surface.set_clip(before)
    for x in (band.x, band.right - 1):
        pygame.draw.line(surface, canvas.theme["edge"], (x, band.y), (x, band.bottom - 1), canvas.dp(2))


def _mark(canvas: Canvas, track: pygame.Rect, share: float, colour: str) -> None:
    """A lozenge at the share that was right."""
    r = track.h // 2 + canvas.dp(3)
    x = min(max(track.x + round(track.w * share), track.x + r), track.right - r)
    y = track.centery
    points = [(x - r, y), (x, y - r), (x + r, y), (x, y + r)]
    pygame.draw.polygon(canvas.surface, canvas.theme[colour], points)
    pygame.draw.polygon(canvas.surface, canvas.theme["paper"], points, canvas.dp(3))
