"""A paper after its marking: the outcome in one sentence, and for each question what was said and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from glasscan.ui import layout
from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Text
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.view_options import ViewOptions


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

    def compose(self, canvas: Canvas) -> Node:
        """The outcome over the list and the reason."""
        rows = [Row(str(i), t.ask, f"{t.marks:.3g} of {t.out_of:g}", t.sign) for i, t in enumerate(self.told)]
        box = ListBox("questions", "", lambda: rows, self._show, self._show, row_h=canvas.tp(96))
        both = [Item(box, grow=45), Item(self._reading, grow=55)]
        line = Text(self.line, bold=True, colour="good" if self.passed else "warn")
        return Column([line, layout.Row(both, gap=44, grow=1)], gap=20)

    def _show(self, word: str) -> None:
        self.at, self._reading.top = int(word), 0

    def _why(self) -> str:
        if not self.told:
            return ""
        t = self.told[self.at]
        return f"{t.ask}\n\nYou said: {t.said}\n\n{t.marks:.3g} of {t.out_of:g}. {t.reason}"
