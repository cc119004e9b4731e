"""The trace: pressures, valve lift and oil temperature against time, with the events marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pygame

from sim.plant.records import Event
from sim.screens.canvas import Canvas
from sim.screens.contract import Array
from sim.screens.field import nice_ceiling
from sim.screens.labels import spread
from sim.screens.quantities import MILLIMETRE, Unit, UnitSystem, clock
from sim.screens.tracelog import TraceLog, decimate

SHORT = {
    "bypass-cracks": "cracks",
    "bypass-full": "full open",
    "bypass-seats": "seats",
    "gallery-full": "gallery full",
    "pressure-green": "in the green",
    "indicator-pops": "indicator",
    "indicator-reset": "reset",
    "scraper-turned": "turned",
    "bowl-drained": "drained",
    "dirt-added": "dirt",
    "element-collapses": "collapses",
    "element-tears": "tears",
    "fault-begins": "fault",
    "fault-grown": "grown",
}
# Name, column, colour, dash length in dp (0 = solid), line width in dp.
PRESSURES = (("inlet", "inlet_pa", 0, 3), ("outlet", "outlet_pa", 16, 3), ("dp", "dp_pa", 0, 5))
BUCKETS = 400
WORD_ROWS = 2  # rows for the words of events, above the curves
LEAST_LIFT_M = 5e-4
HIGH_PA = 2e6  # full scale from which the difference is drawn enlarged; an oil system stays far below
LEAST_DP_PA = (
    2e5  # counts as the largest difference before there was a larger one: the scale then moves seldom
)
TIMES = (1, 10, 20, 50, 100)


@dataclass(frozen=True)
class Axis:
    """One plot: its frame in pixels, time range and value range in SI units."""

    frame: pygame.Rect
    t_end_s: float
    low: float
    high: float

    def x(self, t_s: Array | float) -> Array | float:
        """Pixel column of a time."""
        return self.frame.x + np.asarray(t_s) / self.t_end_s * self.frame.w

    def y(self, value: Array | float) -> Array | float:
        """Pixel row of a value."""
        return self.frame.bottom - (np.asarray(value) - self.low) / (self.high - self.low) * self.frame.h

    def time(self, x: float) -> float:
        """Time at a pixel column, s."""
        return min(max((x - self.frame.x) / max(self.frame.w, 1), 0.0), 1.0) * self.t_end_s


def enlarged(logs: Sequence[TraceLog], full_pa: float) -> int:
    """How many times the difference is enlarged in the plot of pressures: 1 where it can be seen as it is.

    In a high-pressure system the drop over the filter is a hundredth of the pressures beside it.
    """
    if full_pa < HIGH_PA:
        return 1
    largest = max((float(log.column("dp_pa").max(initial=0.0)) for log in logs), default=0.0)
    return max(n for n in TIMES if n == 1 or n * max(largest, LEAST_DP_PA) <= 0.9 * full_pa)


def time_end(t_s: float) -> float:
    """End of the time axis that holds `t_s`: 10, 20, 30, 60 s and so on, so that it moves seldom."""
    steps = (10, 20, 30, 60, 120, 180, 300, 600, 900, 1800, 3600, 7200, 14400, 36000, 86400)
    return float(next((s for s in steps if s >= t_s), nice_ceiling(t_s)))


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
    ) -> None:
        """Draw into `box`; `cursor_s` marks the moment under the pointer, `ghost` is the run before."""
        canvas.panel(box, "sheet")
        longest = ghost if ghost is not None and ghost.column("t_s")[-1] > log.column("t_s")[-1] else log
        upper, lower = self._axes(canvas, box, log, max_lift_m, units.pressure, longest)
        self.axis = upper
        times = enlarged([log, longest], upper.high)
        for axis in (upper, lower) if lower else (upper,):
            pygame.draw.rect(canvas.surface, canvas.theme["well"], axis.frame)
        self._frames(canvas, box, upper, lower, units)
        if ghost is not None:
            _ghost(canvas, box, ghost, upper, lower, times)
        self._curves(canvas, box, log, upper, lower, times)
        _end_names(canvas, box, log, upper, lower, times)
        _event_marks(canvas, box, upper, lower, events)
        if cursor_s is not None:
            _cursor(canvas, upper, lower, cursor_s)

    def _axes(
        self,
        canvas: Canvas,
        box: pygame.Rect,
        log: TraceLog,
        max_lift_m: float,
        unit: Unit,
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
        lift = max(float(one.column("lift_m").max(initial=LEAST_LIFT_M)) for one in (log, longest))
        high = min(nice_ceiling(lift * 1.05), max(max_lift_m, LEAST_LIFT_M) * 1.1)
        return upper, Axis(pygame.Rect(left, start, right - left, bottom - start), t_end, 0.0, high)

    def _frames(
        self, canvas: Canvas, box: pygame.Rect, upper: Axis, lower: Axis | None, units: UnitSystem
    ) -> None:
        _ticks(canvas, box, upper, units.pressure, (0.0, 0.5, 1.0))
        if lower is not None:
            _ticks(canvas, box, lower, Unit("mm", MILLIMETRE.factor, decimals=1), (0.0, 1.0))
        foot = (lower or upper).frame
        h = canvas.measure("0")[1]
        for share, align in ((0.0, "left"), (0.5, "centre"), (1.0, "right")):
            text = clock(upper.t_end_s * share).removesuffix(".0")
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
            points = _points(upper, t, log.column(column) * (times if name == "dp" else 1), box)
            _polyline(layer, canvas.theme[name], points, canvas.dp(width), canvas.dp(dash))
        if lower is not None:
            lift = _points(lower, t, log.column("lift_m"), box)
            _polyline(layer, canvas.theme["lift"], lift, canvas.dp(4), 0)
            oil = _points(_oil_axis(lower), t, log.column("filter_c"), box)
            _polyline(layer, canvas.theme["oil"], oil, canvas.dp(3), canvas.dp(16))


def _ghost(
    canvas: Canvas, box: pygame.Rect, ghost: TraceLog, upper: Axis, lower: Axis | None, times: int
) -> None:
    """Differential pressure and lift of the run before, thin and pale under the present ones."""
    layer = pygame.Surface(box.size, pygame.SRCALPHA)
    t = ghost.column("t_s")
    pairs = [(upper, "dp_pa")] + ([(lower, "lift_m")] if lower is not None else [])
    for axis, column in pairs:
        points = _points(axis, t, ghost.column(column) * (times if column == "dp_pa" else 1), box)
        _polyline(layer, canvas.theme["soft"], points, canvas.dp(2), canvas.dp(8))
    canvas.surface.blit(layer, box)


def _oil_axis(lower: Axis) -> Axis:
    """The lower frame read as oil temperature, -40..120 degC."""
    return Axis(lower.frame, lower.t_end_s, -40.0, 120.0)


def _points(axis: Axis, t: Array, y: Array, box: pygame.Rect) -> Array:
    t, y = decimate(t, y, BUCKETS)
    rows = np.clip(axis.y(y), axis.frame.top, axis.frame.bottom)
    return np.stack([np.asarray(axis.x(t)) - box.x, rows - box.y], axis=1)


def _polyline(
    layer: pygame.Surface, colour: tuple[int, int, int], points: Array, width: int, dash: int
) -> None:
    if len(points) < 2:
        return
    for piece in _dashes(points, dash) if dash else [points]:
        if len(piece) > 1:
            pygame.draw.lines(layer, colour, False, piece.tolist(), max(1, width))
            pygame.draw.aalines(layer, colour, False, piece.tolist())


def _dashes(points: Array, dash: int) -> list[Array]:
    """Cut a line into dashes of `dash` pixels with gaps half as long, measured along it."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    starts = np.arange(0.0, along[-1], 1.5 * dash)
    pieces = []
    for start in starts:
        inside = (along > start) & (along < start + dash)
        at = np.concatenate([[start], along[inside], [min(start + dash, along[-1])]])
        pieces.append(
            np.stack([np.interp(at, along, points[:, 0]), np.interp(at, along, points[:, 1])], axis=1)
        )
    return pieces


