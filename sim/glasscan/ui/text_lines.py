"""Where the letters of an edited text stand on the screen: lines, caret, selection, point to letter."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas, font
from glasscan.ui.text_edit import TextEdit


@dataclass(frozen=True)
class Line:
    """One line: place of its first letter in the text, its letters, and its box in pixels."""

    first: int
    text: str
    box: pygame.Rect


@dataclass(frozen=True)
class Lines:
    """A text laid out in `inner`; `px`: size of the font; `composing`: what is put together at the caret."""

    lines: tuple[Line, ...]
    px: int
    role: str
    bold: bool
    inner: pygame.Rect
    composing: str

    def x(self, line: Line, at: int) -> int:
        """Pixel column of a place in a line."""
        return line.box.x + font(self.px, self.bold).size(line.text[: max(at - line.first, 0)])[0]

    def line_of(self, at: int) -> Line:
        """The line that holds a place."""
        firsts = [line.first for line in self.lines]
        return self.lines[max(bisect_right(firsts, at) - 1, 0)]

    def place(self, point: tuple[int, int]) -> int:
        """The place nearest to a point on the screen."""
        line = min(self.lines, key=lambda one: abs(one.box.centery - point[1]))
        return line.first + min(
            range(len(line.text) + 1), key=lambda n: abs(self.x(line, line.first + n) - point[0])
        )

    def beside(self, at: int, by: int) -> int:
        """The place in the line below (`by` = 1) or above (-1); at the first and last line its ends."""
        line = self.line_of(at)
        number = self.lines.index(line) + by
        if not 0 <= number < len(self.lines):
            return 0 if by < 0 else line.first + len(line.text)
        other = self.lines[number]
        return self.place((self.x(line, at), other.box.centery))

    def draw(self, canvas: Canvas, edit: TextEdit, focused: bool) -> None:
        """The letters, under them what is selected, and the caret."""
        clip = canvas.surface.get_clip()
        canvas.surface.set_clip(self.inner.inflate(canvas.dp(6), 0).clip(canvas.surface.get_rect()))
        for line in self.lines:
            if len(self.lines) == 1 or (
                line.box.y >= self.inner.y - 1 and line.box.bottom <= self.inner.bottom + 1
            ):
                if focused:
                    self._draw_selection(canvas, line, edit)
                self._draw_line(canvas, line)
        if focused:
            self._draw_caret(canvas, edit)
        canvas.surface.set_clip(clip)

    def _draw_line(self, canvas: Canvas, line: Line) -> None:
        """The letters that stand wholly in the room."""
        first, last = line.first, line.first + len(line.text)
        while first < last and self.x(line, first) < self.inner.x - 1:
            first += 1
        while last > first and self.x(line, last) > self.inner.right + 1:
            last -= 1
        if first < last:
            left, right = self.x(line, first), self.x(line, last)
            box = pygame.Rect(left, line.box.y, right - left + 2, line.box.h)
            canvas.text(line.text[first - line.first : last - line.first], box, self.role, bold=self.bold)

    def _draw_selection(self, canvas: Canvas, line: Line, edit: TextEdit) -> None:
        first, last = edit.selection
        first, last = max(first, line.first), min(last, line.first + len(line.text))
        if first < last:
            left, right = self.x(line, first), self.x(line, last)
            canvas.surface.fill(canvas.theme["button_hot"], (left, line.box.y, right - left, line.box.h))

    def _draw_caret(self, canvas: Canvas, edit: TextEdit) -> None:
        line = self.line_of(edit.caret)
        x = self.x(line, edit.caret)
        width = canvas.dp(3)
        if self.composing:
            long = font(self.px, self.bold).size(self.composing)[0]
            box = pygame.Rect(x, line.box.y, long, line.box.h)
            canvas.surface.fill(canvas.theme["well"], box)
            canvas.text(self.composing, box, self.role, "accent", bold=self.bold)
            canvas.surface.fill(canvas.theme["accent"], (x, box.bottom - width, long, width))
            x += long
        canvas.surface.fill(canvas.theme["accent"], (x, line.box.y, width, line.box.h))


def laid_out(
    canvas: Canvas, text: str, inner: pygame.Rect, edit: TextEdit, composing: str, role: str, wrap: bool
) -> Lines:
    """Lay a text out in a box, moved so that the caret can be seen.

    Args:
        canvas: for sizes of letters.
        text: as it is drawn.
        inner: the box in pixels.
        edit: with the caret.
        composing: what an input method is putting together.
        role: of the font.
        wrap: over several lines from the top; else one line in the middle.
    """
    bold, px = role == "number", canvas.size_px(role)
    high = font(px, bold).get_linesize()
    rows = list(_broken(text, px, bold, inner.w)) if wrap else [(0, text)]
    top = inner.y if wrap else inner.centery - high // 2
    lines = [
        Line(first, row, pygame.Rect(inner.x, top + i * high, max(font(px, bold).size(row)[0], 1), high))
        for i, (first, row) in enumerate(rows)
    ]
    found = Lines(tuple(lines), px, role, bold, inner, composing)
    line = found.line_of(edit.caret)
    ahead = font(px, bold).size(composing)[0] + canvas.dp(4)
    over_x = max(found.x(line, edit.caret) + ahead - inner.right, 0) if not wrap else 0
    over_y = max(line.box.bottom - inner.bottom, 0) if wrap else 0
    if not (over_x or over_y):
        return found
    moved = tuple(Line(one.first, one.text, one.box.move(-over_x, -over_y)) for one in lines)
    return Lines(moved, px, role, bold, inner, composing)


def _broken(text: str, px: int, bold: bool, width: int) -> Iterator[tuple[int, str]]:
    """Lines with the place of their first letter; broken behind a space where one stands, else anywhere."""
    face, first = font(px, bold), 0
    for paragraph in text.split("\n"):
        begin, rest = first, paragraph
        while face.size(rest)[0] > width and len(rest) > 1:
            most = next(n for n in range(len(rest), 0, -1) if n == 1 or face.size(rest[:n])[0] <= width)
            cut = rest.rfind(" ", 0, most + 1) + 1 or most
            yield begin, rest[:cut]
            begin, rest = begin + cut, rest[cut:]
        yield begin, rest
        first += len(paragraph) + 1
