"""What every list of rows does: mark one by arrows, wheel or click, keep it in view, choose it."""

from __future__ import annotations

from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, Widget

WHEEL_UP, WHEEL_DOWN = 4, 5
UP_DOWN = {pygame.K_UP: -1, pygame.K_DOWN: 1, pygame.K_PAGEUP: -5, pygame.K_PAGEDOWN: 5}


@dataclass
class RowList(Widget):
    """Rows one under another; a subclass says how many there are, what choosing one does, and draws them.

    Attributes:
        row_h: height of a row, px.
        at: the row marked.
        first: the row at the top of the box.
    """

    row_h: int = field(default=64, kw_only=True)
    at: int = field(default=0, kw_only=True)
    first: int = field(default=0, kw_only=True)

    def count(self) -> int:
        """How many rows there are."""
        return 0

    def choose(self, i: int) -> None:
        """The i-th row was clicked, or Enter pressed on it."""

    def mark_moved(self) -> None:
        """Another row is marked now."""

    @property
    def seen(self) -> int:
        """How many rows are seen at once."""
        return max(1, self.box.h // max(self.row_h, 1))

    def move(self, by: int) -> None:
        """Mark another row and bring it into view."""
        before = self.at
        self.at = min(max(self.at + by, 0), max(self.count() - 1, 0))
        self.first = min(max(self.first, self.at - self.seen + 1, 0), self.at)
        if self.at != before and self.count():
            self.mark_moved()

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click, the wheel or a key."""
        if event.type == pygame.KEYDOWN:
            return self.key(event.key)
        if event.type != pygame.MOUSEBUTTONDOWN:
            return False
        if event.button in (WHEEL_UP, WHEEL_DOWN):
            self.move(-1 if event.button == WHEEL_UP else 1)
            return True
        place = self.first + (event.pos[1] - self.box.y) // self.row_h
        if place < self.count():
            self.move(place - self.at)
            self.choose(place)
        return True

    def key(self, key: int) -> bool:
        """React to a key; True where it was used."""
        if key in UP_DOWN:
            self.move(UP_DOWN[key])
            return True
        if key in ENTER and self.count():
            self.choose(min(self.at, self.count() - 1))
            return True
        return False


def draw_bar(canvas: Canvas, box: pygame.Rect, first: float, share: float) -> None:
    """A scroll bar at the right of a box: where the part seen begins, and how much of the whole it is."""
    bar = pygame.Rect(box.right + canvas.dp(6), box.y, canvas.dp(6), max(8, round(box.h * share)))
    bar.y += round(box.h * first)
    canvas.panel(bar, "edge", None, 3)
