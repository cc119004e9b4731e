"""Boxes of the bench page: tabs over the picture, the lens and its words beside it, tools below."""

from __future__ import annotations

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.lesson.window_layout import LARGE_TEXT

LENS_SHARE, LENS_SHARE_LARGE = 0.52, 0.42  # of the column's height


def bench_boxes(canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
    """Tabs, picture, tools; the column beside them whole (`column`), and as lens and words."""
    gap, tab_h, tool_h = canvas.dp(14), canvas.tp(48), canvas.tp(64)
    column_w = min(canvas.tp(430), round(body.w * 0.40))
    left = body.w - column_w - canvas.dp(24)
    tabs = pygame.Rect(body.x, body.y, left, tab_h)
    tools = pygame.Rect(body.x, body.bottom - tool_h, body.w, tool_h)
    picture = pygame.Rect(body.x, tabs.bottom + gap, left, tools.y - tabs.bottom - 2 * gap)
    column = pygame.Rect(body.right - column_w, body.y, column_w, tools.y - gap - body.y)
    share = LENS_SHARE_LARGE if canvas.text_scale > LARGE_TEXT else LENS_SHARE
    lens = pygame.Rect(column.x, column.y, column.w, min(column.w, round(column.h * share)))
    words = pygame.Rect(column.x, lens.bottom + gap, column.w, column.bottom - lens.bottom - gap)
    return {
        "tabs": tabs, "picture": picture, "tools": tools, "column": column, "lens": lens, "words": words,
    }  # fmt: skip
