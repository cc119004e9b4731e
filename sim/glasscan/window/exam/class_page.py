"""Class results at the screen: figures of the questions and of the paper; nobody is named."""

from __future__ import annotations

from pathlib import Path

import pygame

from glasscan.files import write_whole
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.units import counted
from glasscan.window.exam.class_figures import ClassView, ItemView
from glasscan.window.exam.item_table import FigureTable

BANDS = 10
READING = (
    "Right: mean share of the marks. Corrected: does it go with the other questions? Above 0.20 it does; "
    "below 0 check the key. An easy question on safety is no fault."
)


class ClassPage(Page):
    """Shows a view; W writes page and tables into a folder."""

    def __init__(self, desk: ViewOptions, view: ClassView, folder: Path) -> None:
        super().__init__(desk)
        self.view, self.folder = view, folder
        self.table = FigureTable("items", "", view.items)

    @property
    def title(self) -> str:
        """The paper."""
        return f"Class results: {self.view.paper}"

    @property
    def aside(self) -> str:
        """How many."""
        return counted(len(self.view.totals), "person", "people")

    def first(self) -> str | None:
        """The table."""
        return "items"

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("↑  ↓", "another question"),
            Binding("W", "write page and tables", {"w": self.write}),
        )

    def write(self) -> None:
        """Write the page to print and the tables."""
        try:
            for name, text in self.view.files.items():
                write_whole(self.folder / name, text)
        except OSError as trouble:
            self.tell(f"Not written: {' '.join(str(trouble).split())}", bad=True)
            return
        self.tell(f"Written: {', '.join(self.view.files)} in {self.folder.name}")

    # --- layout -------------------------------------------------------------------------------------

    def columns(self, canvas: Canvas, body: pygame.Rect) -> tuple[pygame.Rect, pygame.Rect]:
        """Table; the rest."""
        gap, w = canvas.dp(40), body.w * 58 // 100
        right = pygame.Rect(body.x + w + gap, body.y, body.w - w - gap, body.h)
        return pygame.Rect(body.x, body.y, w, body.h), right

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Table and button."""
        left, right = self.columns(canvas, body)
        reading_h = canvas.measure(READING, wrap=left.w)[1] + canvas.dp(16)
        self.table.box = pygame.Rect(left.x, left.y, left.w - canvas.dp(16), left.h - reading_h)
        h = canvas.tp(58)
        write = pygame.Rect(right.x, right.bottom - h, right.w, h)
        return [self.table, Button("write", "Write page and tables (W)", self.write, box=write)]

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """How to read it; scores, the paper as a whole, the question marked."""
        left, right = self.columns(canvas, body)
        foot = pygame.Rect(left.x, self.table.box.bottom + canvas.dp(8), left.w, 0)
        foot.h = left.bottom - foot.y
        canvas.text(READING, foot, valign="top", wrap=True, colour="soft")
        y = self._scores(canvas, right)
        y = self._figures(canvas, pygame.Rect(right.x, y, right.w, right.bottom - y))
        item = self.view.items[self.table.at] if self.view.items else None
        y = self._asked(canvas, pygame.Rect(right.x, y, right.w, right.bottom - y), item)
        rest = pygame.Rect(right.x, y, right.w, right.bottom - canvas.tp(58) - canvas.dp(16) - y)
        if item is not None and item.choices:
            self._choices(canvas, rest, item)
        else:
            self._warnings(canvas, rest)

    def _scores(self, canvas: Canvas, box: pygame.Rect) -> int:
        """Bars of ten bands of the score, with the pass mark; returns where it ends."""
        view, line = self.view, canvas.measure("Ag")[1]
        head = pygame.Rect(box.x, box.y, box.w, line + canvas.dp(6))
        text = f"Scores: {view.passed} of {len(view.totals)} reached {view.pass_share:.0%}"
        canvas.text(text, head, bold=True, shorten=True)
        tall = canvas.tp(96)
        plot = pygame.Rect(box.x, head.bottom + canvas.dp(4), box.w, tall)
        canvas.panel(plot, "well", "edge", 4, 2)
        counts = [0] * BANDS
        for total in view.totals:
            counts[min(int(total * BANDS + 1e-9), BANDS - 1)] += 1
        w, most = plot.w / BANDS, max([*counts, 1])
        for i, count in enumerate(counts):
            h = round((plot.h - canvas.dp(8)) * count / most)
            x = plot.x + round(i * w)
            bar = pygame.Rect(x + 2, plot.bottom - h - 2, round(w) - 4, h)
            canvas.panel(bar, "bar" if count else None, None, 3)
        x = plot.x + round(plot.w * view.pass_share)
        pygame.draw.line(canvas.surface, canvas.theme["accent"], (x, plot.y), (x, plot.bottom), canvas.dp(4))
        axis = pygame.Rect(box.x, plot.bottom, box.w, line)
        canvas.text("0 %", axis, colour="soft")
        canvas.text("100 %", axis, colour="soft", align="right")
        return axis.bottom + canvas.dp(10)

    def _figures(self, canvas: Canvas, box: pygame.Rect) -> int:
        """Figures of the paper; returns where they end."""
        line = canvas.measure("Ag")[1] + canvas.dp(4)
        for i, (words, value) in enumerate(self.view.figures):
            row = pygame.Rect(box.x, box.y + i * line, box.w, line)
            value_w = canvas.measure(value, bold=True)[0] + canvas.dp(10)
            canvas.text(value, row, bold=True, align="right")
            canvas.text(words, pygame.Rect(row.x, row.y, row.w - value_w, row.h), colour="soft", shorten=True)
        return box.y + len(self.view.figures) * line + canvas.dp(12)

    def _asked(self, canvas: Canvas, box: pygame.Rect, item: ItemView | None) -> int:
        """The question marked in its own words, as far as half the room holds them; returns where it ends."""
        if item is None or not item.asked:
            return box.y
        line = canvas.measure("Ag")[1]
        place = pygame.Rect(box.x, box.y, box.w, max(line, (box.h - canvas.tp(58)) // 2))
        words = canvas.fitting(item.asked, place)
        place.h = canvas.measure(words, wrap=place.w)[1]
        canvas.text(words, place, valign="top", wrap=True)
        return place.bottom + canvas.dp(12)

    def _warnings(self, canvas: Canvas, box: pygame.Rect) -> None:
        """As many warnings as fit, the first ones first."""
        y = box.y
        for text in self.view.warnings:
            h = canvas.measure(text, wrap=box.w)[1]
            if y + h > box.bottom:
                return
            canvas.text(text, pygame.Rect(box.x, y, box.w, h), valign="top", wrap=True, colour="warn")
            y += h + canvas.dp(10)

    def _choices(self, canvas: Canvas, box: pygame.Rect, item: ItemView) -> None:
        """How often each choice of the question was taken."""
        line = canvas.measure("Ag")[1]
        head = pygame.Rect(box.x, box.y, box.w, line + canvas.dp(4))
        canvas.text(f"{item.name}: choices taken", head, bold=True, shorten=True)
        each = line + canvas.dp(26)
        for i, choice in enumerate(item.choices):
            row = pygame.Rect(box.x, head.bottom + i * each, box.w, each)
            if row.bottom > box.bottom:
                return
            value = f"{choice.share:.0%}"
            told = f"{'✓ ' if choice.is_key else ''}{choice.text}"
            told += f" ({choice.remark})" if choice.remark else ""
            value_w = canvas.measure(value, bold=True)[0] + canvas.dp(10)
            top = pygame.Rect(row.x, row.y, row.w, line)
            canvas.text(value, top, bold=True, align="right")
            canvas.text(told, pygame.Rect(row.x, row.y, row.w - value_w, line), shorten=True)
            bar = pygame.Rect(row.x, top.bottom + canvas.dp(2), round(row.w * choice.share), canvas.dp(12))
            canvas.panel(bar, "good" if choice.is_key else "bar", None, 3)
