"""What the colours mean, each with its legend: pressure, speed, unfiltered share, dirt held by the media."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from glasscan.ui.display_units import DisplayUnit, UnitSystem
from glasscan.window.contract import Array, Frame
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.field_painter import nice_ceiling

FAST_PERCENT = 98  # of the moving cells lie on the ramp; the jet's core is off its end
PERCENT = DisplayUnit("%", 0.01)
LEAST_M_S = 0.01
LOAD = DisplayUnit("g/m²", 1.0)


@dataclass(frozen=True)
class Shade:
    """One colouring: title and unit of the legend, ends of the ramp, and the value of each cell.

    `values` is None where the frame's own pressures are shown. `base` is what the dark end stands for in the
    legend: 0 for everything that is measured from the dark end. With `load` the media are coloured, by the
    ramp of the deposit, and the oil is not.
    """

    title: str
    unit: DisplayUnit
    scale: PressureScale
    values: Array | None = None
    base: float = 0.0
    load: bool = False


def shade(
    kind: str,
    frame: Frame,
    scale: PressureScale,
    units: UnitSystem,
    share: Callable[[], Array],
    full_g_m2: float,
) -> Shade:
    """The colouring of a kind for a moment.

    Args:
        kind: one of `glasscan.ui.view_options.COLOURS`.
        frame: fields of the moment.
        scale: that of the pressures.
        units: in which the legend is told.
        share: gives the unfiltered share of every cell, (nz, nr).
        full_g_m2: end of the scale of the load of the media.
    """
    if kind == "speed":
        return _speed(frame)
    if kind == "unfiltered":
        return Shade("% unfiltered", PERCENT, PressureScale(0.0, 1.0), share())
    if kind == "held":
        nothing = np.zeros(np.asarray(frame.region).shape)
        title = "g/m² dirt held"
        return Shade(title, LOAD, PressureScale(0.0, full_g_m2), nothing, load=True)
    return Shade(pressure_words(units), units.pressure, scale)


def pressure_words(units: UnitSystem) -> str:
    """Heading of the legend of pressures."""
    return f"{units.pressure.sign} above outlet pressure"


def _speed(frame: Frame) -> Shade:
    pace = np.hypot(np.asarray(frame.u_r_m_s), np.asarray(frame.u_z_m_s))
    moving = pace[np.isfinite(pace) & (pace > 0)]
    fast = float(np.percentile(moving, FAST_PERCENT)) if moving.size else 0.0
    span = nice_ceiling(max(fast, LEAST_M_S))
    unit = DisplayUnit("m/s", 1.0, decimals=2 if span < 4 else 1)
    return Shade("m/s: speed of the oil", unit, PressureScale(0.0, span), pace)
