"""The trace: pressures, valve lift and oil temperature against time, with the events marked."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.rig.records import Event
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import MILLIMETRE, DisplayUnit, UnitSystem
from glasscan.window.cutaway.field_painter import nice_ceiling
from glasscan.window.lesson.trace_axes import PRESSURES, Axis, oil_axis, placed, polyline, time_end, time_mark
from glasscan.window.lesson.trace_log import TraceLog
from glasscan.window.lesson.trace_marks import cursor, end_names, event_marks, ticks

WORD_ROWS = 2  # rows for the words of events, above the curves
LEAST_LIFT_M = 5e-4
HIGH_PA = 2e6  # full scale from which the difference is drawn enlarged; an oil system stays far below
LEAST_DP_PA = (
    2e5  # counts as the largest difference before there was a larger one: the scale then moves seldom
)
TIMES = (1, 10, 20, 50, 100)


def enlarged(logs: Sequence[TraceLog], full_pa: float) -> int:
    """How many times the difference is enlarged in the plot of pressures: 1 where it can be seen as it is.

    In a high-pressure system the drop over the filter is a hundredth of the pressures beside it.
    """
    if full_pa < HIGH_PA:
        return 1
    largest = max((float(log.column("dp").max(initial=0.0)) for log in logs), default=0.0)
    return max(n for n in TIMES if n == 1 or n * max(largest, LEAST_DP_PA) <= 0.9 * full_pa)


class TracePlot:
    """Lays out and draws the two plots; the curves are kept on a surface between changes."""

    def __init__(self) -> None:
        self.axis: Axis | None = None
        self._cache: tuple[tuple[object, ...], pygame.Surface] | None = None

    def draw(
        self,
        canvas: Canvas,
        box: pygame.Rect,
        log: TraceLog,
        events: Sequence[Event],
        units: UnitSystem,
        max_lift_m: float,
        cursor_s: float | None = None,
        ghost: TraceLog | None = None,
        ghost_name: str = "",
    ) -> None:
        """Draw into `box`; `cursor_s` marks the moment shown, `ghost` is another run, under its name."""
        canvas.panel(box, "sheet")
        longest = ghost if ghost is not None and ghost.column("t_s")[-1] > log.column("t_s")[-1] else log
        upper, lower = self._axes(canvas, box, log, max_lift_m, units.pressure, longest)
        self.axis = upper
        times = enlarged([log, longest], upper.high)
        for axis in (upper, lower) if lower else (upper,):
            pygame.draw.rect(canvas.surface, canvas.theme["well"], axis.frame)
        self._frames(canvas, box, upper, lower, units)
        if ghost is not None:
            _ghost(canvas, box, ghost, upper, lower, times, ghost_name)
        self._curves(canvas, box, log, upper, lower, times)
        end_names(canvas, box, log, upper, lower, times)
        event_marks(canvas, box, upper, lower, events)
        if cursor_s is not None:
            cursor(canvas, upper, lower, cursor_s)

    def _axes(
        self,
        canvas: Canvas,
        box: pygame.Rect,
        log: TraceLog,
        max_lift_m: float,
        unit: DisplayUnit,
        longest: TraceLog,
    ) -> tuple[Axis, Axis | None]:
        line = canvas.measure("0")[1]
        left, right = box.x + canvas.tp(86), box.right - canvas.tp(110)
        bottom = box.bottom - line - canvas.dp(10)
        words = WORD_ROWS if box.h > 12 * line else 1 if box.h > 7 * line else 0
        top = box.y + canvas.dp(14 if words == 0 else 8) + words * (line + 2)
        t = longest.column("t_s")
        t_end = time_end(float(t[-1]) if len(t) else 0.0)
        logs = [one for one in (log, longest) if one.rows]
        peak = max((float(one.column(c).max()) for _, c, _, _ in PRESSURES for one in logs), default=0.0)
        full = unit.si(nice_ceiling(unit.shown(max(peak, 1e5) * 1.02)))
        two = bottom - top > 7.5 * line
        split = top + round((bottom - top) * 0.62) if two else bottom
        upper = Axis(pygame.Rect(left, top, right - left, split - top), t_end, 0.0, full)
        if not two:
            return upper, None
        start = split + canvas.dp(14)
        lift = max(float(one.column("lift").max(initial=LEAST_LIFT_M)) for one in (log, longest))
        high = min(nice_ceiling(lift * 1.05), max(max_lift_m, LEAST_LIFT_M) * 1.1)
        return upper, Axis(pygame.Rect(left, start, right - left, bottom - start), t_end, 0.0, high)

    def _frames(
        self, canvas: Canvas, box: pygame.Rect, upper: Axis, lower: Axis | None, units: UnitSystem
    ) -> None:
        ticks(canvas, box, upper, units.pressure, (0.0, 0.5, 1.0))
        if lower is not None:
            ticks(canvas, box, lower, DisplayUnit("mm", MILLIMETRE.factor, decimals=1), (0.0, 1.0))
        foot = (lower or upper).frame
        h = canvas.measure("0")[1]
        marks = {share: time_mark(upper.t_end_s * share, upper.t_end_s) for share in (0.0, 0.5, 1.0)}
        tight = sum(canvas.measure(text)[0] for text in marks.values()) + 2 * canvas.dp(14) > foot.w
        for share, align in ((0.0, "left"), (0.5, "centre"), (1.0, "right")):
            if tight and align == "centre":
                continue
            text = marks[share]
            w = canvas.measure(text)[0]
            x = foot.x + round(foot.w * share) - {"left": 0, "centre": w // 2, "right": w}[align]
            canvas.text(text, pygame.Rect(x, foot.bottom + canvas.dp(4), w, h), colour="soft")

    def _curves(
        self, canvas: Canvas, box: pygame.Rect, log: TraceLog, upper: Axis, lower: Axis | None, times: int
    ) -> None:
        last = float(log.column("t_s")[-1]) if log.rows else 0.0
        column = int(last / upper.t_end_s * upper.frame.w)
        key = (tuple(box), canvas.theme.name, upper, lower, column, log.version, times)
        if self._cache is None or self._cache[0] != key:
            layer = pygame.Surface(box.size, pygame.SRCALPHA)
            self._paint(layer, box, canvas, log, upper, lower, times)
            self._cache = (key, layer)
        canvas.surface.blit(self._cache[1], box)

    def _paint(
        self,
        layer: pygame.Surface,
        box: pygame.Rect,
        canvas: Canvas,
        log: TraceLog,
        upper: Axis,
        lower: Axis | None,
        times: int,
    ) -> None:
        t = log.column("t_s")
        for name, column, dash, width in PRESSURES:
            points = placed(upper, t, log.column(column) * (times if name == "dp" else 1), box)
            polyline(layer, canvas.theme[name], points, canvas.dp(width), canvas.dp(dash))
        if lower is not None:
            lift = placed(lower, t, log.column("lift"), box)
            polyline(layer, canvas.theme["lift"], lift, canvas.dp(4), 0)
            oil = placed(oil_axis(lower), t, log.column("filter_oil"), box)
            polyline(layer, canvas.theme["oil"], oil, canvas.dp(3), canvas.dp(16))


def _ghost(
    canvas: Canvas,
    box: pygame.Rect,
    ghost: TraceLog,
    upper: Axis,
    lower: Axis | None,
    times: int,
    name: str,
) -> None:
    """Differential pressure and lift of another run, thin and pale under the present ones, with its name."""
    layer = pygame.Surface(box.size, pygame.SRCALPHA)
    t = ghost.column("t_s")
    pairs = [(upper, "dp")] + ([(lower, "lift")] if lower is not None else [])
    for axis, column in pairs:
        points = placed(axis, t, ghost.column(column) * (times if column == "dp" else 1), box)
        polyline(layer, canvas.theme["soft"], points, canvas.dp(2), canvas.dp(8))
    canvas.surface.blit(layer, box)
    w, h = canvas.measure(f"– – {name}")
    if name and upper.frame.w > 2 * w and upper.frame.h > 3 * h:
        place = pygame.Rect(upper.frame.right - w - canvas.dp(10), upper.frame.y + canvas.dp(4), w + 2, h)
        canvas.text(f"– – {name}", place, colour="soft")
