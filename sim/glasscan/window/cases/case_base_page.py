"""What all pages of a case share: one number large in the head."""

from __future__ import annotations

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page


class CaseBase(Page):
    """A page with a number of its own in the head."""

    @property
    def figure(self) -> tuple[str, str]:
        """A number for the head and what it is of; both empty where there is none."""
        return "", ""

    def _draw_head(self, canvas: Canvas, head: pygame.Rect) -> None:
        value, words = self.figure
        if not value:
            super()._draw_head(canvas, head)
            return
        words_w = canvas.measure(words)[0]
        value_w = canvas.measure(value, "number", True)[0]
        right = pygame.Rect(head.right - words_w, head.y, words_w, head.h - canvas.tp(6))
        canvas.text(words, right, colour="soft", valign="bottom")
        number = pygame.Rect(right.x - canvas.dp(12) - value_w, head.y, value_w, head.h)
        canvas.text(value, number, role="number", bold=True, colour="accent", align="right")
        super()._draw_head(canvas, pygame.Rect(head.x, head.y, number.x - canvas.dp(30) - head.x, head.h))
