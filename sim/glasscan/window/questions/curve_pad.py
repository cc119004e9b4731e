"""Where an answer is drawn: empty axes for a curve."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Protocol

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, LEFT_BUTTON, Widget, nothing, ring

Point = tuple[float, float]
ACROSS, UP = 40, 20  # steps of the grid that points keep to


class Axes(Protocol):
    """Ends and unit of empty axes."""

    @property
    def from_s(self) -> float:
        """Start of the time axis, s."""

    @property
    def to_s(self) -> float:
        """End of the time axis, s."""

    @property
    def bottom(self) -> float:
        """Foot of the value axis."""

    @property
    def top(self) -> float:
        """Head of the value axis."""

    @property
    def unit(self) -> str:
        """Sign of the value's unit."""


@dataclass
class CurvePad(Widget):
    """Points of a curve: a click or Enter puts one, on one that is there takes it away; arrows aim."""

    axes: Axes | None = None
    get: Callable[[], Sequence[Point]] = tuple
    send: Callable[[list[Point]], None] = nothing
    ran: Callable[[], Sequence[Point]] = tuple
    plot: pygame.Rect = field(default_factory=lambda: pygame.Rect(0, 0, 1, 1), kw_only=True)
    aim: tuple[int, int] = field(default=(0, 0), kw_only=True)

    def point(self, i: int, j: int) -> Point:
        """The point of a place on the grid."""
        assert self.axes is not None
        a = self.axes
        return a.from_s + (a.to_s - a.from_s) * i / ACROSS, a.bottom + (a.top - a.bottom) * j / UP

    def put(self, i: int, j: int) -> None:
        """Put a point, move the one at the same time, or take it away where it stands there already."""
        i, j = min(max(i, 0), ACROSS), min(max(j, 0), UP)
        self.aim = i, j
        new = self.point(i, j)
        others = [p for p in self.get() if abs(p[0] - new[0]) > 1e-9]
        same = any(abs(p[1] - new[1]) < 1e-9 for p in self.get() if p not in others)
        self.send(sorted(others if same else [*others, new]))

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click or a key."""
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON:
            x, y = event.pos
            i = round((x - self.plot.x) / max(self.plot.w, 1) * ACROSS)
            self.put(i, round((self.plot.bottom - y) / max(self.plot.h, 1) * UP))
            return True
        if event.type != pygame.KEYDOWN:
            return False
        ways = {pygame.K_LEFT: (-1, 0), pygame.K_RIGHT: (1, 0), pygame.K_UP: (0, 1), pygame.K_DOWN: (0, -1)}
        if event.key in ways:
            (i, j), (di, dj) = self.aim, ways[event.key]
            self.aim = min(max(i + di, 0), ACROSS), min(max(j + dj, 0), UP)
            return True
        if event.key in ENTER:
            self.put(*self.aim)
            return True
        if event.key == pygame.K_BACKSPACE:
            self.send([])
            return True
        return False

    def place(self, point: Point) -> tuple[int, int]:
        """Pixel of a point."""
        assert self.axes is not None
        a = self.axes
        x = self.plot.x + (point[0] - a.from_s) / (a.to_s - a.from_s) * self.plot.w
        return round(x), round(self.plot.bottom - (point[1] - a.bottom) / (a.top - a.bottom) * self.plot.h)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw axes, grid, curve, and where the keys aim."""
        assert self.axes is not None
        line = canvas.measure("0")[1]
        left = canvas.measure(f"{self.axes.top:g}")[0] + canvas.dp(14)
        self.plot = pygame.Rect(
            self.box.x + left, self.box.y + line, self.box.w - left, self.box.h - 2 * line - 6
        )
        surface, theme = canvas.surface, canvas.theme
        canvas.panel(self.plot, "well", "edge", 2, 2)
        for k in range(1, 4):
            y = self.plot.y + k * self.plot.h // 4
            pygame.draw.line(surface, theme["rule"], (self.plot.x, y), (self.plot.right, y))
            x = self.plot.x + k * self.plot.w // 4
            pygame.draw.line(surface, theme["rule"], (x, self.plot.y), (x, self.plot.bottom))
        self._words(canvas, line, left)
        self._draw_run(canvas)
        points = [self.place(p) for p in self.get()]
        if len(points) > 1:
            pygame.draw.lines(surface, theme["dp"], False, points, canvas.dp(4))
        for at in points:
            pygame.draw.circle(surface, theme["dp"], at, canvas.dp(8))
        if focused and not self.ran():
            aim = self.place(self.point(*self.aim))
            pygame.draw.circle(surface, theme["accent"], aim, canvas.dp(13), canvas.dp(3))
            value = self.point(*self.aim)
            text = f"{value[0]:g} s, {value[1]:g} {self.axes.unit}"
            place = pygame.Rect(self.plot.x, self.box.y, self.plot.w, line)
            canvas.text(text, place, align="right", bold=True)
            ring(canvas, self.plot)

    def _draw_run(self, canvas: Canvas) -> None:
        """The run's own curve under the drawn one, told apart by its dashes and a word."""
        ran = [self.place(p) for p in self.ran()]
        if len(ran) < 2:
            return
        surface, theme = canvas.surface, canvas.theme
        before = surface.get_clip()
        surface.set_clip(self.plot)
        for one, two in list(pairwise(ran))[::2]:
            pygame.draw.line(surface, theme["ink"], one, two, canvas.dp(4))
        surface.set_clip(before)
        top = pygame.Rect(self.plot.x, self.box.y, self.plot.w, canvas.measure("0")[1])
        canvas.text("dashes: the run;  dots: yours", top, align="right")

    def _words(self, canvas: Canvas, line: int, left: int) -> None:
        assert self.axes is not None
        a, foot = self.axes, self.plot.bottom + 4
        unit = pygame.Rect(self.box.x, self.box.y, left + canvas.tp(60), line)
        canvas.text(a.unit, unit, colour="soft")
        ends = ((a.top, self.plot.y), (a.bottom, self.plot.bottom - line))
        for value, y in ends if self.plot.h >= 2 * line else ends[:1]:
            box = pygame.Rect(self.box.x, y, left - canvas.dp(10), line)
            canvas.text(f"{value:g}", box, align="right", colour="soft")
        box = pygame.Rect(self.plot.x, foot, self.plot.w // 2, line)
        canvas.text(f"{a.from_s:g} s", box, colour="soft")
        canvas.text(f"{a.to_s:g} s", box.move(self.plot.w - box.w, 0), align="right", colour="soft")
