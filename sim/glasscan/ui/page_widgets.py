"""Widgets that pages share: a list to choose from, a text longer than its box."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.row_list import UP_DOWN, WHEEL_DOWN, WHEEL_UP, RowList, draw_bar
from glasscan.ui.widgets import Widget, nothing, ring


@dataclass(frozen=True)
class Row:
    """One row of a list: what it stands for, its words, a smaller line, and a word at the right."""

    word: str
    title: str
    meta: str = ""
    right: str = ""
    ticked: bool | None = None  # None: no box to tick


@dataclass
class ListBox(RowList):
    """Rows one under another; arrows mark one, Enter or a click sends its word."""

    rows: Callable[[], Sequence[Row]] = tuple
    send: Callable[[str], None] = nothing
    marks: Callable[[str], None] = nothing

    def count(self) -> int:
        return len(self.rows())

    def marked(self) -> Row | None:
        """The row that the arrows point at."""
        rows = self.rows()
        return rows[min(self.at, len(rows) - 1)] if rows else None

    def choose(self, i: int) -> None:
        """Send the word of a row."""
        self.send(self.rows()[i].word)

    def mark_moved(self) -> None:
        """Tell which row is marked now."""
        self.marks(self.rows()[self.at].word)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the rows seen, and a bar where there are more."""
        rows = self.rows()
        self.move(0)
        for i, row in enumerate(rows[self.first : self.first + self.seen]):
            box = pygame.Rect(self.box.x, self.box.y + i * self.row_h, self.box.w, self.row_h - canvas.dp(6))
            self._row(canvas, box, row, focused and self.first + i == self.at)
        if len(rows) > self.seen:
            draw_bar(canvas, self.box, self.first / len(rows), self.seen / len(rows))

    def _row(self, canvas: Canvas, box: pygame.Rect, row: Row, focused: bool) -> None:
        canvas.panel(box, "button", "edge", 10, 2)
        inner = box.inflate(-canvas.dp(28), -canvas.dp(8))
        if row.ticked is not None:
            mark = pygame.Rect(inner.x, inner.y, canvas.tp(34), inner.h)
            canvas.text(
                "■" if row.ticked else "□", mark, bold=True, colour="accent" if row.ticked else "soft"
            )
            inner = pygame.Rect(mark.right, inner.y, inner.right - mark.right, inner.h)
        right_w = canvas.measure(row.right, bold=True)[0] + canvas.dp(14) if row.right else 0
        canvas.text(row.right, inner, align="right", bold=True, shorten=True)
        left = pygame.Rect(inner.x, inner.y, inner.w - right_w, inner.h)
        title_h = canvas.measure(row.title, bold=bool(row.meta), wrap=left.w)[1]
        if row.meta:
            line = canvas.measure("Ag")[1]
            spare = max(left.h - title_h - line, 0)  # the two stand together in the middle of the row
            foot = pygame.Rect(left.x, left.bottom - line - spare // 2, left.w, line)
            canvas.text(row.meta, foot, colour="soft", shorten=True)
            left = pygame.Rect(left.x, left.y + spare // 2, left.w, foot.y - left.y - spare // 2)
        fits = title_h <= left.h
        canvas.text(row.title, left, bold=bool(row.meta), wrap=fits, shorten=not fits)
        if focused:
            ring(canvas, box)


@dataclass
class ScrollText(Widget):
    """A text that may be longer than its box; arrows, Page Up and Down and the wheel move it by lines."""

    text: Callable[[], str] = str
    colour: str = "ink"
    top: int = field(default=0, kw_only=True)
    longest: int = field(default=0, kw_only=True)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to the wheel or a key."""
        if event.type == pygame.KEYDOWN and event.key in UP_DOWN:
            self._move(UP_DOWN[event.key])
            return True
        if event.type == pygame.MOUSEBUTTONDOWN and event.button in (WHEEL_UP, WHEEL_DOWN):
            self._move(-1 if event.button == WHEEL_UP else 1)
            return True
        return False

    def _move(self, by: int) -> None:
        self.top = min(max(self.top + by, 0), self.longest)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the lines that fit, and a bar where there are more."""
        canvas.panel(self.box, "sheet", "edge", 10, 2)
        inner = self.box.inflate(-canvas.dp(36), -canvas.dp(24))
        lines = canvas.lines(self.text(), inner.w)
        line_h = max(canvas.measure("Ag", wrap=inner.w)[1], 1)
        fit = max(1, inner.h // line_h)
        self.longest = max(0, len(lines) - fit)
        self._move(0)
        canvas.text(
            "\n".join(lines[self.top : self.top + fit]), inner, valign="top", wrap=True, colour=self.colour
        )
        if self.longest:
            share = fit / len(lines)
            draw_bar(canvas, self.box.inflate(-canvas.dp(24), 0), self.top / len(lines), share)
        if focused:
            ring(canvas, self.box)
