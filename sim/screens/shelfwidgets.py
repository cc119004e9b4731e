"""Widgets of the first screen: a button with two lines, and a list to choose a scenario from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pygame

from sim.screens.canvas import Canvas
from sim.screens.shelf import Entry
from sim.screens.widgets import ENTER, Button, Widget, ring

WHEEL_UP, WHEEL_DOWN = 4, 5


@dataclass
class Card(Button):
    """A button with a heading and a line under it."""

    under: str = ""

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""
        picked = self.chosen()
        canvas.panel(self.box, "accent" if picked else "button", "edge", 12, 2)
        inner = self.box.inflate(-canvas.dp(36), -canvas.dp(12))
        ink = "on_accent" if picked else "ink"
        text = f"{'● ' if picked else ''}{self.label}"
        role = "title" if canvas.measure(text, "title", True)[0] <= inner.w else "body"
        head = pygame.Rect(inner.x, inner.y, inner.w, canvas.measure("Ag", role, True)[1])
        canvas.text(text, head, role=role, colour=ink, bold=True)
        rest = pygame.Rect(inner.x, head.bottom, inner.w, inner.bottom - head.bottom)
        canvas.text(self.under, rest, colour=ink, wrap=True)
        if focused:
            ring(canvas, self.box)


@dataclass
class EntryList(Widget):
    """Scenarios one under another; arrows choose, Enter or a click opens."""

    entries: Callable[[], list[Entry]] = list
    send: Callable[[Entry], None] = lambda _: None
    row_h: int = field(default=90, kw_only=True)
    at: int = field(default=0, kw_only=True)
    first: int = field(default=0, kw_only=True)

    @property
    def rows(self) -> int:
        """How many rows are seen at once."""
        return max(1, self.box.h // max(self.row_h, 1))

    def marked(self) -> Entry | None:
        """The scenario that the arrows point at."""
        entries = self.entries()
        return entries[min(self.at, len(entries) - 1)] if entries else None

    def row(self, i: int) -> pygame.Rect:
        """Box of the i-th row seen."""
        return pygame.Rect(self.box.x, self.box.y + i * self.row_h, self.box.w, self.row_h - self.row_h // 12)

    def move(self, by: int) -> None:
        """Mark another scenario and bring it into view."""
        self.at = min(max(self.at + by, 0), max(len(self.entries()) - 1, 0))
        self.first = min(max(self.first, self.at - self.rows + 1, 0), self.at)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click, the wheel or a key."""
        if event.type == pygame.KEYDOWN:
            return self._key(event.key)
        if event.type != pygame.MOUSEBUTTONDOWN:
            return False
        if event.button in (WHEEL_UP, WHEEL_DOWN):
            self.move(-1 if event.button == WHEEL_UP else 1)
            return True
        place = self.first + (event.pos[1] - self.box.y) // self.row_h
        if place < len(self.entries()):
            self.at = place
            self.send(self.entries()[place])
        return True

    def _key(self, key: int) -> bool:
        ways = {pygame.K_UP: -1, pygame.K_DOWN: 1, pygame.K_PAGEUP: -5, pygame.K_PAGEDOWN: 5}
        if key in ways:
            self.move(ways[key])
            return True
        marked = self.marked()
        if key in ENTER and marked is not None:
            self.send(marked)
            return True
        return False

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the rows seen; the marked one carries the ring."""
        entries = self.entries()
        self.move(0)
        for i, entry in enumerate(entries[self.first : self.first + self.rows]):
            self._row(canvas, self.row(i), entry, focused and self.first + i == self.at)
        more = len(entries) > self.rows
        if more:
            share = self.rows / len(entries)
            bar = pygame.Rect(
                self.box.right + canvas.dp(6), self.box.y, canvas.dp(6), round(self.box.h * share)
            )
            bar.y += round(self.box.h * self.first / len(entries))
            canvas.panel(bar, "edge", None, 3)

    def _row(self, canvas: Canvas, box: pygame.Rect, entry: Entry, focused: bool) -> None:
        canvas.panel(box, "button", "edge", 10, 2)
        inner = box.inflate(-canvas.dp(28), -canvas.dp(10))
        line = canvas.measure("Ag")[1]
        foot = pygame.Rect(inner.x, inner.bottom - line, inner.w, line)
        canvas.text(entry.meta, foot, colour="soft", shorten=True)
        head = pygame.Rect(inner.x, inner.y, inner.w, foot.y - inner.y)
        fits = canvas.measure(entry.title, bold=True, wrap=inner.w)[1] <= head.h
        canvas.text(entry.title, head, bold=True, wrap=fits, shorten=not fits)
        if focused:
            ring(canvas, box)
