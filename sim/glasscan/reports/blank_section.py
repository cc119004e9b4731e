"""The section of a filter for paper: cut parts in outline, numbered leaders, a blank line for each name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from glasscan.reports.html_pages import Html, element

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario

WIDE, HIGH, LEAST_STEP = 640.0, 460.0, 26.0
FILLS = {"medium": "#eee6d0", "paper": "#eee6d0", "rubber": "#999", "spring": "none"}


def blank_section(scenario: Scenario) -> Html:
    """The filter of a scenario with its named parts to be written in."""
    from glasscan.filters.build import parts_of
    from glasscan.filters.filter_data import FilterData
    from glasscan.learning.catalogue import load_filter

    parts = parts_of(FilterData(load_filter(scenario.filter)))
    every = np.vstack([outline for part in parts for outline in part.outlines])
    low, high, r = float(every[:, 1].min()), float(every[:, 1].max()), float(every[:, 0].max())
    px = min(HIGH / (high - low), 0.42 * WIDE / (2 * r))

    def at(point: Any, side: int = 1) -> tuple[float, float]:
        return WIDE / 2 + side * float(point[0]) * px, (high - float(point[1])) * px + 8

    drawn = [shape for part in parts for shape in _shapes(part, at)]
    drawn += _leaders([part for part in parts if part.name], at)
    picture = element("svg", *drawn, viewBox=f"0 0 {WIDE:g} {HIGH + 16:g}", width=WIDE, role="img")
    return element("figure", picture, element("figcaption", "Name the parts."))


def _shapes(part: Any, at: Any) -> list[Html]:
    """A part's outlines on its sides."""
    sides = (-1,) if part.left_only else (1, -1) if part.mirrored else (1,)
    ink = {
        "fill": "none" if part.ghost else FILLS.get(part.material, "#d8d8d8"),
        "stroke": "#000",
        "stroke_width": 1,
    }
    found = []
    for outline in part.outlines:
        for side in sides:
            points = " ".join(f"{x:.1f},{y:.1f}" for x, y in (at(point, side) for point in outline))
            found.append(element("polygon", points=points, **ink))
    if part.spring is not None:
        coil = part.spring
        ends = [(coil.radius_m, coil.fixed_z_m), (coil.radius_m, coil.free_z_m)]
        if coil.along_r:
            ends = [(coil.fixed_z_m, coil.at_z_m), (coil.free_z_m, coil.at_z_m)]
        for side in sides:
            (x1, y1), (x2, y2) = at(ends[0], side), at(ends[1], side)
            line = {"x1": f"{x1:.1f}", "y1": f"{y1:.1f}", "x2": f"{x2:.1f}", "y2": f"{y2:.1f}"}
            found.append(element("line", **line, stroke="#000", stroke_width=3, stroke_dasharray="2 4"))
    return found


def _leaders(parts: list[Any], at: Any) -> list[Html]:
    """Numbers and blank lines in two columns, from the top down, each joined to its part."""
    ordered = sorted(parts, key=lambda part: -part.label_at[1])
    found: list[Html] = []
    for column, side in ((ordered[0::2], 1), (ordered[1::2], -1)):
        step = max(LEAST_STEP, HIGH / max(len(column), 1))
        for i, part in enumerate(column):
            x, y = at(part.label_at, side if part.mirrored else 1)
            number = ordered.index(part) + 1
            line_y = 18 + i * step
            start, end = (WIDE - 150, WIDE - 4) if side > 0 else (150, 4)
            found.append(
                element(
                    "line", x1=f"{x:.1f}", y1=f"{y:.1f}", x2=f"{start:g}", y2=f"{line_y:g}", stroke="#000"
                )
            )
            found.append(element("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=2.5))
            found.append(
                element(
                    "line", x1=f"{start:g}", y1=f"{line_y:g}", x2=f"{end:g}", y2=f"{line_y:g}", stroke="#000"
                )
            )
            edge = start + 4 if side > 0 else end
            found.append(element("text", str(number), x=f"{edge:g}", y=f"{line_y - 4:g}", font_size=13))
    return found
