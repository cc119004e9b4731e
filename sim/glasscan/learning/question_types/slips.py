"""Wrong numbers: each is what a known slip of procedure gives, none is random."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from glasscan.content.unit_words import BY_SUFFIX, UnitWord
from glasscan.learning import run_schema as ask
from glasscan.learning.marking_log import MarkingLog, column, value_at
from glasscan.learning.run_quantities import look_alikes, read

USED = {
    "pressure": ("psi", "kpa", "bar"),
    "temperature": ("c", "f"),
    "flow": ("lpm", "gpm"),
    "volume": ("l", "usgal"),
    "time": ("s", "min"),
    "length": ("mm", "in"),
    "mass": ("g", "mg"),
}
"""Units a trainee meets on one gauge and mistakes for another, by kind (common practice, no source)."""

SIGNED = ("pressure", "temperature")
"""Kinds whose sign a trainee may turn round: a difference taken the wrong way, a temperature below zero."""

TENFOLD = 10.0
"""A point set one place too far."""


@dataclass(frozen=True)
class Slip:
    """A wrong number, in the unit asked for, and how one comes to it."""

    name: str
    value: float
    because: str


def slips(quantity: ask.Quantity, log: MarkingLog, key: float, unit: UnitWord | None) -> Iterator[Slip]:
    """Every slip that leads to another number, the likely ones first, in the unit asked for."""
    gauges = sorted(_other_gauge(quantity, log, unit), key=lambda s: not s.name.startswith("gauge"))
    yield from gauges[:1]
    yield from _unit_slips(key, unit)
    yield from gauges[1:]
    yield from _other_moment(quantity, log, unit)
    yield from _ratio(quantity, log)
    if isinstance(quantity, ask.Push):
        yield Slip("radius", key * 4.0, "The diameter of the seat was used as its radius.")
        yield Slip("no pi", key / math.pi, "The area of the seat was taken without the number pi.")
    if key != 0.0:
        if unit is not None and unit.kind in SIGNED:
            yield Slip("sign", -key, "The sign is turned round.")
        yield Slip("half", key / 2.0, "Half of it: one of two equal parts was counted.")
        yield Slip("double", key * 2.0, "Twice as much: the same was counted two times.")
        place = "The point stands one place too far to the"
        yield Slip("tenth", key / TENFOLD, f"{place} left.")
        yield Slip("tenfold", key * TENFOLD, f"{place} right.")


def _other_gauge(quantity: ask.Quantity, log: MarkingLog, unit: UnitWord | None) -> Iterator[Slip]:
    for name, kpa in look_alikes(quantity, log).items():
        wrong, _, right = name.partition(" for ")
        value = BY_SUFFIX["kpa"].to(unit, kpa) if unit else kpa
        yield Slip(name, value, f"That is the {wrong} pressure; the {right} pressure was asked.")


def _unit_slips(key: float, unit: UnitWord | None) -> Iterator[Slip]:
    if unit is None:
        return
    for suffix in USED.get(unit.kind, ()):
        other = BY_SUFFIX[suffix]
        if other != unit:
            yield Slip(
                "unit", unit.to(other, key), f"That number is in {other.sign}, written as {unit.sign}."
            )
            turned = f"The change from {other.sign} to {unit.sign} was made a second time."
            yield Slip("twice", other.to(unit, key), turned)


def _other_moment(quantity: ask.Quantity, log: MarkingLog, unit: UnitWord | None) -> Iterator[Slip]:
    """The same column at another moment, or the time of one event for the time between two."""
    if isinstance(quantity, ask.TimeBetween):
        later = read(ask.EventTime(of="event-time", event=quantity.until), log).value
        if later is not None:
            value = BY_SUFFIX["s"].to(unit, later) if unit else later
            yield Slip(
                "clock", value, f"That is the time of {quantity.until} itself; the time between was asked."
            )
    name = getattr(quantity, "trace", "")
    if not name:
        return
    own = read(quantity, log).unit
    for value, when in _moments(name, log):
        asked = own.to(unit, value) if own and unit else value
        yield Slip("moment", asked, f"That is the value {when}; another moment was asked.")


def _moments(name: str, log: MarkingLog) -> Iterator[tuple[float, str]]:
    values = column(log, name)
    yield float(values.max()), "at its highest"
    yield float(values[-1]), "at the end of the run"
    yield float(values[0]), "at the start of the run"
    yield float(values.min()), "at its lowest"


def _ratio(quantity: ask.Quantity, log: MarkingLog) -> Iterator[Slip]:
    """Inlet over outlet instead of inlet minus outlet."""
    reading = read(quantity, log)
    if not getattr(quantity, "trace", "").startswith("dp_") or reading.at_s is None:
        return
    try:
        above, below = (value_at(log, name, reading.at_s) for name in ("inlet_kpa", "outlet_kpa"))
    except KeyError:
        return
    if below > 0.0:
        yield Slip("ratio", above / below, "Inlet was divided by outlet; the difference was asked.")
