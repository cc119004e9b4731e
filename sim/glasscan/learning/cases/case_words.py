"""What the flight line says, and readings in words; made from the numbers noted, never from the fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import log

from glasscan.faults.steady_state import NEVER_S
from glasscan.laws.cleanliness import ISO4406_SIZES_UM_C, iso4406
from glasscan.learning.cases.likelihood import Result
from glasscan.learning.cases.test_menu import MeasuredReading, menu

ML_L = 1000.0
LEAST_SHOWN = 1e-4
"""A reading below this, in its unit, is told as nought."""
COARSE = ("mg", "1/mL")
"""Units in which a reading is worth two figures: weighed on a patch, counted in a bottle (PRACTICE)."""
DEAD_S = 0.6 * NEVER_S
"""A gauge that takes longer than this is told as one that did not come up."""
PLAIN = 2.5
"""Standard errors from the healthy value at which a pilot remarks on it (invented)."""

_LOW = {
    "gauge_cold_kpa": "oil pressure low after the cold start",
    "gauge_idle_kpa": "oil pressure low at hot idle",
    "gauge_cruise_kpa": "oil pressure low in the cruise",
    "dipstick_l": "little oil on the dipstick after landing",
    "dp_cruise_kpa": "trend sheet of the test stand: differential over the filter lower than ever",
}
_HIGH = {
    "flutter_idle_kpa": "the needle swings at hot idle",
    "dipstick_l": "more oil on the dipstick than was filled",
    "gauge_cold_kpa": "oil pressure very high after the cold start",
    "gauge_idle_kpa": "oil pressure higher than usual at hot idle",
    "gauge_cruise_kpa": "oil pressure high in the cruise",
    "green_overnight_s": "pressure slow to come up at the first start",
    "indicator_hot": "the filter's differential indicator was out after landing",
    "indicator_cold": "the filter's differential indicator was out after the first start",
    "leak_cruise_ml_min": "oil under the filter after landing",
    "dp_cruise_kpa": "trend sheet of the test stand: differential over the filter up",
    "iron_oil_mg_l": "oil report: iron up",
    "soft_oil_mg_l": "oil report: soft metals up",
    "grit_oil_mg_l": "oil report: silicon up",
}
QUIET = "Nothing felt in flight. The inspection sheet calls for a full check of filter, valves and indicator."
POURS = "oil poured from under the filter at the run-up; shut down at once"
"""In place of a rate that no sump survives to a landing."""
NOT_FLOWN = frozenset({"gauge_cruise_kpa", "dipstick_l", "dp_cruise_kpa"})
"""What nobody noted where the engine was shut down at the run-up."""


def complaint_sentence(noted: Result, baseline: Mapping[str, float]) -> str:
    """A flight-line sentence from what was noted."""
    pairs = list(zip(menu().complaint, noted, strict=True))
    poured = any(reading.unit == "mL/min" and reading.is_beyond(got) for reading, got in pairs)
    said = [_remark(r, got, baseline[r.what]) for r, got in pairs if not (poured and r.what in NOT_FLOWN)]
    found = [text for text in said if text]
    if not found:
        return QUIET
    sentence = "; ".join(found)
    return f"{sentence[0].upper()}{sentence[1:]}."


def _remark(reading: MeasuredReading, got: float, healthy: float) -> str:
    if reading.scale == "yes-no":
        return _HIGH[reading.what] if got > 0.5 else ""
    if reading.what == "green_overnight_s" and got >= DEAD_S:
        return "no pressure at the first start"
    if reading.unit == "mL/min" and reading.is_beyond(got):
        return POURS
    away = (reading.place(got) - reading.place(healthy)) / reading.deviation(1.0)
    if away > PLAIN and reading.what in _HIGH:
        return f"{_HIGH[reading.what]} ({shown(reading, got)})"
    if away < -PLAIN and reading.what in _LOW:
        return f"{_LOW[reading.what]} ({shown(reading, got)})"
    return ""


def shown(reading: MeasuredReading, value: float) -> str:
    """A value with its unit."""
    if reading.scale == "yes-no":
        return "yes" if value > 0.5 else "no"
    if reading.what.startswith("green_") and value >= DEAD_S:
        return "none"
    if reading.scale == "log" and log(max(value, reading.floor)) <= log(reading.floor) + 1e-9:
        return f"at most {reading.floor:g} {reading.unit}".rstrip()
    beyond = "more than " if reading.is_beyond(value) else ""
    if reading.unit in COARSE:
        return f"{beyond}{figures(float(f'{value:.2g}'))} {reading.unit}"
    if reading.unit == "mL/min" and value >= ML_L:
        return f"{beyond}{figures(value / ML_L)} L/min"
    return f"{beyond}{figures(value)} {reading.unit}".rstrip()


def figures(value: float) -> str:
    """A number with three digits, thousands apart by a space; never in powers of ten."""
    if abs(value) < 999.5:
        return f"{value:.3g}" if abs(value) >= LEAST_SHOWN else "0"
    return f"{float(f'{value:.3g}'):,.0f}".replace(",", " ")


def healthy_word(reading: MeasuredReading, baseline: Mapping[str, float]) -> str:
    """What the reading is on the sound rig."""
    true = baseline[reading.what]
    return shown(reading, true if reading.scale == "yes-no" else reading.value(reading.place(true)))


def result_lines(
    reads: Sequence[MeasuredReading], result: Result, baseline: Mapping[str, float] | None
) -> list[str]:
    """One line for each reading, with the healthy value beside it where a baseline is given."""
    lines = []
    for reading, got in zip(reads, result, strict=True):
        beside = f" (sound rig: {healthy_word(reading, baseline)})" if baseline else ""
        lines.append(f"{reading.label}: {shown(reading, got)}{beside}")
    return lines + codes(reads, result)


def codes(reads: Sequence[MeasuredReading], result: Result) -> list[str]:
    """ISO 4406 codes of counted samples, where all three sizes were counted."""
    got = dict(zip((reading.what for reading in reads), result, strict=True))
    lines = []
    for side in ("before", "after"):
        counts = [got.get(f"count_{um}_{side}_ml") for um in ISO4406_SIZES_UM_C]
        if None not in counts:
            four, six, fourteen = (float(count or 0.0) for count in counts)
            lines.append(f"ISO 4406 code {side} the filter: {iso4406((four, six, fourteen))}")
    return lines
