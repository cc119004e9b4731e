"""Rows of what is known in a case, one under another, and the widget that moves them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.row_list import UP_DOWN, WHEEL_DOWN, WHEEL_UP, draw_bar
from glasscan.ui.widgets import Widget, ring
from glasscan.window.cases.reading_texts import Figure

SCALE_DP = 130  # width of the small scale beside a reading
LEAST_SCALED_DP = 420  # narrower rows have no small scale
MOST_AWAY = 6.0  # reading errors from the sound rig at its ends


class KnownRow(Protocol):
    """One row: says how high it is at a width, and draws itself."""

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw into a box of that height."""


@dataclass(frozen=True)
class Heading:
    """Title of a block, with a word at the right and a rule above."""

    title: str
    right: str = ""
    rule: bool = True

    def _wide(self, canvas: Canvas, w: int) -> int:
        return w - (canvas.measure(self.right, bold=True)[0] + canvas.dp(20) if self.right else 0)

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""
        return canvas.measure(self.title, bold=True, wrap=self._wide(canvas, w))[1] + canvas.dp(22)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw the rule, the title, the word."""
        if self.rule:
            y = box.y + canvas.dp(6)
            pygame.draw.line(canvas.surface, canvas.theme["rule"], (box.x, y), (box.right, y), canvas.dp(2))
        inner = pygame.Rect(box.x, box.y + canvas.dp(14), self._wide(canvas, box.w), box.h - canvas.dp(18))
        canvas.text(self.title, inner, bold=True, wrap=True, valign="top", colour="accent")
        line = canvas.measure("Ag")[1]
        right = pygame.Rect(inner.right, inner.y, box.right - inner.right, line)
        canvas.text(self.right, right, align="right", bold=True, colour="accent")


@dataclass(frozen=True)
class Note:
    """A sentence."""

    text: str
    colour: str = "soft"
    role: str = "body"

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""
        return canvas.measure(self.text, self.role, wrap=w)[1] + canvas.dp(8)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw the sentence."""
        canvas.text(self.text, box, self.role, self.colour, wrap=True, valign="top")


@dataclass(frozen=True)
class ScaleNote(Note):
    """What the small scales mean; nothing where rows are too narrow to have them."""

    def height(self, canvas: Canvas, w: int) -> int:
        return super().height(canvas, w) if w >= canvas.tp(LEAST_SCALED_DP) else 0

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        if box.h:
            super().draw(canvas, box)


