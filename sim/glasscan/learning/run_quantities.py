"""Numbers read from a run: the keys of numeric prompts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import singledispatch
from typing import TYPE_CHECKING

from glasscan.content.unit_words import BY_SUFFIX, UnitWord, unit_of_key
from glasscan.learning import run_schema as ask
from glasscan.learning.marking_log import MarkingLog, column, events_of, value_at

if TYPE_CHECKING:
    import numpy as np

    from glasscan.learning.marking_log import Floats
    from glasscan.rig.records import Event

ATMOSPHERE_KPA = 101.325
"""Standard atmosphere, kPa (ISO 2533, exact)."""


@dataclass(frozen=True)
class RunReading:
    """A number read from a run.

    Attributes:
        value: in `unit`; None where the event it hangs on never came.
        unit: its unit, or None for a bare number.
        at_s: the moment it belongs to, s, or None.
        missing: the event that never came, or "".
    """

    value: float | None
    unit: UnitWord | None
    at_s: float | None = None
    missing: str = ""


def unit_of(quantity: ask.Quantity) -> UnitWord | None:
    """Unit in which a quantity is read, or None for a bare number."""
    if isinstance(quantity, ask.Unfiltered):
        return BY_SUFFIX["l"]
    if isinstance(quantity, ask.Push):
        return BY_SUFFIX["n"]
    if isinstance(quantity, (ask.EventTime, ask.TimeBetween)):
        return BY_SUFFIX["s"]
    return unit_of_key(quantity.trace)


@singledispatch
def read(quantity: object, log: MarkingLog) -> RunReading:  # noqa: ARG001 - the signature of all its cases
    """Read one quantity of a run.

    Raises:
        TypeError: not a quantity of the schema.
        KeyError: the run keeps no such column.
    """
    raise TypeError(f"not a quantity: {quantity!r}")


@read.register
def _(quantity: ask.EventTime, log: MarkingLog) -> RunReading:
    event = _event(log, quantity.event, quantity.which)
    unit = BY_SUFFIX["s"]
    return RunReading(event.t_s, unit, event.t_s) if event else RunReading(None, unit, missing=quantity.event)


@read.register
def _(quantity: ask.ValueAtEvent, log: MarkingLog) -> RunReading:
    event = _event(log, quantity.event, quantity.which)
    unit = unit_of_key(quantity.trace)
    if event is None:
        return RunReading(None, unit, missing=quantity.event)
    return RunReading(_at_event(log, quantity.trace, event), unit, event.t_s)


@read.register
def _(quantity: ask.ValueAtTime, log: MarkingLog) -> RunReading:
    value = value_at(log, quantity.trace, quantity.at_s)
    return RunReading(value, unit_of_key(quantity.trace), quantity.at_s)


@read.register
def _(quantity: ask.ValueAtEnd, log: MarkingLog) -> RunReading:
    value = float(column(log, quantity.trace)[-1])
    return RunReading(value, unit_of_key(quantity.trace), float(log.times_s[-1]))


@read.register
def _(quantity: ask.Largest, log: MarkingLog) -> RunReading:
    import numpy as np

    return _extreme(quantity, log, np.argmax)


@read.register
def _(quantity: ask.Smallest, log: MarkingLog) -> RunReading:
    import numpy as np

    return _extreme(quantity, log, np.argmin)


@read.register
def _(quantity: ask.Unfiltered, log: MarkingLog) -> RunReading:  # noqa: ARG001 - the type alone says what is asked
    litre = BY_SUFFIX["l"]
    return RunReading(BY_SUFFIX["m3"].to(litre, log.unfiltered_m3), litre)


@read.register
def _(quantity: ask.TimeBetween, log: MarkingLog) -> RunReading:
    first = _event(log, quantity.event, "first")
    later = events_of(log, quantity.until, first.t_s) if first else []
    if first is None or not later:
        return RunReading(None, BY_SUFFIX["s"], missing=quantity.until if first else quantity.event)
    return RunReading(later[0].t_s - first.t_s, BY_SUFFIX["s"], later[0].t_s)


@read.register
def _(quantity: ask.Push, log: MarkingLog) -> RunReading:
    import numpy as np

    pressure = read(quantity.pressure, log)
    if pressure.value is None or pressure.unit is None:
        return RunReading(None, BY_SUFFIX["n"], pressure.at_s, pressure.missing)
    bore_m = BY_SUFFIX["mm"].to(BY_SUFFIX["m"], quantity.bore_mm)
    pa = pressure.unit.to(BY_SUFFIX["pa"], pressure.value)
    return RunReading(pa * np.pi * bore_m**2 / 4.0, BY_SUFFIX["n"], pressure.at_s)


def _event(log: MarkingLog, word: str, which: str) -> Event | None:
    found = events_of(log, word)
    return (found[0] if which == "first" else found[-1]) if found else None


def _at_event(log: MarkingLog, name: str, event: Event) -> float:
    """The event's own values where it carries them (they are exact), else the trace."""
    if name == "dp_kpa":
        return BY_SUFFIX["pa"].to(BY_SUFFIX["kpa"], event.dp_pa)
    return value_at(log, name, event.t_s)


def _extreme(
    quantity: ask.Largest | ask.Smallest, log: MarkingLog, pick: Callable[[Floats], np.intp]
) -> RunReading:
    import numpy as np

    values, times = column(log, quantity.trace), log.times_s
    end = np.inf if quantity.to_s is None else quantity.to_s
    inside = np.flatnonzero((times >= quantity.from_s) & (times <= end))
    unit = unit_of_key(quantity.trace)
    if not len(inside):
        return RunReading(None, unit, missing="any sample in that window of time")
    best = inside[pick(values[inside])]
    return RunReading(float(values[best]), unit, float(times[best]))


def look_alikes(quantity: object, log: MarkingLog) -> dict[str, float]:
    """Other pressures a learner may read instead of the one asked, kPa, by name; {} for other quantities."""
    name, reading = getattr(quantity, "trace", ""), read(quantity, log)
    if (
        reading.unit is None
        or reading.unit.kind != "pressure"
        or reading.at_s is None
        or reading.value is None
    ):
        return {}
    kpa = reading.unit.to(BY_SUFFIX["kpa"], reading.value)
    if not name.startswith("dp_"):
        return {"absolute for gauge": kpa + ATMOSPHERE_KPA}
    alike: dict[str, float] = {"absolute for differential": kpa + ATMOSPHERE_KPA}
    for label, other in (("inlet", "inlet_kpa"), ("outlet", "outlet_kpa")):
        try:
            alike[f"gauge ({label}) for differential"] = value_at(log, other, reading.at_s)
        except KeyError:
            continue
    return alike