def _ticks(canvas: Canvas, box: pygame.Rect, axis: Axis, unit: Unit, shares: Sequence[float]) -> None:
    h = canvas.measure("0")[1]
    for share in shares:
        value = axis.low + share * (axis.high - axis.low)
        y = round(float(axis.y(value)))
        pygame.draw.line(canvas.surface, canvas.theme["rule"], (axis.frame.x, y), (axis.frame.right, y))
        place = pygame.Rect(box.x + canvas.dp(6), 0, axis.frame.x - box.x - canvas.dp(14), h)
        place.centery = min(max(y, axis.frame.y + h // 2), axis.frame.bottom - h // 2)
        text = unit.text(value) if share else unit.sign
        canvas.text(text, place, align="right", colour="soft")


def _end_names(
    canvas: Canvas, box: pygame.Rect, log: TraceLog, upper: Axis, lower: Axis | None, times: int
) -> None:
    """The name of each line beside its last point, spread so that none covers another."""
    if not log.rows:
        return
    rows = [(n, n, float(upper.y(log.column(c)[-1]))) for n, c, _, _ in PRESSURES if n != "dp"]
    drop = float(upper.y(log.column("dp_pa")[-1] * times))
    rows.append(("dp", "dp" if times == 1 else f"dp×{times}", drop))
    _names(canvas, box, upper, rows)
    if lower is not None:
        lift = float(lower.y(log.column("lift_m")[-1]))
        oil = float(_oil_axis(lower).y(log.column("filter_c")[-1]))
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


def _event_marks(
    canvas: Canvas, box: pygame.Rect, upper: Axis, lower: Axis | None, events: Sequence[Event]
) -> None:
    """A line through both plots for each event; its word above them, in the first row that has room.

    A plot without a strip above it has the words inside. A word without room is left out; its line stays.
    """
    frame, bottom = upper.frame, (lower or upper).frame.bottom
    h = canvas.measure("0")[1] + 2
    above = (frame.y - box.y) // h
    rows = above or max(1, frame.h // h)
    ends = box.inflate(-canvas.dp(16), 0) if above else frame
    taken = [ends.x] * rows
    words: list[tuple[str, pygame.Rect]] = []
    for event in events:
        x = round(float(upper.x(event.t_s)))
        if x > frame.right:
            continue
        text = SHORT.get(event.word, event.word)
        w = canvas.measure(text)[0]
        left = min(x - canvas.dp(2), ends.right - w)
        row = next((i for i in range(rows) if taken[i] <= left), None)
        start = frame.y
        if row is not None:
            taken[row] = left + w + canvas.dp(14)
            y = frame.y - (row + 1) * h if above else frame.y + row * h
            words.append((text, pygame.Rect(left, y, w, h)))
            start = words[-1][1].bottom
        pygame.draw.line(canvas.surface, canvas.theme["edge"], (x, start), (x, bottom), canvas.dp(2))
    for text, place in words:
        canvas.surface.fill(canvas.theme["sheet" if above else "well"], place)
        canvas.text(text, place)


def _cursor(canvas: Canvas, upper: Axis, lower: Axis | None, t_s: float) -> None:
    x = round(float(upper.x(t_s)))
    bottom = (lower or upper).frame.bottom
    pygame.draw.line(canvas.surface, canvas.theme["accent"], (x, upper.frame.y), (x, bottom), canvas.dp(4))
