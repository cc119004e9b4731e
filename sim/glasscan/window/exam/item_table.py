"""A table of the questions of a paper: how many were right, how each fits the rest, and what that means."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.row_list import UP_DOWN, WHEEL_DOWN, WHEEL_UP, draw_bar
from glasscan.ui.widgets import LEFT_BUTTON, Widget, nothing, ring
from glasscan.window.exam.class_figures import ItemView, number

HEADS = ("Question", "Right", "Corrected", "In words")
SHARES = (0.44, 0.13, 0.17, 0.26)


@dataclass
class FigureTable(Widget):
    """Rows under a head; arrows mark one."""

    items: Sequence[ItemView] = ()
    marks: Callable[[int], object] = nothing
    at: int = 0
    first: int = 0
    row_h: int = 1

    @property
    def seen(self) -> int:
        """Rows seen at once, below the head."""
        return max(1, self.box.h // self.row_h - 1)

    def move(self, by: int) -> None:
        """Mark another row and bring it into view."""
        self.at = min(max(self.at + by, 0), max(len(self.items) - 1, 0))
        self.first = min(max(self.first, self.at - self.seen + 1, 0), self.at)
        self.marks(self.at)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click, the wheel or a key."""
        if event.type == pygame.KEYDOWN and event.key in UP_DOWN:
            self.move(UP_DOWN[event.key])
            return True
        if event.type != pygame.MOUSEBUTTONDOWN:
            return False
        if event.button in (WHEEL_UP, WHEEL_DOWN):
            self.move(-1 if event.button == WHEEL_UP else 1)
        elif event.button == LEFT_BUTTON:
            place = self.first + (event.pos[1] - self.box.y) // self.row_h - 1
            if 0 <= place < len(self.items):
                self.move(place - self.at)
        return True

    def columns(self, y: int) -> list[pygame.Rect]:
        """Boxes of the columns in a row."""
        boxes, x = [], self.box.x
        for share in SHARES:
            w = round(self.box.w * share)
            boxes.append(pygame.Rect(x, y, w, self.row_h))
            x += w
        return boxes

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw head and rows."""
        self.row_h = canvas.tp(52)
        pad = canvas.dp(14)
        for box, head in zip(self.columns(self.box.y), HEADS, strict=True):
            canvas.text(head, box.inflate(-pad, 0), bold=True, colour="soft", shorten=True)
        for i, item in enumerate(self.items[self.first : self.first + self.seen]):
            y = self.box.y + (i + 1) * self.row_h
            row = pygame.Rect(self.box.x, y, self.box.w, self.row_h - canvas.dp(4))
            marked = self.first + i == self.at
            canvas.panel(row, "button" if marked else "sheet", "edge" if marked else None, 8, 2)
            self._cells(canvas, self.columns(y), item, pad)
            if marked and focused:
                ring(canvas, row)
        if len(self.items) > self.seen:
            below = pygame.Rect(self.box.x, self.box.y + self.row_h, self.box.w, self.seen * self.row_h)
            draw_bar(canvas, below, self.first / len(self.items), self.seen / len(self.items))

    def _cells(self, canvas: Canvas, boxes: Sequence[pygame.Rect], item: ItemView, pad: int) -> None:
        colour = "warn" if item.alarm else "ink"
        words = f"▲ {item.words}" if item.alarm else item.words
        texts = (item.name, f"{item.right:.0%}", number(item.corrected), words)
        for box, text in zip(boxes, texts, strict=True):
            place = box.inflate(-pad, -canvas.dp(4))
            canvas.text(text, place, colour=colour, bold=item.alarm, shorten=True)
