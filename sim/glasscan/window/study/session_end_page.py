"""The end of a session: marks, and when the questions come again."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget


class OverPage(Page):
    """Shows what a session brought.

    Args:
        desk: choices of the view.
        heading: title.
        summary: one or two sentences.
        rows: one for each question.
    """

    def __init__(self, desk: ViewOptions, heading: str, summary: str, rows: Sequence[Row]) -> None:
        super().__init__(desk)
        self.heading, self.summary, self.rows = heading, summary, list(rows)

    @property
    def title(self) -> str:
        """Heading."""
        return self.heading

    def first(self) -> str | None:
        """The way on."""
        return "done"

    def _summary_h(self, canvas: Canvas, body: pygame.Rect) -> int:
        return canvas.measure(self.summary, wrap=body.w)[1] + canvas.dp(20)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """The rows and the way on."""
        top = body.y + self._summary_h(canvas, body)
        h = canvas.tp(60)
        rows = pygame.Rect(body.x, top, body.w - canvas.dp(16), body.bottom - top - h - canvas.dp(16))
        done = pygame.Rect(body.x, body.bottom - h, min(canvas.tp(420), body.w), h)
        return [
            ListBox("rows", "", lambda: self.rows, box=rows, row_h=canvas.tp(92)),
            Button("done", "Done", self.back, box=done),
        ]

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The summary."""
        place = pygame.Rect(body.x, body.y, body.w, self._summary_h(canvas, body))
        canvas.text(self.summary, place, valign="top", wrap=True)
