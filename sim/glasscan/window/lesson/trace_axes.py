"""Axes of the trace, and its lines as pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.ui.display_units import clock
from glasscan.window.contract import Array
from glasscan.window.cutaway.field_painter import nice_ceiling
from glasscan.window.lesson.trace_log import decimate

# Name, column, colour, dash length in dp (0 = solid), line width in dp.
PRESSURES = (("inlet", "inlet", 0, 3), ("outlet", "outlet", 16, 3), ("dp", "dp", 0, 5))
BUCKETS = 400
HOUR_S = 3600.0
IN_HOURS_S = 36000.0  # a longer axis is marked in hours


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


def time_end(t_s: float) -> float:
    """End of the time axis that holds `t_s`: 10, 20, 30, 60 s and so on, so that it moves seldom.

    From ten hours on it is a round number of hours whose half is one too.
    """
    steps = (10, 20, 30, 60, 120, 180, 300, 600, 900, 1800, 3600, 7200, 14400, 36000)
    return float(next((s for s in steps if s >= t_s), HOUR_S * nice_ceiling(t_s / HOUR_S)))


def time_mark(t_s: float, end_s: float) -> str:
    """A time beside the axis: as on the clock, and in hours where the axis is that long."""
    return f"{t_s / HOUR_S:g} h" if end_s > IN_HOURS_S else clock(t_s).removesuffix(".0")


def oil_axis(lower: Axis) -> Axis:
    """The lower frame read as oil temperature, -40..120 degC."""
    return Axis(lower.frame, lower.t_end_s, -40.0, 120.0)


def placed(axis: Axis, t: Array, y: Array, box: pygame.Rect) -> Array:
    """(n, 2) pixels of a line, counted from the corner of `box`, thinned to what can be seen."""
    t, y = decimate(t, y, BUCKETS)
    rows = np.clip(axis.y(y), axis.frame.top, axis.frame.bottom)
    return np.stack([np.asarray(axis.x(t)) - box.x, rows - box.y], axis=1)


def polyline(
    layer: pygame.Surface, colour: tuple[int, int, int], points: Array, width: int, dash: int
) -> None:
    """Draw a line, whole or in dashes so many pixels long."""
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
