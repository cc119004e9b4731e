"""Wrong numbers for a choice of three: each is what a known slip of procedure gives, none is random."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from glasscan.content.unit_words import BY_SUFFIX, UnitWord, unit_of_word
from glasscan.learning import run_schema as ask
from glasscan.learning.form_schema import NumberChoiceForm
from glasscan.learning.marking import Band, Result, quantity_text
from glasscan.learning.marking_log import MarkingLog, column, value_at
from glasscan.learning.run_quantities import look_alikes, read

WRONG = 2
"""Wrong numbers beside the key: three options (Part-66 Appendix II, from memory)."""

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

NEVER_TEXT = "It does not happen in this run."


@dataclass(frozen=True)
class SlipChoice:
    """One of the numbers shown.

    Attributes:
        id: "number-1" to "number-3", in rising order of the numbers.
        text: number and unit.
        because: what gives this number.
        right: it is the key.
    """

    id: str
    text: str
    because: str
    right: bool


@dataclass(frozen=True)
class Slip:
    """A wrong number, in the unit asked for, and how one comes to it."""

    name: str
    value: float
    because: str


def lines(form: NumberChoiceForm, log: MarkingLog) -> tuple[SlipChoice, ...]:
    """The key and two slips, rising; where the event never comes, that statement and two readings."""
    reading, unit = read(form.quantity, log), unit_of_word(form.unit)
    if reading.value is None:
        ends = [Slip("edge", v, why) for v, why in _edges(form, log, unit)]
        return _lettered(
            [(quantity_text(s.value, unit), s.because, False) for s in _apart(ends, None, unit)], True
        )
    key = reading.unit.to(unit, reading.value) if reading.unit and unit else reading.value
    wrong = choose(key, Band(form.tol_abs, form.tol_rel), slips(form.quantity, log, key, unit), unit)
    rows = [(s.value, s.because, False) for s in wrong] + [(key, "This is the number of the run.", True)]
    return _lettered([(quantity_text(v, unit), why, right) for v, why, right in sorted(rows)], False)


def choose(key: float, band: Band, candidates: Iterator[Slip], unit: UnitWord | None) -> list[Slip]:
    """The first two slips that cannot be taken for the key or for each other."""
    far = (s for s in candidates if abs(s.value) < 1e9 and band.share(s.value, key) == 0.0)
    return _apart(list(far), (key, band), unit)[:WRONG]


def _apart(found: list[Slip], key: tuple[float, Band] | None, unit: UnitWord | None) -> list[Slip]:
    kept: list[Slip] = []
    texts = {quantity_text(key[0], unit)} if key else set()
    for slip in found:
        text = quantity_text(slip.value, unit)
        close = key is not None and any(key[1].share(slip.value, k.value) > 0 for k in kept)
        if text not in texts and not close:
            kept.append(slip)
            texts.add(text)
    return kept[:WRONG]


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


def _edges(form: NumberChoiceForm, log: MarkingLog, unit: UnitWord | None) -> Iterator[tuple[float, str]]:
    """Numbers for a question whose event never comes: what the run shows at its two ends."""
    name = getattr(form.quantity, "trace", "")
    values = column(log, name) if name else log.times_s
    own = read(form.quantity, log).unit
    for value, when in ((values[-1], "end"), (values[0], "start")):
        told = f"The run shows that at its {when}, but the event did not come then."
        yield (own.to(unit, float(value)) if own and unit else float(value)), told


def _lettered(rows: list[tuple[str, str, bool]], never: bool) -> tuple[SlipChoice, ...]:
    if never:
        rows = [*rows, (NEVER_TEXT, "The event asked about did not come.", True)]
    return tuple(SlipChoice(f"number-{i}", *row) for i, row in enumerate(rows, 1))


def number_choice_result(form: NumberChoiceForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark the number chosen; a slip is named.

    Raises:
        ValueError: the answer is no line of the question.
    """
    shown = lines(form, log)
    chosen = next((line for line in shown if line.id == answer), None)
    if chosen is None:
        raise ValueError(f"expected one of {', '.join(line.id for line in shown)}")
    key = next(line for line in shown if line.right)
    if chosen.right:
        return Result(1.0, out_of, out_of, key.text, f"Right: {key.text.rstrip('.')}.", (key.text,))
    reason = f"Not right: the run gives {key.text.rstrip('.')}. {chosen.because}"
    return Result(0.0, 0.0, out_of, key.text, reason, (), (chosen.text,))
