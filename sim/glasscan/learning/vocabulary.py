"""Words that scenario files may use for events and trace columns; a test holds them to the plant's own."""

from __future__ import annotations

from glasscan.content.unit_words import BY_SUFFIX, unit_of_word

EVENTS = (
    "bypass-cracks",
    "bypass-full",
    "bypass-seats",
    "gallery-full",
    "pressure-green",
    "indicator-pops",
    "indicator-reset",
    "scraper-turned",
    "bowl-drained",
    "dirt-added",
    "element-collapses",
    "element-tears",
    "fault-begins",
    "fault-grown",
)

TRACE = {
    "rpm": "rev/min",
    "air": "degC",
    "sump_oil": "degC",
    "filter_oil": "degC",
    "gallery_oil": "degC",
    "viscosity": "mm2/s",
    "inlet": "kPa",
    "outlet": "kPa",
    "dp": "kPa",
    "gauge": "kPa",
    "pump_flow": "L/min",
    "element_flow": "L/min",
    "bypass_flow": "L/min",
    "regulator_flow": "L/min",
    "bearing_flow": "L/min",
    "lift": "mm",
    "gallery_fill": "1",
    "unfiltered": "L",
    "deposit": "mg",
    "suspended": "mg",
    "sludge": "mg",
    "indicator": "1",
    "leaked": "L",
}
"""Columns of the trace and their units."""


def columns() -> tuple[str, ...]:
    """Columns as a scenario names them, with the unit at the end: `dp_kpa`, `lift_mm`, `gallery_fill`."""
    return tuple(_with_unit(name, unit) for name, unit in TRACE.items())


def has_column(name: str) -> bool:
    """Whether the trace answers for a column, in its own unit or another one of the same kind."""
    own = {stem: unit for stem, word in TRACE.items() if (unit := unit_of_word(word))}
    other = {f"{stem}_{s}" for stem, unit in own.items() for s, u in BY_SUFFIX.items() if u.kind == unit.kind}
    return name in TRACE or name in other


def _with_unit(name: str, word: str) -> str:
    suffix = next((s for s, u in BY_SUFFIX.items() if u == unit_of_word(word)), None)
    return name if suffix is None or name == suffix else f"{name}_{suffix}"