@dataclass(frozen=True)
class Large:
    """One large number and what it is of."""

    value: str
    words: str
    colour: str = "ink"

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""
        del w
        return canvas.measure("0", "hero", True)[1] + canvas.dp(10)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw the number, and the words on its foot line."""
        drawn = canvas.text(self.value, box, "hero", self.colour, bold=True, valign="top")
        x = drawn.right + canvas.dp(18)
        words = pygame.Rect(x, drawn.y, box.right - x, drawn.h - canvas.tp(14))
        canvas.text(self.words, words, "title", "soft", valign="bottom")


@dataclass(frozen=True)
class FigureLine:
    """A reading: label and value, under them error and sound rig; `mark` tells on which part it was made."""

    figure: Figure
    mark: str = ""

    def _label(self) -> str:
        return f"{self.mark} {self.figure.label}" if self.mark else self.figure.label

    def _value(self) -> str:
        return f"{self.figure.value} {self.figure.unit}".rstrip()

    def _left(self, canvas: Canvas, w: int) -> int:
        return w - canvas.measure(self._value(), "title", True)[0] - canvas.dp(20)

    def _wide(self, canvas: Canvas, w: int) -> int:
        """Width of the lower line's words, beside the small scale where there is one."""
        return w - (canvas.tp(SCALE_DP) + canvas.dp(20) if self._scaled(canvas, w) else 0)

    def _scaled(self, canvas: Canvas, w: int) -> bool:
        """Whether there is a small scale: large text needs the room for itself."""
        return self.figure.away is not None and w >= canvas.tp(LEAST_SCALED_DP)

    def _under(self) -> str:
        sound = f"sound rig {self.figure.sound}" if self.figure.sound else ""
        return "; ".join(text for text in (sound, self.figure.error) if text)

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""
        title = canvas.measure("Ag", "title")[1]
        label = canvas.measure(self._label(), wrap=self._left(canvas, w))[1]
        under = canvas.measure(self._under(), wrap=self._wide(canvas, w))[1]
        return max(label, title) + under + canvas.dp(10)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw both lines."""
        left = self._left(canvas, box.w)
        label = canvas.measure(self._label(), wrap=left)[1]
        top = max(label, canvas.measure("Ag", "title")[1])
        canvas.text(self._label(), pygame.Rect(box.x, box.y, left, top), wrap=True)
        value = pygame.Rect(box.x + left, box.y, box.w - left, top)
        canvas.text(self._value(), value, role="title", bold=True, align="right")
        under = pygame.Rect(box.x, box.y + top, self._wide(canvas, box.w), box.h - top - canvas.dp(8))
        canvas.text(self._under(), under, colour="soft", wrap=True, valign="top")
        if self.figure.away is not None and self._scaled(canvas, box.w):
            line = canvas.measure("Ag")[1]
            wide = canvas.tp(SCALE_DP)
            draw_scale(canvas, pygame.Rect(box.right - wide, under.y, wide, line), self.figure.away)


def draw_scale(canvas: Canvas, box: pygame.Rect, away: float) -> None:
    """A small scale: the sound rig in its middle, the reading on it; its ends are `MOST_AWAY` errors away."""
    theme, y, r, tall = canvas.theme, box.centery, canvas.dp(8), canvas.dp(13)
    inner = box.inflate(-2 * r, 0)
    pygame.draw.line(canvas.surface, theme["edge"], (inner.x, y), (inner.right, y), canvas.dp(2))
    pygame.draw.line(
        canvas.surface, theme["ink"], (inner.centerx, y - tall), (inner.centerx, y + tall), canvas.dp(3)
    )
    share = min(max(away / MOST_AWAY, -1.0), 1.0)
    x = inner.centerx + round(share * inner.w / 2)
    if abs(away) < MOST_AWAY:
        pygame.draw.circle(canvas.surface, theme["accent"], (x, y), r)
        return
    way = 1 if away > 0 else -1
    tip = [(x + way * r, y), (x - way * r, y - r), (x - way * r, y + r)]
    pygame.draw.polygon(canvas.surface, theme["accent"], tip)


@dataclass
class Roll(Widget):
    """Rows that may be more than the box holds; arrows, Page Up and Down and the wheel move them."""

    rows: Callable[[], Sequence[KnownRow]] = tuple
    top: int = field(default=0, kw_only=True)
    more: int = field(default=0, kw_only=True)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to the wheel or a key."""
        if event.type == pygame.KEYDOWN and event.key in UP_DOWN:
            return self._move(UP_DOWN[event.key])
        if event.type == pygame.MOUSEBUTTONDOWN and event.button in (WHEEL_UP, WHEEL_DOWN):
            return self._move(-1 if event.button == WHEEL_UP else 1)
        return False

    def _move(self, by: int) -> bool:
        self.top = max(self.top + by, 0) if by < 0 or self.more else self.top
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the rows that fit whole, from the first one seen on."""
        canvas.panel(self.box, "sheet", None, 12)
        inner = self.box.inflate(-canvas.dp(48), -canvas.dp(24))
        rows = self.rows()
        heights = [row.height(canvas, inner.w) for row in rows]
        self.top = min(self.top, _last_top(heights, inner.h))
        y, at = inner.y, self.top
        while at < len(rows) and y + _needed(rows, heights, at) <= inner.bottom:
            rows[at].draw(canvas, pygame.Rect(inner.x, y, inner.w, heights[at]))
            y += heights[at]
            at += 1
        self.more = len(rows) - at
        if self.more or self.top:
            place = self.box.inflate(-canvas.dp(28), -canvas.dp(24))
            draw_bar(canvas, place, self.top / len(rows), (at - self.top) / len(rows))
        if focused:
            ring(canvas, self.box)


def _needed(rows: Sequence[KnownRow], heights: Sequence[int], at: int) -> int:
    """Room that a row needs; a heading needs its first row too."""
    alone = not isinstance(rows[at], Heading) or at + 1 == len(rows)
    return heights[at] if alone else heights[at] + heights[at + 1]


def _last_top(heights: Sequence[int], room: int) -> int:
    """First row seen where the last one stands at the foot."""
    top, used = len(heights), 0
    while top > 0 and used + heights[top - 1] <= room:
        used += heights[top - 1]
        top -= 1
    return min(top, max(len(heights) - 1, 0))
