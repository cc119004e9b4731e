"""A paper after its marking: the outcome in one sentence, and for each question what was said and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Widget


@dataclass(frozen=True)
class MarkedPaper:
    """One question: its words, the answer, the mark and the reason."""

    ask: str
    said: str
    marks: float
    out_of: float
    reason: str

    @property
    def sign(self) -> str:
        """Right, partly or not, by sign and word."""
        if self.marks >= self.out_of:
            return "✓ right"
        return "◐ partly" if self.marks > 0 else "✗ not yet"


class MarkedPage(Page):
    """Questions on the left, the reason of the one marked by the arrows on the right."""

    def __init__(
        self, desk: ViewOptions, name: str, line: str, passed: bool, told: Sequence[MarkedPaper]
    ) -> None:
        super().__init__(desk)
        self.name, self.line, self.passed, self.told = name, line, passed, list(told)
        self.at = 0
        self._reading = ScrollText("reason", "", self._why)

    @property
    def title(self) -> str:
        """The paper."""
        return self.name

    def first(self) -> str | None:
        """The questions."""
        return "questions"

    def _line_h(self, canvas: Canvas, body: pygame.Rect) -> int:
        return canvas.measure(self.line, bold=True, wrap=body.w)[1] + canvas.dp(20)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """The list and the reason."""
        y = body.y + self._line_h(canvas, body)
        w, gap = body.w * 45 // 100, canvas.dp(44)
        rows = [Row(str(i), t.ask, f"{t.marks:.3g} of {t.out_of:g}", t.sign) for i, t in enumerate(self.told)]
        left = pygame.Rect(body.x, y, w, body.bottom - y)
        self._reading.box = pygame.Rect(body.x + w + gap, y, body.w - w - gap, body.bottom - y)
        row_h = canvas.tp(96)
        box = ListBox("questions", "", lambda: rows, self._show, self._show, box=left, row_h=row_h)
        return [box, self._reading]

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The outcome."""
        place = pygame.Rect(body.x, body.y, body.w, self._line_h(canvas, body))
        colour = "good" if self.passed else "warn"
        canvas.text(self.line, place, valign="top", wrap=True, bold=True, colour=colour)

    def _show(self, word: str) -> None:
        self.at, self._reading.top = int(word), 0

    def _why(self) -> str:
        if not self.told:
            return ""
        t = self.told[self.at]
        return f"{t.ask}\n\nYou said: {t.said}\n\n{t.marks:.3g} of {t.out_of:g}. {t.reason}"
