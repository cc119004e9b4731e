"""The questions of a paper as numbered cells: which is shown, which have an answer that is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, LEFT_BUTTON, Widget, ring


@dataclass
class QuestionMap(Widget):
    """Cells in rows; arrows mark one, Enter or a click goes there."""

    count: int = 1
    at: Callable[[], int] = lambda: 0
    kept: Callable[[int], bool] = bool
    go: Callable[[int], object] = lambda _: None
    aim: int = -1
    across: int = 1
    deep: int = 1
    cell: int = 10

    def fit(self, canvas: Canvas, place: pygame.Rect) -> int:
        """Size the cells for a place; the height they take, px."""
        self.cell = canvas.tp(58)
        self.across = max(1, place.w // self.cell)
        rows = -(-self.count // self.across)
        self.deep = max(1, min(rows, place.h // self.cell))
        self.box = pygame.Rect(place.x, place.y, place.w, self.deep * self.cell)
        return self.box.h

    @property
    def _first(self) -> int:
        """First row seen: the question aimed at is always in view."""
        row = (self.aim if self.aim >= 0 else self.at()) // self.across
        return max(0, row - self.deep + 1)

    def place(self, i: int) -> pygame.Rect:
        """Box of a cell."""
        row, column = divmod(i, self.across)
        gap = max(2, self.cell // 12)
        corner = self.box.x + column * self.cell, self.box.y + (row - self._first) * self.cell
        return pygame.Rect(*corner, self.cell - gap, self.cell - gap)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click or a key."""
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON:
            hit = next((i for i in range(self.count) if self.place(i).collidepoint(event.pos)), None)
            if hit is not None:
                self.go(hit)
            return True
        if event.type != pygame.KEYDOWN:
            return False
        ways = {pygame.K_LEFT: -1, pygame.K_RIGHT: 1, pygame.K_UP: -self.across, pygame.K_DOWN: self.across}
        if event.key in ways:
            now = self.aim if self.aim >= 0 else self.at()
            self.aim = min(max(now + ways[event.key], 0), self.count - 1)
            return True
        if event.key in ENTER:
            self.go(self.aim if self.aim >= 0 else self.at())
            return True
        return False

    def leave(self) -> None:
        """The aim goes back to the question shown."""
        self.aim = -1

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the rows seen; a kept answer is told by its tick, not by colour alone."""
        first = self._first * self.across
        for i in range(first, min(first + self.across * self.deep, self.count)):
            box, shown, kept = self.place(i), i == self.at(), self.kept(i)
            canvas.panel(box, "accent" if shown else "button", "edge", 8, 2)
            ink = "on_accent" if shown else "ink"
            upper = pygame.Rect(box.x, box.y, box.w, box.h * 2 // 3)
            canvas.text(str(i + 1), upper if kept else box, colour=ink, align="centre", bold=shown)
            if kept:
                _tick(canvas, pygame.Rect(box.x, upper.bottom, box.w, box.bottom - upper.bottom), ink)
            if focused and i == (self.aim if self.aim >= 0 else self.at()):
                ring(canvas, box)


def _tick(canvas: Canvas, box: pygame.Rect, ink: str) -> None:
    """A tick, drawn."""
    x, y, s = box.centerx, box.centery, max(4, box.h // 4)
    points = [(x - s, y), (x - s // 3, y + s // 2), (x + s, y - s)]
    pygame.draw.lines(canvas.surface, canvas.theme[ink], False, points, canvas.dp(4))
