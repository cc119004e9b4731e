"""Readings as a trainee reads them: value, error, dial step in the units chosen, the sound rig beside."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import ceil, floor, log, log10

from glasscan.learning.cases.test_menu import MeasuredReading
from glasscan.ui.display_units import DisplayUnit, UnitSystem
from glasscan.units import UNITS
from glasscan.window.cases.case_wording import spoken

SIGNIFICANT = 3
NARROW = "\u00a0"  # a space at which no line is broken
MOST_DECIMALS = 4
LITRE_ML = 1000.0  # mL/min from which a flow is told in litres


@dataclass(frozen=True)
class Figure:
    """One reading in words.

    Attributes:
        label: what was read.
        value, unit: what was found; unit is empty for yes and no.
        error: how far it may be off.
        sound: the same on the sound rig; empty where it is not told.
        away: distance from the sound rig in reading errors; None for yes and no, and where it is not told.
    """

    label: str
    value: str
    unit: str
    error: str
    sound: str = ""
    away: float | None = None


def figure(
    reading: MeasuredReading, got: float, units: UnitSystem, errors: float, sound: Mapping[str, float] | None
) -> Figure:
    """A reading in the units chosen.

    Args:
        reading: what was read.
        got: its value in the unit of the reading, 1 or 0 for yes and no.
        units: of the reader.
        errors: factor on reading errors, see `glasscan.learning.cases.generate.ERRORS`.
        sound: observables of the sound rig by name, or None where they are not told.
    """
    healthy = None if sound is None else _healthy(reading, sound[reading.what])
    label = spoken(reading.label)
    label = f"{label[:1].upper()}{label[1:]}"
    if reading.scale == "yes-no":
        beside = "" if healthy is None else _yes(healthy)
        wrong = f"wrong {100 * reading.error:g} times in 100"
        return Figure(label, _yes(got), "", wrong, beside)
    unit, turn = unit_of(reading, got, units)
    beside, away = "", None
    if healthy is not None:
        beside = _told(reading, healthy, turn)
        away = (reading.place(got) - reading.place(healthy)) / reading.deviation(errors)
    error = _error(reading, unit, turn, errors)
    return Figure(label, _told(reading, got, turn), unit, error, beside, away)


def unit_of(reading: MeasuredReading, got: float, units: UnitSystem) -> tuple[str, Callable[[float], float]]:
    """Sign of the unit a reading is told in, and how its value turns into it."""
    if reading.unit == "kPa":
        return _into(units.pressure, UNITS["kPa"].scale)
    if reading.unit == "L/min":
        return _into(units.flow, UNITS["L/min"].scale)
    if reading.unit == "mL/min" and got >= LITRE_ML:
        return _into(units.flow, UNITS["L/min"].scale / LITRE_ML)
    return reading.unit.replace("mm2", "mm²"), float


def _into(unit: DisplayUnit, scale: float) -> tuple[str, Callable[[float], float]]:
    return unit.sign, lambda value: unit.shown(value * scale)


def _healthy(reading: MeasuredReading, true: float) -> float:
    return true if reading.scale == "yes-no" else reading.value(reading.place(true))


def _yes(value: float) -> str:
    return "yes" if value > 0.5 else "no"


def _told(reading: MeasuredReading, value: float, turn: Callable[[float], float]) -> str:
    """A value with as many digits as the reading carries; at the end of its scale it says so."""
    at_end = reading.scale == "log" and log(max(value, reading.floor)) <= log(reading.floor) + 1e-9
    step = reading.resolution or (reading.error * abs(value) if reading.scale == "log" else reading.error)
    text = rounded(turn(value), turn(step))
    if reading.is_beyond(value):
        return f"more than {text}"
    return f"at most {rounded(turn(reading.floor), turn(reading.floor))}" if at_end else text


def rounded(value: float, step: float) -> str:
    """A number to the decimals of a step, and to three digits at most; thousands apart, true minus sign."""
    decimals = min(max(ceil(-log10(max(step, 1e-9)) - 1e-9), 0), MOST_DECIMALS)
    if value:
        digits = SIGNIFICANT - 1 - floor(log10(abs(value)))
        value = round(value, digits)
        decimals = min(decimals, max(digits, 0))
    return f"{value:,.{decimals}f}".replace(",", "\u2009").replace("-", "−")


def _error(reading: MeasuredReading, unit: str, turn: Callable[[float], float], errors: float) -> str:
    """Standard error, and the step of the dial where it has one."""
    share = reading.error * errors
    step = _with_unit(turn(reading.resolution) - turn(0.0), unit)
    if reading.scale == "log":
        off = f"±{NARROW}{100 * share:.2g}{NARROW}%"
    else:
        off = f"±{NARROW}{_with_unit(turn(share) - turn(0.0), unit)}"
    return f"{off}, dial step{NARROW}{step}" if reading.resolution else off


def _with_unit(value: float, unit: str) -> str:
    """A value to two digits with its unit, kept in one line."""
    return f"{value:.2g}{NARROW}{unit}".rstrip()
