"""Boxes of the first screen: what to do, the filters as doors, the lessons of one of them."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.ui.canvas import DESIGN_H, DESIGN_W
from glasscan.window.lesson.window_layout import LARGE_TEXT, Measure

SHOWN = 3  # filters side by side
SIDE_SHARE = 0.37  # of the width, for the lessons
Boxes = dict[str, pygame.Rect]


def plan(size: tuple[int, int], text_scale: float, modes: Sequence[str], ways: Sequence[str]) -> Boxes:
    """Boxes by name for a window size in pixels and a text scale."""
    m = Measure(min(size[0] / DESIGN_W, size[1] / DESIGN_H), text_scale)
    margin, gap = m.dp(48), m.dp(20)
    w = size[0] - 2 * margin
    boxes = {"head": pygame.Rect(margin, m.dp(22), w, m.tp(58))}
    third = (w - 2 * gap) // 3
    y = boxes["head"].bottom + m.dp(10)
    for i, mode in enumerate(modes):
        boxes[mode] = pygame.Rect(margin + i * (third + gap), y, third, m.tp(104))
    foot = boxes["foot"] = pygame.Rect(margin, size[1] - m.dp(20) - m.tp(60), w, m.tp(60))
    top = boxes[modes[-1]].bottom + gap
    main = pygame.Rect(margin, top, w, foot.y - gap - top)
    side_w = round(w * SIDE_SHARE * (1 + 0.3 * max(0.0, text_scale - 1)))
    side = boxes["side"] = pygame.Rect(main.right - side_w, main.y, side_w, main.h)
    left = pygame.Rect(main.x, main.y, side.x - gap - main.x, main.h)
    large = text_scale > LARGE_TEXT
    if ways and not large:
        row = pygame.Rect(left.x, left.bottom - m.tp(118), left.w, m.tp(118))
        left.h -= row.h + gap
        boxes |= _row(row, ways, gap)
    boxes |= _doors(left, gap)
    return boxes | _side(side, m, ways if large else (), large)


def _row(row: pygame.Rect, ways: Sequence[str], gap: int) -> Boxes:
    """The other ways in side by side under the filters; the list of lessons keeps its height."""
    w = (row.w - (len(ways) - 1) * gap) // len(ways)
    return {f"way-{way}": pygame.Rect(row.x + i * (w + gap), row.y, w, row.h) for i, way in enumerate(ways)}


def _doors(area: pygame.Rect, gap: int) -> Boxes:
    w = (area.w - (SHOWN - 1) * gap) // SHOWN
    return {f"door{i}": pygame.Rect(area.x + i * (w + gap), area.y, w, area.h) for i in range(SHOWN)}


def _side(side: pygame.Rect, m: Measure, ways: Sequence[str], large: bool) -> Boxes:
    """Heading, list, what the marked lesson is about, and with large text the other ways in."""
    inner = side.inflate(-2 * m.dp(20), -2 * m.dp(16))
    boxes: Boxes = {"lessons": pygame.Rect(inner.x, inner.y, inner.w, m.tp(40))}
    bottom, gap = inner.bottom, m.dp(10)
    tall = m.tp(54)
    for way in reversed(ways):
        boxes[f"way-{way}"] = pygame.Rect(inner.x, bottom - tall, inner.w, tall)
        bottom -= tall + gap
    about_h = 0 if large else m.tp(200)
    boxes["about"] = pygame.Rect(inner.x, bottom - about_h, inner.w, about_h)
    start = boxes["lessons"].bottom + m.dp(6)
    # the focus ring stands outside a row, the bar of a long list to the right of it
    boxes["list"] = pygame.Rect(
        inner.x, start, inner.w - m.dp(10), bottom - about_h - start - (m.dp(14) if about_h else 0)
    )
    return boxes
