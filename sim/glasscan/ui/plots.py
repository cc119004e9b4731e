"""Small plots: a frame with ticks, and lines told apart by pattern, mark and name as well as by colour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import cycle
from typing import Any

import numpy as np
import pygame
from numpy.typing import NDArray

from glasscan.ui.canvas import Canvas
from glasscan.ui.spreading import spread

Array = NDArray[Any]

# Colour of the theme, dashes and gaps in dp (none: solid), mark at every point.
STYLES: tuple[tuple[str, tuple[int, ...], str], ...] = (
    ("dp", (), "disc"),
    ("bar", (22, 10), "square"),
    ("good", (6, 8), "diamond"),
    ("ink", (24, 8, 6, 8), "cross"),
    ("warn", (14, 14), "ring"),
    ("dirty", (34, 8), "triangle"),
)


@dataclass(frozen=True)
class Curve:
    """One line: name at its end, places (n,), values (n,), and which of `STYLES`."""

    name: str
    x: Array
    y: Array
    style: int
    marks: bool = False
    bold: bool = False


@dataclass(frozen=True)
class Frame:
    """A plot's frame in pixels and its ranges."""

    box: pygame.Rect
    x0: float
    x1: float
    y0: float
    y1: float

    def points(self, x: Array, y: Array) -> Array:
        """Pixels (n, 2)."""
        px = self.box.x + (np.asarray(x, dtype=float) - self.x0) / (self.x1 - self.x0) * self.box.w
        py = self.box.bottom - (np.asarray(y, dtype=float) - self.y0) / (self.y1 - self.y0) * self.box.h
        return np.stack([px, np.clip(py, self.box.y, self.box.bottom)], axis=1)


def draw_frame(canvas: Canvas, frame: Frame, ticks: Sequence[tuple[float, str]]) -> None:
    """The field with lines across and their words at the left."""
    theme, box = canvas.theme, frame.box
    pygame.draw.rect(canvas.surface, theme["well"], box)
    line = canvas.measure("0")[1]
    taken: list[pygame.Rect] = []
    for value, text in sorted(ticks, reverse=True):
        y = round(float(frame.points(np.array([frame.x0]), np.array([value]))[0, 1]))
        pygame.draw.line(canvas.surface, theme["rule"], (box.x, y), (box.right, y), canvas.dp(2))
        w = canvas.measure(text)[0]
        place = pygame.Rect(box.x - canvas.dp(10) - w, 0, w, line)
        place.centery = min(max(y, box.y + line // 2), box.bottom - line // 2)
        if place.collidelist(taken) < 0:
            canvas.text(text, place, colour="soft")
            taken.append(place)


def draw_curves(canvas: Canvas, frame: Frame, curves: Sequence[Curve], right: int) -> None:
    """The lines, and their names beside the last points, between the frame and `right`."""
    for curve in sorted(curves, key=lambda c: c.bold):
        colour, dashes, mark = STYLES[curve.style % len(STYLES)]
        points = frame.points(curve.x, curve.y)
        wide = canvas.dp(6 if curve.bold else 4)
        polyline(canvas.surface, canvas.theme[colour], points, wide, [canvas.dp(d) for d in dashes])
        if curve.marks:
            for point in points:
                draw_mark(canvas, (round(point[0]), round(point[1])), mark, colour)
    _names(canvas, frame, curves, right)


def _names(canvas: Canvas, frame: Frame, curves: Sequence[Curve], right: int) -> None:
    line = canvas.measure("0")[1]
    ends = [(float(frame.points(c.x[-1:], c.y[-1:])[0, 1]), c) for c in curves if c.name]
    ends.sort(key=lambda end: end[0])
    room = max(frame.box.h, line * len(ends))
    centres = spread([e[0] for e in ends], [line] * len(ends), frame.box.y, frame.box.y + room, 0)
    for (_, curve), y in zip(ends, centres, strict=True):
        colour, _, mark = STYLES[curve.style % len(STYLES)]
        x = frame.box.right + canvas.dp(10)
        if curve.marks:
            draw_mark(canvas, (x + canvas.dp(10), round(y)), mark, colour)
            x += canvas.dp(28)
        place = pygame.Rect(x, round(y - line / 2), right - x, line)
        canvas.text(curve.name, place, colour=colour, bold=curve.bold)


def polyline(
    surface: pygame.Surface, colour: tuple[int, int, int], points: Array, width: int, dashes: Sequence[int]
) -> None:
    """A line through points (n, 2), cut into dashes and gaps measured along it."""
    if len(points) < 2:
        return
    for piece in pieces(points, dashes) if dashes else [points]:
        if len(piece) > 1:
            pygame.draw.lines(surface, colour, False, piece.tolist(), width)


def pieces(points: Array, dashes: Sequence[int]) -> list[Array]:
    """Dashes of a line; `dashes` are lengths drawn and left out in turn."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    total, at, found = float(along[-1]), 0.0, []
    turns = cycle(enumerate(dashes if len(dashes) % 2 == 0 else [*dashes, *dashes]))
    while at < total:
        k, length = next(turns)
        end = min(at + length, total)
        if k % 2 == 0:
            inside = (along > at) & (along < end)
            place = np.concatenate([[at], along[inside], [end]])
            columns = [np.interp(place, along, points[:, axis]) for axis in (0, 1)]
            found.append(np.stack(columns, axis=1))
        at = end if end > at else total
    return found


def draw_mark(canvas: Canvas, at: tuple[int, int], mark: str, colour: str) -> None:
    """A small sign at a point of a line."""
    x, y = at
    r, surface, ink = canvas.dp(8), canvas.surface, canvas.theme[colour]
    if mark == "disc":
        pygame.draw.circle(surface, ink, at, r)
    elif mark == "ring":
        pygame.draw.circle(surface, ink, at, r, canvas.dp(3))
    elif mark == "square":
        pygame.draw.rect(surface, ink, pygame.Rect(x - r, y - r, 2 * r, 2 * r))
    elif mark == "cross":
        for way in (-1, 1):
            pygame.draw.line(surface, ink, (x - r, y - way * r), (x + r, y + way * r), canvas.dp(4))
    else:
        tip = [(x, y - r), (x + r, y + r), (x - r, y + r)]
        kite = [(x, y - r), (x + r, y), (x, y + r), (x - r, y)]
        pygame.draw.polygon(surface, ink, tip if mark == "triangle" else kite)
