"""What stands at the lines of the trace: ticks, names at their ends, events, the moment pointed at."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.rig.records import Event
from glasscan.signals import event_mark
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import DisplayUnit
from glasscan.ui.spreading import spread
from glasscan.window.lesson.trace_axes import PRESSURES, Axis, oil_axis
from glasscan.window.lesson.trace_log import TraceLog


def ticks(canvas: Canvas, box: pygame.Rect, axis: Axis, unit: DisplayUnit, shares: Sequence[float]) -> None:
    """Lines and numbers at shares of an axis; its foot carries the unit."""
    h = canvas.measure("0")[1]
    for share in shares:
        value = axis.low + share * (axis.high - axis.low)
        y = round(float(axis.y(value)))
        pygame.draw.line(canvas.surface, canvas.theme["rule"], (axis.frame.x, y), (axis.frame.right, y))
        place = pygame.Rect(box.x + canvas.dp(6), 0, axis.frame.x - box.x - canvas.dp(14), h)
        place.centery = min(max(y, axis.frame.y + h // 2), axis.frame.bottom - h // 2)
        text = unit.text(value) if share else unit.sign
        canvas.text(text, place, align="right", colour="soft")


def end_names(
    canvas: Canvas, box: pygame.Rect, log: TraceLog, upper: Axis, lower: Axis | None, times: int
) -> None:
    """The name of each line beside its last point, spread so that none covers another."""
    if not log.rows:
        return
    rows = [(n, n, float(upper.y(log.column(c)[-1]))) for n, c, _, _ in PRESSURES if n != "dp"]
    drop = float(upper.y(log.column("dp")[-1] * times))
    rows.append(("dp", "dp" if times == 1 else f"dp×{times}", drop))
    _names(canvas, box, upper, rows)
    if lower is not None:
        lift = float(lower.y(log.column("lift")[-1]))
        oil = float(oil_axis(lower).y(log.column("filter_oil")[-1]))
        _names(canvas, box, lower, [("lift", "lift", lift), ("oil", "oil °C", oil)])


def _names(canvas: Canvas, box: pygame.Rect, axis: Axis, rows: list[tuple[str, str, float]]) -> None:
    rows = sorted(rows, key=lambda row: row[2])
    h = canvas.measure("0")[1]
    room = max(axis.frame.h, h * len(rows))
    centres = spread([r[2] for r in rows], [h] * len(rows), axis.frame.y, axis.frame.y + room, 0)
    for (colour, text, _), y in zip(rows, centres, strict=True):
        place = pygame.Rect(axis.frame.right + canvas.dp(8), round(y - h / 2), 0, h)
        place.w = box.right - place.x - canvas.dp(4)
        canvas.text(text, place, colour=colour, bold=True)


def event_marks(
    canvas: Canvas, box: pygame.Rect, upper: Axis, lower: Axis | None, events: Sequence[Event]
) -> None:
    """A line through both plots for each event; its word above them, in the first row that has room.

    A word without room is left out, its line stays: the list of events has them all.
    """
    frame, bottom = upper.frame, (lower or upper).frame.bottom
    h = canvas.measure("0")[1] + 2
    ends = box.inflate(-canvas.dp(16), 0)
    taken = [ends.x] * ((frame.y - box.y) // h)
    words: list[tuple[str, pygame.Rect]] = []
    for event in events:
        x = round(float(upper.x(event.t_s)))
        if x > frame.right:
            continue
        text = event_mark(event.word)
        w = canvas.measure(text)[0]
        left = min(x - canvas.dp(2), ends.right - w)
        row = next((i for i, end in enumerate(taken) if end <= left), None)
        start = frame.y
        if row is not None:
            taken[row] = left + w + canvas.dp(14)
            words.append((text, pygame.Rect(left, frame.y - (row + 1) * h, w, h)))
            start = words[-1][1].bottom
        pygame.draw.line(canvas.surface, canvas.theme["edge"], (x, start), (x, bottom), canvas.dp(2))
    for text, place in words:
        canvas.surface.fill(canvas.theme["sheet"], place)
        canvas.text(text, place)


def cursor(canvas: Canvas, upper: Axis, lower: Axis | None, t_s: float) -> None:
    """A line through both plots at a moment."""
    x = round(float(upper.x(t_s)))
    bottom = (lower or upper).frame.bottom
    pygame.draw.line(canvas.surface, canvas.theme["accent"], (x, upper.frame.y), (x, bottom), canvas.dp(4))
