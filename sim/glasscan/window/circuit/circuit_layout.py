"""Where the pieces of the circuit stand in a box: sump left, pump, regulator, filter, gallery, bearings."""

from __future__ import annotations

from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.circuit.ribbons import Point

# middles of the pieces, as shares of the width
COLUMNS = {
    "sump": 0.085, "pump": 0.215, "relief": 0.27, "before": 0.345, "filter": 0.5,
    "after": 0.655, "gallery": 0.825,
}  # fmt: skip
BEARINGS = (0.755, 0.825, 0.895)
PIPE_SHARE = (0.12, 0.042)  # of the height, of the width: the narrower one


@dataclass(frozen=True)
class Places:
    """Boxes and heights of the pieces, px."""

    box: pygame.Rect
    main_y: float
    back_y: float
    pipe: int
    sump: pygame.Rect
    filter: pygame.Rect
    gallery: pygame.Rect
    pump_r: int
    over: pygame.Rect
    under: pygame.Rect
    before: bool = False

    def x(self, column: str) -> float:
        """Middle of a piece, px."""
        return self.box.x + COLUMNS[column] * self.box.w

    def bearings(self) -> list[float]:
        """Middles of the bearings, px."""
        return [self.box.x + share * self.box.w for share in BEARINGS]

    def piece(self, name: str) -> pygame.Rect:
        """Box of a piece by name: sump, pump, regulator, bearings, button, gauge, accumulator."""
        if name == "pump":
            return _around(self.x("pump"), self.main_y, 2 * self.pump_r, 2 * self.pump_r)
        if name == "regulator":
            x = self.x("before" if self.before else "after")
            return pygame.Rect(
                round(x - 0.85 * self.pipe), round(self.main_y + 1.1 * self.pipe),
                round(1.7 * self.pipe), 2 * self.pipe,
            )  # fmt: skip
        if name == "bearings":
            xs, y = self.bearings(), (self.gallery.bottom + self.back_y) / 2
            return _around((xs[0] + xs[-1]) / 2, y, xs[-1] - xs[0] + 2 * self.pipe, 1.8 * self.pipe)
        if name == "accumulator":
            tall = max(self.gallery.y - self.over.bottom - 4, 8)
            wide = min(round(0.12 * self.box.w), 3 * tall)
            return pygame.Rect(self.gallery.right - wide, self.gallery.y - tall - 2, wide, tall)
        if name == "button":
            at = self.filter
            return _around(at.right - 0.18 * at.w, at.y - 4, 22, 20)
        if name == "gauge":
            r = 0.034 * self.box.w
            return _around(self.box.right - r, self.gallery.centery, 2 * r, 2 * r)
        return self.sump

    def paths(self) -> dict[str, list[Point]]:
        """Pipes by the name of their stream."""
        y, back, low = self.main_y, self.back_y, self.sump.bottom - self.pipe
        pump, relief = self.x("pump"), self.x("relief")
        before, after = self.x("before"), self.x("after")
        start, end = float(self.filter.x), float(self.filter.right)
        home = float(self.sump.right)
        found = {
            "suction": [
                (self.x("sump"), low + 0.5 * self.pipe),
                (self.x("sump"), y),
                (pump - self.pump_r, y),
            ],
            "pressure": [(pump + self.pump_r, y), (before, y)],
            "delivery": [(before, y), (start, y)],
            "relief": [(relief, y), (relief, back), (home, back)],
            "spill-before": [(before, y), (before, back), (home, back)],
            "outlet": [(end, y), (after, y)],
            "spill-after": [(after, y), (after, back), (home, back)],
            "gallery": [(after, y), (float(self.gallery.x), y)],
        }
        for i, x in enumerate(self.bearings()):
            found[f"bearing{i}"] = [(x, float(self.gallery.bottom)), (x, back)]
        found["home"] = [(self.bearings()[-1], back), (home, back)]
        return found


def _around(x: float, y: float, w: float, h: float) -> pygame.Rect:
    """A box about a point."""
    return pygame.Rect(round(x - w / 2), round(y - h / 2), round(w), round(h))


def places(canvas: Canvas, box: pygame.Rect, words: bool = True, before: bool = False) -> Places:
    """The pieces in a box, with room for their words."""
    line = canvas.measure("Ag")[1] if words else 0
    pipe = round(min(PIPE_SHARE[0] * box.h, PIPE_SHARE[1] * box.w))
    over = pygame.Rect(box.x, box.y, box.w, 2 * line)
    under = pygame.Rect(box.x, box.bottom - line, box.w, line)
    top, low = over.bottom + canvas.dp(4), under.y - canvas.dp(6)
    tall = round(0.42 * box.w)
    if low - top > tall:  # a box too high for the drawing: it stands in the middle
        spare = (low - top - tall) // 2
        over.y += spare
        top, low = top + spare, low - spare
    main_y = top + 0.30 * (low - top)
    back_y = low - pipe / 2 - canvas.dp(3)
    sump = pygame.Rect(0, 0, round(0.13 * box.w), 0)
    sump.h = round(min(0.52 * (low - top), 0.16 * box.w))
    sump.midbottom = round(box.x + COLUMNS["sump"] * box.w), low
    body = pygame.Rect(0, 0, round(0.16 * box.w), round(min(0.60 * (low - top), 0.2 * box.w)))
    body.centerx = round(box.x + COLUMNS["filter"] * box.w)
    body.top = max(top, round(main_y - 0.42 * body.h))
    gallery = pygame.Rect(0, 0, round(0.21 * box.w), round(1.5 * pipe))
    gallery.center = round(box.x + COLUMNS["gallery"] * box.w), round(main_y)
    radius = round(min(1.15 * pipe, 0.045 * box.w))
    return Places(box, main_y, back_y, pipe, sump, body, gallery, radius, over, under, before)
