"""Where things lie on the page of a case: the filter at the left, what is known, what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas

LEFT_DP, GAP_DP = 432, 24
MOST_LARGE_LINES = 3
MIDDLE_SHARE = 0.475  # of what the left column leaves


@dataclass(frozen=True)
class Places:
    """Boxes of the three columns."""

    picture: pygame.Rect
    state: pygame.Rect
    acts: tuple[pygame.Rect, ...]
    caution: pygame.Rect
    complaint: pygame.Rect
    known: pygame.Rect
    tabs: tuple[pygame.Rect, ...]
    pane: pygame.Rect


def places(
    canvas: Canvas, body: pygame.Rect, complaint: str, cautions: Sequence[str], tabs: Sequence[str]
) -> Places:
    """Boxes inside the body of the page."""
    gap, line = canvas.dp(GAP_DP), canvas.measure("Ag")[1]
    left = pygame.Rect(body.x, body.y, canvas.dp(LEFT_DP), body.h)
    rest = body.right - left.right - 2 * gap
    middle = pygame.Rect(left.right + gap, body.y, round(rest * MIDDLE_SHARE), body.h)
    right = pygame.Rect(middle.right + gap, body.y, body.right - middle.right - gap, body.h)
    inner = middle.w - canvas.dp(48)
    words = canvas.measure(complaint, complaint_role(canvas, complaint, inner), wrap=inner)[1]
    said = pygame.Rect(middle.x, middle.y, middle.w, words + line + canvas.dp(36))
    known = pygame.Rect(
        middle.x, said.bottom + canvas.dp(14), middle.w, middle.bottom - said.bottom - canvas.dp(14)
    )
    buttons = tab_boxes(canvas, right, tabs)
    y = buttons[-1].bottom + canvas.dp(14)
    pane = pygame.Rect(right.x, y, right.w, right.bottom - y)
    caution_h = max(canvas.measure(text, wrap=left.w)[1] for text in cautions)
    return Places(*_left(canvas, left, line, caution_h), said, known, buttons, pane)


def complaint_role(canvas: Canvas, complaint: str, w: int) -> str:
    """A short complaint is written large, a long one must leave room for the readings."""
    return "title" if len(canvas.lines(complaint, w, "title")) <= MOST_LARGE_LINES else "body"


def tab_boxes(canvas: Canvas, right: pygame.Rect, tabs: Sequence[str]) -> tuple[pygame.Rect, ...]:
    """Buttons over the pane in one row; in two where the words are too wide."""
    gap, high = canvas.dp(8), canvas.tp(56)
    widest = max(canvas.measure(text, bold=True)[0] for text in tabs) + canvas.dp(18)
    each = len(tabs) if widest <= (right.w - (len(tabs) - 1) * gap) // len(tabs) else (len(tabs) + 1) // 2
    rows = [tabs[i : i + each] for i in range(0, len(tabs), each)]
    boxes = [
        box
        for k, row in enumerate(rows)
        for box in in_row(pygame.Rect(right.x, right.y + k * (high + gap), right.w, high), len(row), gap)
    ]
    return tuple(boxes)


def _left(
    canvas: Canvas, left: pygame.Rect, line: int, caution_h: int
) -> tuple[pygame.Rect, pygame.Rect, tuple[pygame.Rect, ...], pygame.Rect]:
    """Picture, state, three acts and the caution, from the foot up."""
    caution = pygame.Rect(left.x, 0, left.w, caution_h)
    caution.bottom = left.bottom
    high, gap = canvas.tp(54), canvas.dp(10)
    top = caution.y - canvas.dp(8) - 3 * high - 2 * gap
    acts = tuple(pygame.Rect(left.x, top + i * (high + gap), left.w, high) for i in range(3))
    state = pygame.Rect(left.x, 0, left.w, 2 * line + canvas.dp(26))
    state.bottom = top - canvas.dp(12)
    return pygame.Rect(left.x, left.y, left.w, state.y - canvas.dp(12) - left.y), state, acts, caution


def in_row(box: pygame.Rect, count: int, gap: int) -> tuple[pygame.Rect, ...]:
    """Boxes of one width side by side."""
    wide = (box.w - (count - 1) * gap) // count
    return tuple(pygame.Rect(box.x + i * (wide + gap), box.y, wide, box.h) for i in range(count))
