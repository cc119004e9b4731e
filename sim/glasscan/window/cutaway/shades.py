"""What the colours of the oil mean, each with its legend: pressure, speed, dirt, temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glasscan.rig.records import Snapshot
from glasscan.ui.display_units import DisplayUnit, UnitSystem
from glasscan.window.contract import CLEAN, Array, Frame
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.field_painter import nice_ceiling

FAST_PERCENT = 98  # of the moving cells lie on the ramp; the jet's core is off its end
FLOWING_M3S = 1e-6
PERCENT = DisplayUnit("%", 0.01)
LEAST_M_S = 0.01
COLD_C, HOT_C = -40.0, 120.0  # ends of the ramp: colder or hotter oil has the colour of the end


@dataclass(frozen=True)
class Shade:
    """One colouring: title and unit of the legend, ends of the ramp, and the value of each cell.

    `values` is None where the frame's own pressures are shown. `base` is what the dark end stands for in the
    legend: 0 for everything that is measured from the dark end.
    """

    title: str
    unit: DisplayUnit
    scale: PressureScale
    values: Array | None = None
    base: float = 0.0


def shade(kind: str, frame: Frame, s: Snapshot, scale: PressureScale, units: UnitSystem) -> Shade:
    """The colouring of a kind for a moment; `scale` is that of the pressures."""
    if kind == "speed":
        return _speed(frame)
    if kind == "dirt":
        return _dirt(frame, s)
    if kind == "temperature":
        return _temperature(frame, s, units)
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


def _dirt(frame: Frame, s: Snapshot) -> Shade:
    """Dirty side, medium and valve: not filtered; clean side: the share that came past the element."""
    through = s.element_m3s + s.bypass_m3s
    share = s.bypass_m3s / through if through > FLOWING_M3S else 0.0
    values = np.where(np.asarray(frame.region) == CLEAN, share, 1.0)
    return Shade("% of the oil not filtered", PERCENT, PressureScale(0.0, 1.0), values)


def _temperature(frame: Frame, s: Snapshot, units: UnitSystem) -> Shade:
    """The model keeps one temperature for all oil in the filter, so all of it has one colour."""
    values = np.full(np.asarray(frame.region).shape, s.filter_c)
    title = f"{units.temperature.sign}: all oil in it alike"
    return Shade(title, units.temperature, PressureScale(COLD_C, HOT_C - COLD_C), values, COLD_C)
