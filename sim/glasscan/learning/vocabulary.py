"""Words that scenario files may use for events and trace columns, from the table of signals."""

from __future__ import annotations

from glasscan import signals
from glasscan.content.unit_words import BY_SUFFIX, unit_of_word

EVENTS = tuple(event.key for event in signals.EVENTS)
TRACE = {signal.key: signal.unit for signal in signals.SIGNALS}
"""Columns of the trace and their units."""


def columns() -> tuple[str, ...]:
    """Columns as a scenario names them, with the unit at the end: `dp_kpa`, `lift_mm`, `gallery_fill`."""
    return tuple(_with_unit(name, unit) for name, unit in TRACE.items())


def all_columns() -> tuple[str, ...]:
    """Every way to name a column: in its own unit and in the others of its kind."""
    own = {stem: unit for stem, word in TRACE.items() if (unit := unit_of_word(word))}
    other = (f"{stem}_{s}" for stem, unit in own.items() for s, u in BY_SUFFIX.items() if u.kind == unit.kind)
    return tuple(dict.fromkeys((*columns(), *TRACE, *other)))


def has_column(name: str) -> bool:
    """Whether the trace answers for a column, in its own unit or another one of the same kind."""
    own = {stem: unit for stem, word in TRACE.items() if (unit := unit_of_word(word))}
    other = {f"{stem}_{s}" for stem, unit in own.items() for s, u in BY_SUFFIX.items() if u.kind == unit.kind}
    return name in TRACE or name in other


def _with_unit(name: str, word: str) -> str:
    suffix = next((s for s, u in BY_SUFFIX.items() if u == unit_of_word(word)), None)
    return name if suffix is None or name == suffix else f"{name}_{suffix}"
