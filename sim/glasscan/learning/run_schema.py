"""Numbers and facts of a run as a scenario file names them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from glasscan.learning.record_base import Number, Record, Seconds, Text, Word

Event = Annotated[Word, Field(description="Event of the run, e.g. bypass-cracks")]
Column = Annotated[
    str,
    Field(pattern=r"^[a-z][a-z0-9_]{0,39}$", examples=["dp_kpa"], description="Trace column with its unit"),
]


class EventTime(Record):
    """Time of an event, s."""

    of: Literal["event-time"]
    event: Event
    which: Literal["first", "last"] = "first"


class ValueAtEvent(Record):
    """A trace column at an event."""

    of: Literal["value-at-event"]
    trace: Column
    event: Event
    which: Literal["first", "last"] = "first"


class ValueAtTime(Record):
    """A trace column at a moment."""

    of: Literal["value-at-time"]
    trace: Column
    at_s: Seconds


class ValueAtEnd(Record):
    """A trace column at the end of the run."""

    of: Literal["value-at-end"]
    trace: Column


class Largest(Record):
    """Largest value of a trace column in a window of time."""

    of: Literal["largest"]
    trace: Column
    from_s: Seconds = 0.0
    to_s: Seconds | None = None


class Smallest(Record):
    """Smallest value of a trace column in a window of time."""

    of: Literal["smallest"]
    trace: Column
    from_s: Seconds = 0.0
    to_s: Seconds | None = None


class Unfiltered(Record):
    """Oil that went through the bypass valve in the whole run, L."""

    of: Literal["unfiltered"]


class TimeBetween(Record):
    """Time from one event to the first later one of another kind, s."""

    of: Literal["time-between"]
    event: Event
    until: Event


class Push(Record):
    """Force of a pressure on a round seat, N: the pressure of the run times the area of the bore."""

    of: Literal["push"]
    bore_mm: float = Field(gt=0, le=200)
    pressure: Annotated[ValueAtEvent | ValueAtTime | ValueAtEnd | Largest, Field(discriminator="of")]


Quantity = Annotated[
    EventTime
    | ValueAtEvent
    | ValueAtTime
    | ValueAtEnd
    | Largest
    | Smallest
    | Unfiltered
    | TimeBetween
    | Push,
    Field(discriminator="of"),
]


class Spell(Record):
    """A window of time, in seconds or from the first time another event comes (without it: never)."""

    event: Event
    from_s: Seconds = 0.0
    to_s: Seconds | None = None
    after: Event | None = None


class NumberOfRun(Record):
    """A number of the run with the unit it is asked in; full marks within max(tol_abs, tol_rel of it)."""

    quantity: Quantity
    unit: Text
    tol_abs: Number = Field(default=0.0, ge=0)
    tol_rel: Number = Field(default=0.1, ge=0, le=0.5)


class Happens(Spell):
    """True if the event occurs in the window of time."""

    fact: Literal["happens"]


class Never(Spell):
    """True if the event does not occur in the window of time."""

    fact: Literal["never"]


class Between(Record):
    """True if a quantity of the run lies in a range."""

    fact: Literal["between"]
    quantity: Quantity
    at_least: Number | None = None
    at_most: Number | None = None


class Compare(Record):
    """True if one quantity of the run is above (or below) another one, by more than a margin."""

    fact: Literal["compare"]
    quantity: Quantity
    side: Literal["above", "below"]
    than: Quantity
    by: Number = Field(default=0.0, ge=0, description="Margin, in the unit of `quantity`")
    times: Number = Field(default=1.0, gt=0, description="`than` is multiplied by this first")


class GivenFact(Record):
    """True or false by the trade, not by the run; for what no run can show."""

    fact: Literal["given"]
    holds: bool
    source: Text = Field(description="Public document, or 'common practice, no source'")


Fact = Annotated[Happens | Never | Between | Compare | GivenFact, Field(discriminator="fact")]
