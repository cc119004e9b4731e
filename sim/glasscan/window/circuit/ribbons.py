"""Ribbons of flow: as wide as the flow is large, on one scale, along pipes; each takes itself down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Colour
from glasscan.window.circuit.circuit_flows import LEAST_M3S, Stream

LPM = 6e4  # L/min in one m3/s
MARK_DP, MARK_EVERY_DP = 9.0, 46.0  # length of a mark that moves with the oil, and from one to the next
LEAST_MARKED_PX = 5.0  # a narrower ribbon shows its flow by its width alone
FULL_DP_S = 150.0  # pace of the marks at the flow that fills a pipe
MIXED = "mixed"  # drawn in two colours: what has passed the medium, and what has not
Point = tuple[float, float]


@dataclass
class RibbonPainter:
    """Draws streams of one picture, and notes what each was drawn as.

    Attributes:
        px_m3s: pixels of width for 1 m3/s.
        moved: how far the marks of each stream have moved, px; kept from frame to frame.
        told: facts of the ribbons drawn: from, to and L/min read off the width.
    """

    canvas: Canvas
    px_m3s: float
    pipe_px: int
    moved: dict[str, float]
    told: list[dict[str, object]] = field(default_factory=list)

    def pipes(self, paths: Sequence[Sequence[Point]]) -> None:
        """Empty pipes along paths: first all walls, then all bores, so that they run into one another."""
        theme, wall = self.canvas.theme, max(1, self.canvas.dp(2))
        for width, colour in ((self.pipe_px + 2 * wall, "edge"), (self.pipe_px, "well")):
            for path in paths:
                self._along(path, width, theme[colour])

    def stream(
        self,
        name: str,
        stream: Stream,
        path: Sequence[Point],
        colour: str,
        drawn_s: float,
        shift: float = 0.0,
    ) -> float:
        """A ribbon in its pipe; returns its width in pixels. `shift` moves it off the pipe's middle, px."""
        width = stream.m3s * self.px_m3s
        if stream.m3s <= LEAST_M3S:
            return 0.0
        shown = max(width, 2.0)
        shifted = _beside(path, shift)
        past = stream.unfiltered_share * shown
        theme = self.canvas.theme
        if colour != MIXED or past < 1.0:
            self._along(shifted, shown, theme["good" if colour == MIXED else colour])
        else:
            self._along(_beside(shifted, -past / 2), shown - past, theme["good"])
            self._along(_beside(shifted, (shown - past) / 2), past, theme["warn"])
        pace = FULL_DP_S * self.canvas.scale * width / max(self.pipe_px, 1)
        self.moved[name] = self.moved.get(name, 0.0) + pace * drawn_s
        self._marks(shifted, shown, self.moved[name], theme["paper"])
        self.told.append({"from": stream.start, "to": stream.end, "lpm": round(width / self.px_m3s * LPM, 4)})
        return shown

    def _along(self, path: Sequence[Point], width: float, colour: Colour) -> None:
        """A band of even width along axis-parallel pieces, with square corners."""
        half = width / 2
        for (x0, y0), (x1, y1) in pairwise(path):
            left, right, top, low = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
            box = pygame.Rect(0, 0, 0, 0)
            box.x, box.y = round(left - half), round(top - half)
            if left == right or top == low:
                box.w, box.h = round(right + half) - box.x, round(low + half) - box.y
            pygame.draw.rect(self.canvas.surface, colour, box)

    def _marks(self, path: Sequence[Point], width: float, moved: float, colour: Colour) -> None:
        """Short strokes across the ribbon that travel along it."""
        every, size = MARK_EVERY_DP * self.canvas.scale, MARK_DP * self.canvas.scale
        line, reach = max(1, round(2 * self.canvas.scale)), 0.34 * width
        if width < LEAST_MARKED_PX:
            return
        at = moved % every
        for (x0, y0), (x1, y1) in pairwise(path):
            length = abs(x1 - x0) + abs(y1 - y0)
            if length <= 0:
                continue
            ux, uy = (x1 - x0) / length, (y1 - y0) / length
            while at < length:
                x, y = x0 + ux * at, y0 + uy * at
                for side in (-1, 1):
                    end = (x - ux * size - side * uy * reach, y - uy * size + side * ux * reach)
                    pygame.draw.line(self.canvas.surface, colour, (x, y), end, line)
                at += every
            at -= length


def _beside(path: Sequence[Point], shift: float) -> list[Point]:
    """A path moved sideways, to the right of its direction on the screen for a positive shift."""
    if abs(shift) < 0.25:
        return list(path)
    moved: list[Point] = []
    pieces = list(pairwise(path))
    for i, (x, y) in enumerate(path):
        dx = dy = 0.0
        for (x0, y0), (x1, y1) in pieces[max(i - 1, 0) : i + 1]:
            if x0 == x1:
                dx = -shift if y1 > y0 else shift
            else:
                dy = shift if x1 > x0 else -shift
        moved.append((x + dx, y + dy))
    return moved
