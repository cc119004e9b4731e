"""Widgets of the first screen: a button with two lines, a filter as a picture, and a list of lessons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.row_list import RowList
from glasscan.ui.widgets import Button, nothing, ring
from glasscan.window.home.lesson_index import HIGHEST, LessonEntry


@dataclass
class LessonCard(Button):
    """A button with a heading and a line under it; a heading too long for one line takes the line's place.

    Attributes:
        under: the line under the heading.
        brief: a shorter heading, for where the long one has no room on two lines either.
    """

    under: str = ""
    brief: str = ""

    def draw(self, canvas: Canvas, focused: bool) -> None:
        picked = self.chosen()
        canvas.panel(self.box, "accent" if picked else "button", "edge", 12, 2)
        inner = self.box.inflate(-canvas.dp(36), -canvas.dp(12))
        ink = "on_accent" if picked else "ink"
        text = f"{'● ' if picked else ''}{self.label}"
        if self.brief and canvas.measure(text, bold=True)[0] > inner.w:
            if canvas.measure(text, bold=True, wrap=inner.w)[1] <= inner.h:
                canvas.text(text, inner, colour=ink, bold=True, wrap=True)
                if focused:
                    ring(canvas, self.box)
                return
            text = self.brief
        role = "title" if canvas.measure(text, "title", True)[0] <= inner.w else "body"
        head = pygame.Rect(inner.x, inner.y, inner.w, canvas.measure("Ag", role, True)[1])
        canvas.text(text, head, role=role, colour=ink, bold=True)
        rest = pygame.Rect(inner.x, head.bottom, inner.w, inner.bottom - head.bottom)
        if canvas.measure(self.under, wrap=rest.w)[1] <= rest.h:
            canvas.text(self.under, rest, colour=ink, wrap=True)
        if focused:
            ring(canvas, self.box)


@dataclass
class Door(Button):
    """A filter as a large picture with its name below; the chosen one is framed and marked."""

    picture: Callable[[], pygame.Surface | None] = lambda: None
    waiting: Callable[[], str] = str
    _scaled: tuple[object, pygame.Surface] | None = None

    def draw(self, canvas: Canvas, focused: bool) -> None:
        picked = self.chosen()
        canvas.panel(self.box, "sheet", "accent" if picked else "rule", 14, 5 if picked else 2)
        inner = self.box.inflate(-canvas.dp(20), -canvas.dp(28))
        words = f"● {self.label}" if picked else self.label
        h = canvas.measure(words, bold=True, wrap=inner.w)[1]
        name = pygame.Rect(inner.x, inner.bottom - h, inner.w, h)
        colour = "accent" if picked else "ink"
        canvas.text(words, name, bold=True, wrap=True, align="centre", colour=colour)
        place = pygame.Rect(inner.x, inner.y, inner.w, name.y - canvas.dp(12) - inner.y)
        self._draw_picture(canvas, place)
        if focused:
            ring(canvas, self.box)

    def _draw_picture(self, canvas: Canvas, place: pygame.Rect) -> None:
        picture = self.picture()
        if picture is not None:
            scaled = self._fitted(picture, place.size)
            canvas.surface.blit(scaled, scaled.get_rect(center=place.center))
        words = self.waiting()
        if words:
            h = canvas.measure(words, wrap=place.w)[1]
            box = pygame.Rect(place.x, place.bottom - h, place.w, h)
            canvas.surface.fill(canvas.theme["sheet"], box)
            canvas.text(words, box, colour="soft", wrap=True, align="centre")

    def _fitted(self, picture: pygame.Surface, size: tuple[int, int]) -> pygame.Surface:
        key = (id(picture), size)
        if self._scaled is None or self._scaled[0] != key:
            share = min(size[0] / picture.get_width(), size[1] / picture.get_height())
            wanted = round(picture.get_width() * share), round(picture.get_height() * share)
            self._scaled = key, pygame.transform.smoothscale(picture, wanted)
        return self._scaled[1]


@dataclass
class EntryList(RowList):
    """Lessons one under another; up and down choose, left and right go to another filter, Enter opens."""

    entries: Callable[[], list[LessonEntry]] = list
    send: Callable[[LessonEntry], None] = nothing
    beside: Callable[[int], None] = nothing

    def count(self) -> int:
        return len(self.entries())

    def marked(self) -> LessonEntry | None:
        """The scenario that the arrows point at."""
        entries = self.entries()
        return entries[min(self.at, len(entries) - 1)] if entries else None

    def choose(self, i: int) -> None:
        self.send(self.entries()[i])

    def row(self, i: int) -> pygame.Rect:
        """Box of the i-th row seen."""
        return pygame.Rect(self.box.x, self.box.y + i * self.row_h, self.box.w, self.row_h - self.row_h // 14)

    def key(self, key: int) -> bool:
        """Left and right belong to the filters beside."""
        if key in (pygame.K_LEFT, pygame.K_RIGHT):
            self.beside(1 if key == pygame.K_RIGHT else -1)
            return True
        return super().key(key)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the rows seen; the marked one is filled and carries the ring."""
        entries = self.entries()
        self.move(0)
        for i, entry in enumerate(entries[self.first : self.first + self.seen]):
            self._row(canvas, self.row(i), entry, self.first + i == self.at, focused)
        if len(entries) > self.seen:
            bar = pygame.Rect(self.box.right + canvas.dp(10), self.box.y, canvas.dp(6), self.box.h)
            canvas.panel(bar, "rule", None, 3)
            bar.y += round(self.box.h * self.first / len(entries))
            bar.h = round(self.box.h * self.seen / len(entries))
            canvas.panel(bar, "edge", None, 3)

    def _row(self, canvas: Canvas, box: pygame.Rect, entry: LessonEntry, marked: bool, focused: bool) -> None:
        if marked:
            canvas.panel(box, "button", "edge", 10, 2)
        inner = box.inflate(-canvas.dp(28), -canvas.dp(8))
        line = canvas.measure("Ag")[1]
        foot = pygame.Rect(inner.x, inner.bottom - line, inner.w, line)
        levels_w = draw_level(canvas, foot, entry.level)
        rest = pygame.Rect(foot.x + levels_w, foot.y, foot.w - levels_w, line)
        canvas.text(entry.meta, rest, colour="soft", shorten=True)
        head = pygame.Rect(inner.x, inner.y, inner.w, foot.y - inner.y)
        fits = canvas.measure(entry.title, bold=True, wrap=inner.w)[1] <= head.h
        canvas.text(entry.title, head, bold=True, wrap=fits, shorten=not fits)
        if marked and focused:
            ring(canvas, box)


def draw_level(canvas: Canvas, line: pygame.Rect, level: int) -> int:
    """Small bars that rise, so many of them filled as the level says; returns the width taken."""
    wide, gap = canvas.tp(7), canvas.tp(4)
    for i in range(HIGHEST):
        h = round(line.h * (0.3 + 0.14 * i))
        bar = pygame.Rect(line.x + i * (wide + gap), line.bottom - round(0.22 * line.h) - h, wide, h)
        if i < level:
            pygame.draw.rect(canvas.surface, canvas.theme["soft"], bar)
        else:
            pygame.draw.rect(canvas.surface, canvas.theme["edge"], bar, max(1, canvas.dp(1)))
    return HIGHEST * (wide + gap) + canvas.tp(8)
