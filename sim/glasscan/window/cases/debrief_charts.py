"""Charts told after the verdict: how belief moved test by test, and the run with and without the fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.faults.counterfactual import Ghost
from glasscan.learning.cases.case_play import CANNOT_TELL
from glasscan.learning.cases.debrief import Curve as Beliefs
from glasscan.learning.cases.debrief import Debrief
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import DisplayUnit, UnitSystem
from glasscan.ui.plots import Curve, Frame, draw_curves, draw_frame
from glasscan.units import UNITS
from glasscan.window.cases.debrief_runs import CRUISE_S, END_S
from glasscan.window.contract import Array
from glasscan.window.cutaway.field_painter import nice_ceiling

MOST_LINES = 5
WITH, WITHOUT = 0, 1  # styles of plots.STYLES: solid, dashed


def shown_codes(told: Debrief) -> tuple[str, ...]:
    """Suspects that get a line: the fault, what was named, and those that were ever believed most."""
    named = (told.verdict,) if told.verdict not in (None, CANNOT_TELL) else ()
    return told.own_curve.strongest(MOST_LINES, tuple(dict.fromkeys([told.fault, *filter(None, named)])))


def draw_beliefs(canvas: Canvas, box: pygame.Rect, title: str, beliefs: Beliefs, told: Debrief) -> None:
    """Belief in each suspect against the tests done."""
    canvas.panel(box, "sheet", None, 12)
    inner = box.inflate(-canvas.dp(40), -canvas.dp(28))
    line = canvas.measure("Ag")[1]
    canvas.text(title, pygame.Rect(inner.x, inner.y, inner.w, line), bold=True, colour="accent")
    codes = shown_codes(told)
    right_w = max(canvas.measure(code, bold=True)[0] for code in codes) + canvas.dp(44)
    left_w = canvas.measure("100 %")[0] + canvas.dp(14)
    top = inner.y + line + canvas.dp(18)
    field = pygame.Rect(inner.x + left_w, top, inner.w - left_w - right_w, inner.bottom - 2 * line - top)
    last = len(beliefs.minutes) - 1
    frame = Frame(field, -0.04 * max(last, 1), max(last, 1), -0.03, 1.03)
    draw_frame(canvas, frame, [(0.0, "0 %"), (0.5, "50 %"), (1.0, "100 %")])
    _steps(canvas, frame, beliefs, line)
    places = np.arange(last + 1, dtype=float)
    curves = [
        Curve(code, places, np.array(beliefs.beliefs[code]), k, marks=True, bold=code == told.fault)
        for k, code in enumerate(codes)
    ]
    draw_curves(canvas, frame, curves, inner.right)


def _steps(canvas: Canvas, frame: Frame, beliefs: Beliefs, line: int) -> None:
    """Numbers of the tests under the field, with the minutes spent; as many as fit."""
    y = frame.box.bottom + canvas.dp(4)
    ends = -canvas.dp(10**4)
    for k, spent in enumerate(beliefs.minutes):
        x = round(float(frame.points(np.array([k]), np.array([0.0]))[0, 0]))
        pygame.draw.line(canvas.surface, canvas.theme["rule"], (x, frame.box.y), (x, frame.box.bottom))
        text = f"{spent:g} min" if k else "noted"
        w = canvas.measure(text)[0]
        place = pygame.Rect(min(max(x - w // 2, frame.box.x), frame.box.right - w), y, w, line)
        if place.x > ends + canvas.dp(12):
            canvas.text(text, place, colour="soft")
            ends = place.right
    under = pygame.Rect(frame.box.x, y + line, frame.box.w, line)
    if canvas.measure(UNDER)[0] <= under.w:
        canvas.text(UNDER, under, colour="soft", align="centre")


UNDER = "minutes spent, test by test"


@dataclass(frozen=True)
class Quantity:
    """A column of the trace as it is plotted: title, column, unit in the system chosen, scale to SI."""

    title: str
    column: str
    unit: Callable[[UnitSystem], DisplayUnit]
    scale: float


QUANTITIES = (
    Quantity("Cockpit gauge", "gauge", lambda units: units.pressure, UNITS["kPa"].scale),
    Quantity("Across the filter", "dp", lambda units: units.pressure, UNITS["kPa"].scale),
    Quantity("Gone unfiltered", "unfiltered", lambda units: units.volume, UNITS["L"].scale),
)


def draw_ghost(canvas: Canvas, box: pygame.Rect, title: str, ghost: Ghost | None, units: UnitSystem) -> None:
    """Three plots of one run, with the fault and without it."""
    canvas.panel(box, "sheet", None, 12)
    inner = box.inflate(-canvas.dp(40), -canvas.dp(28))
    line = canvas.measure("Ag")[1]
    head = canvas.measure(title, bold=True, wrap=inner.w)[1]
    canvas.text(
        title,
        pygame.Rect(inner.x, inner.y, inner.w, head),
        bold=True,
        colour="accent",
        wrap=True,
        valign="top",
    )
    if ghost is None:
        canvas.text("The model cannot go on with this rig.", inner, wrap=True, align="centre", colour="warn")
        return
    top = inner.y + head + canvas.dp(8)
    high = (inner.bottom - line - top) // len(QUANTITIES)
    left_w = max(canvas.measure(text)[0] for text in ("10 000", "0.00")) + canvas.dp(14)
    for k, quantity in enumerate(QUANTITIES):
        _plot(canvas, pygame.Rect(inner.x, top + k * high, inner.w, high), left_w, quantity, ghost, units)
    foot = pygame.Rect(inner.x + left_w, inner.bottom - line, inner.w - left_w, line)
    canvas.text("0 s", foot, colour="soft")
    canvas.text(f"{END_S:.0f} s", foot, colour="soft", align="right")
    canvas.text(f"{CRUISE_S:.0f} s", foot, colour="soft", align="centre")


def _plot(
    canvas: Canvas, box: pygame.Rect, left_w: int, quantity: Quantity, ghost: Ghost, units: UnitSystem
) -> None:
    line, unit = canvas.measure("Ag")[1], quantity.unit(units)
    canvas.text(f"{quantity.title}, {unit.sign}", pygame.Rect(box.x, box.y, box.w, line))
    y = box.y + line + canvas.dp(4)
    field = pygame.Rect(box.x + left_w, y, box.w - left_w, box.bottom - canvas.dp(10) - y)

    def shown(columns: dict[str, Array]) -> Array:
        return np.array([unit.shown(float(v) * quantity.scale) for v in columns[quantity.column]])

    ill, well = shown(ghost.with_fault), shown(ghost.without)
    full = nice_ceiling(max(float(ill.max()), float(well.max()), unit.shown(1e-4)) * 1.05)
    frame = Frame(field, 0.0, END_S, 0.0, full)
    draw_frame(canvas, frame, [(0.0, "0"), (full, f"{full:g}")])
    if ghost.from_s > 0.0:  # there the fault is taken away
        x = round(float(frame.points(np.array([ghost.from_s]), np.array([0.0]))[0, 0]))
        pygame.draw.line(
            canvas.surface, canvas.theme["accent"], (x, field.y), (x, field.bottom), canvas.dp(3)
        )
    curves = [Curve("", ghost.times_s, well, WITHOUT), Curve("", ghost.times_s, ill, WITH, bold=True)]
    draw_curves(canvas, frame, curves, box.right)
