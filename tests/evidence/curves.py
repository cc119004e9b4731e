"""A line chart as SVG: both axes logarithmic, one mark and one grey per curve, numbers at the ends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from glasscan.reports.html_pages import Html, element

WIDE, HIGH, LEFT, LOW, RIGHT, TOP = 640, 320, 70, 44, 190, 12
GREYS, DASHES = ("#000", "#555", "#888", "#000"), ("", "6 3", "2 3", "9 3 2 3")


@dataclass(frozen=True)
class Curve:
    """A named row of points (x, y), both above 0."""

    name: str
    points: Sequence[tuple[float, float]]


def chart(curves: Sequence[Curve], across: str, up: str) -> Html:
    """The picture; `across` and `up` name the axes with their units."""
    xs = [x for curve in curves for x, _ in curve.points]
    ys = [y for curve in curves for _, y in curve.points]
    place = _Place(_decades(xs), _decades(ys))
    drawn = [*place.grid(), *(part for i, curve in enumerate(curves) for part in _drawn(place, curve, i))]
    middle = (LEFT + WIDE - RIGHT) // 2
    drawn += [
        element("text", across, x=middle, y=HIGH - 6, text_anchor="middle", font_size=13),
        element("text", up, x=14, y=HIGH // 2, text_anchor="middle", font_size=13,
                transform=f"rotate(-90 14 {HIGH // 2})"),
    ]  # fmt: skip
    named = f"{up} against {across}: {', '.join(curve.name for curve in curves)}"
    return element("svg", *drawn, viewBox=f"0 0 {WIDE} {HIGH}", role="img", aria_label=named)


@dataclass(frozen=True)
class _Place:
    x: tuple[float, float]
    y: tuple[float, float]

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Place in the picture."""
        across = (math.log10(x) - self.x[0]) / (self.x[1] - self.x[0])
        up = (math.log10(y) - self.y[0]) / (self.y[1] - self.y[0])
        return LEFT + across * (WIDE - LEFT - RIGHT), HIGH - LOW - up * (HIGH - LOW - TOP)

    def grid(self) -> list[Html]:
        """Lines and numbers at 1, 2 and 5 of every decade of x, at every decade of y."""
        parts = []
        for x in _ticks(self.x, (1, 2, 5)):
            at = self.at(x, 10 ** self.y[0])[0]
            parts += [_line(at, TOP, at, HIGH - LOW), _number(at, HIGH - LOW + 15, x, "middle")]
        for y in _ticks(self.y, (1,) if self.y[1] - self.y[0] > 1.5 else (1, 2, 5)):
            at = self.at(10 ** self.x[0], y)[1]
            parts += [_line(LEFT, at, WIDE - RIGHT, at), _number(LEFT - 5, at + 4, y, "end")]
        return parts


def _decades(values: Sequence[float]) -> tuple[float, float]:
    logs = [math.log10(v) for v in values]
    return min(logs) - 0.1, max(logs) + 0.1


def _ticks(span: tuple[float, float], digits: Sequence[int]) -> list[float]:
    whole = range(math.floor(span[0]), math.ceil(span[1]) + 1)
    found = [digit * 10.0**n for n in whole for digit in digits]
    return [v for v in found if span[0] <= math.log10(v) <= span[1]]


def _line(x0: float, y0: float, x1: float, y1: float) -> Html:
    return element("line", x1=f"{x0:.1f}", y1=f"{y0:.1f}", x2=f"{x1:.1f}", y2=f"{y1:.1f}", stroke="#ccc")


def _number(x: float, y: float, value: float, anchor: str) -> Html:
    return element("text", f"{value:g}", x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor, font_size=11)


def _drawn(place: _Place, curve: Curve, i: int) -> list[Html]:
    spots = [place.at(x, y) for x, y in curve.points]
    way = " ".join(f"{x:.1f},{y:.1f}" for x, y in spots)
    ink, dash = GREYS[i % len(GREYS)], DASHES[i % len(DASHES)]
    x, y = WIDE - RIGHT + 12, TOP + 14 + 20 * i
    return [
        element("polyline", points=way, fill="none", stroke=ink, stroke_dasharray=dash, stroke_width=1.6),
        *(element("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=3, fill=ink) for x, y in spots),
        element("line", x1=x, y1=y - 4, x2=x + 28, y2=y - 4, stroke=ink, stroke_dasharray=dash),
        element("text", curve.name, x=x + 34, y=y, font_size=12),
    ]
