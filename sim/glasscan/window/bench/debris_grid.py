"""The kinds of debris side by side, drawn, to compare a heap with; Enter names the heap."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, LEFT_BUTTON, Widget, nothing, ring
from glasscan.window.bench.bench_texts import title_of
from glasscan.window.bench.bench_top import look
from glasscan.window.bench.debris_sketch import draw_piece_at

COLUMNS = 6
WAYS = {pygame.K_LEFT: -1, pygame.K_RIGHT: 1, pygame.K_UP: -COLUMNS, pygame.K_DOWN: COLUMNS}
SPREAD = ((-0.26, -0.16, 0.6, 0.42), (0.24, 0.12, 2.1, 0.34), (-0.12, 0.26, 3.9, 0.24))
"""Pieces of a cell: place and turn, and size as share of the cell."""


@dataclass
class KindGrid(Widget):
    """A cell for each kind: some pieces and its code; the title of the marked one below."""

    kinds: tuple[str, ...] = ()
    get: Callable[[], str] = str
    send: Callable[[str], None] = nothing
    at: int = field(default=0, kw_only=True)

    def cell(self, i: int, foot: int) -> pygame.Rect:
        """Box of a cell, with a foot left for the title."""
        rows = -(-len(self.kinds) // COLUMNS)
        w, h = self.box.w // COLUMNS, (self.box.h - foot) // rows
        box = pygame.Rect(self.box.x + i % COLUMNS * w, self.box.y + i // COLUMNS * h, w, h)
        return box.inflate(-w // 12, -h // 12)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click or a key."""
        if event.type == pygame.KEYDOWN and event.key in WAYS:
            to = self.at + WAYS[event.key]
            self.at = to if 0 <= to < len(self.kinds) else self.at
            return True
        if event.type == pygame.KEYDOWN and event.key in ENTER:
            self.send(self.kinds[self.at])
            return True
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON:
            return self._click(event.pos)
        return False

    def _click(self, at: tuple[int, int]) -> bool:
        for i, kind in enumerate(self.kinds):
            if self.cell(i, self.box.h // 9).collidepoint(at):
                self.at = i
                self.send(kind)
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw every kind on white, and the title of the marked one."""
        foot = self.box.h // 9
        for i, kind in enumerate(self.kinds):
            box = self.cell(i, foot)
            self._draw_cell(canvas, box, kind)
            if focused and i == self.at:
                ring(canvas, box)
        line = pygame.Rect(self.box.x, self.box.bottom - foot, self.box.w, foot)
        title = title_of(self.kinds[self.at])
        fits = canvas.measure(title, bold=True)[0] <= line.w
        canvas.text(title, line, align="centre", bold=True, colour="accent", shorten=not fits)

    def _draw_cell(self, canvas: Canvas, box: pygame.Rect, kind: str) -> None:
        plate = look(canvas.theme.name, "dish")
        pygame.draw.rect(canvas.surface, plate, box, border_radius=canvas.dp(8))
        side = min(box.w, box.h)
        for n, (x, y, turn, size) in enumerate(SPREAD):
            at = (box.centerx + x * box.w, box.centery - box.h // 12 + y * box.h)
            draw_piece_at(canvas.surface, kind, at, size * side, turn, n)
        tag = pygame.Rect(0, 0, canvas.tp(64), canvas.tp(34))
        tag.bottomright = (box.right - canvas.dp(4), box.bottom - canvas.dp(4))
        chosen = self.get() == kind
        canvas.panel(tag, "accent" if chosen else "sheet", "edge", 6, 1)
        colour = "on_accent" if chosen else "ink"
        canvas.text(kind, tag, align="centre", bold=chosen, colour=colour)
