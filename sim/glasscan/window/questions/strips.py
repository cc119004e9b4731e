"""The instruments of a run as strips over one time axis, with a cursor that reads them all at a moment.

The rows are those an exam paper carries: straight lines between them follow the run.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Protocol

import pygame

from glasscan.content.unit_words import unit_of_key
from glasscan.signals import signal_of
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import SYSTEMS, DisplayUnit, UnitSystem
from glasscan.ui.row_list import UP_DOWN, WHEEL_DOWN, WHEEL_UP, draw_bar
from glasscan.ui.widgets import LEFT_BUTTON, Widget, ring

KINDS = {
    "kPa": ("pressure", 1e3),
    "°C": ("temperature", 1.0),
    "L/min": ("flow", 1 / 6e4),
    "L": ("volume", 1e-3),
}
"""Which unit of a system shows a column, and the factor from the column to SI (degC for temperatures)."""
TALLEST = 90  # dp of a curve where there is room


class Readings(Protocol):
    """Names with their units, and rows that begin with the time in s."""

    @property
    def names(self) -> tuple[str, ...]:
        """Time first."""

    @property
    def rows(self) -> tuple[tuple[float, ...], ...]:
        """Values."""


@dataclass(frozen=True)
class Strip:
    """One instrument: its words, its values at every moment, and how a value is written."""

    words: str
    values: tuple[float, ...]
    write: Callable[[float], str]


def strips_of(readings: Readings, system: UnitSystem) -> list[Strip]:
    """The columns of a table as strips, in the units of a system."""
    columns = list(zip(*readings.rows, strict=True))[1:]
    return [_strip(name, values, system) for name, values in zip(readings.names[1:], columns, strict=True)]


def _strip(name: str, values: tuple[float, ...], system: UnitSystem) -> Strip:
    unit = unit_of_key(name)
    words = words_of(name)
    if unit is None or unit.sign not in KINDS:
        return Strip(words, values, partial(_plain, unit.sign if unit else ""))
    field_name, factor = KINDS[unit.sign]
    shown: DisplayUnit = getattr(system, field_name)
    fine = DisplayUnit(shown.sign, shown.factor, shown.offset, shown.decimals or 1)
    return Strip(words, values, lambda x: f"{fine.text(x * factor)} {fine.sign}")


def words_of(name: str) -> str:
    """A column in words."""
    signal = signal_of(name)
    return signal.label if signal else name.replace("_", " ").capitalize()


def _plain(sign: str, x: float) -> str:
    """A value in the unit of its column."""
    return f"{x:,.5g} {sign}".replace(",", "\u2009").replace("-", "−").strip()


@dataclass
class Strips(Widget):
    """The strips; left and right move the moment, up and down bring the others into view."""

    readings: Readings | None = None
    system: Callable[[], UnitSystem] = lambda: SYSTEMS[0]
    at: int = field(default=-1, kw_only=True)
    first: int = field(default=0, kw_only=True)
    _plot: pygame.Rect = field(default_factory=lambda: pygame.Rect(0, 0, 1, 1), kw_only=True)
    _seen: int = field(default=1, kw_only=True)

    @property
    def times(self) -> Sequence[float]:
        """Moments of the table, s."""
        return [row[0] for row in self.readings.rows] if self.readings else [0.0]

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click, the wheel or a key."""
        if event.type == pygame.KEYDOWN:
            return self._key(event.key)
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON:
            share = (event.pos[0] - self._plot.x) / max(self._plot.w, 1)
            self.at = self._nearest(share)
            return True
        if event.type == pygame.MOUSEBUTTONDOWN and event.button in (WHEEL_UP, WHEEL_DOWN):
            self._scroll(-1 if event.button == WHEEL_UP else 1)
            return True
        return False

    def _key(self, key: int) -> bool:
        last = len(self.times) - 1
        ways = {pygame.K_LEFT: -1, pygame.K_RIGHT: 1}
        if key in ways:
            now = self.at if self.at >= 0 else last
            self.at = min(max(now + ways[key], 0), last)
        elif key in (pygame.K_HOME, pygame.K_END):
            self.at = 0 if key == pygame.K_HOME else last
        elif key in UP_DOWN:
            self._scroll(UP_DOWN[key])
        else:
            return False
        return True

    def _scroll(self, by: int) -> None:
        count = len(self.readings.names) - 1 if self.readings else 1
        self.first = min(max(self.first + by, 0), max(count - self._seen, 0))

    def _nearest(self, share: float) -> int:
        times = self.times
        wanted = times[0] + share * (times[-1] - times[0])
        return min(range(len(times)), key=lambda i: abs(times[i] - wanted))

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the strips seen, the cursor and its moment."""
        if self.readings is None:
            return
        canvas.panel(self.box, "sheet", "edge", 10, 2)
        inner = self.box.inflate(-canvas.dp(40), -canvas.dp(20))
        line = canvas.measure("Ag")[1]
        at = self.at if self.at >= 0 else len(self.times) - 1
        head = pygame.Rect(inner.x, inner.y, inner.w, line + canvas.dp(8))
        self._head(canvas, head, at, focused)
        strips = strips_of(self.readings, self.system())
        room, least = inner.bottom - head.bottom, line + canvas.dp(46)
        row_h = max(least, min(room // len(strips), line + canvas.dp(TALLEST)))
        self._seen = max(1, room // row_h)
        self._scroll(0)
        for i, strip in enumerate(strips[self.first : self.first + self._seen]):
            self._row(canvas, pygame.Rect(inner.x, head.bottom + i * row_h, inner.w, row_h), strip, at)
        if len(strips) > self._seen:
            box = self.box.inflate(-canvas.dp(28), -canvas.dp(16))
            draw_bar(canvas, box, self.first / len(strips), self._seen / len(strips))
        if focused:
            ring(canvas, self.box)

    def _head(self, canvas: Canvas, head: pygame.Rect, at: int, focused: bool) -> None:
        moment = f"at {self.times[at]:g} s"
        canvas.text(moment, head, bold=True, colour="accent", align="right")
        room = head.w - canvas.measure(moment, bold=True)[0] - canvas.dp(16)
        hint = "←  → move the moment" if focused else "Instruments of the run"
        canvas.text(hint, pygame.Rect(head.x, head.y, room, head.h), bold=True, shorten=True)

    def _row(self, canvas: Canvas, box: pygame.Rect, strip: Strip, at: int) -> None:
        line = canvas.measure("Ag")[1]
        value = strip.write(strip.values[at])
        value_w = canvas.measure(value, bold=True)[0] + 2
        top = pygame.Rect(box.x, box.y, box.w, line)
        canvas.text(value, top, bold=True, align="right")
        name = pygame.Rect(box.x, box.y, box.w - value_w - canvas.dp(12), line)
        canvas.text(strip.words, name, colour="soft", shorten=True)
        plot = pygame.Rect(box.x, top.bottom + canvas.dp(3), box.w, box.bottom - top.bottom - canvas.dp(10))
        self._plot = plot
        self._curve(canvas, plot, strip, at)

    def _curve(self, canvas: Canvas, plot: pygame.Rect, strip: Strip, at: int) -> None:
        canvas.panel(plot, "well", None, 4)
        times, values = self.times, strip.values
        low, high = min(0.0, *values), max(values)
        span, long = (high - low) or 1.0, (times[-1] - times[0]) or 1.0
        inner = plot.inflate(-canvas.dp(8), -canvas.dp(8))
        points = [
            (inner.x + (t - times[0]) / long * inner.w, inner.bottom - 1 - (v - low) / span * (inner.h - 2))
            for t, v in zip(times, values, strict=True)
        ]
        surface, theme = canvas.surface, canvas.theme
        x = round(points[at][0])
        pygame.draw.line(surface, theme["accent"], (x, plot.y), (x, plot.bottom - 1), canvas.dp(2))
        if len(points) > 1:
            pygame.draw.lines(surface, theme["outlet"], False, points, canvas.dp(3))
        pygame.draw.circle(surface, theme["accent"], points[at], canvas.dp(6))
