"""What a prompt looks like in a scenario file; its key is always read from the run."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from sim.lessons.base import Id, Number, Part, Prose, Seconds, Text, Word

Event = Annotated[Word, Field(description="Event of the run, e.g. bypass-cracks")]
Column = Annotated[
    str,
    Field(pattern=r"^[a-z][a-z0-9_]{0,39}$", examples=["dp_kpa"], description="Trace column with its unit"),
]


class EventTime(Part):
    """Time of an event, s."""

    of: Literal["event-time"]
    event: Event
    which: Literal["first", "last"] = "first"


class ValueAtEvent(Part):
    """A trace column at an event."""

    of: Literal["value-at-event"]
    trace: Column
    event: Event
    which: Literal["first", "last"] = "first"


class ValueAtTime(Part):
    """A trace column at a moment."""

    of: Literal["value-at-time"]
    trace: Column
    at_s: Seconds


class ValueAtEnd(Part):
    """A trace column at the end of the run."""

    of: Literal["value-at-end"]
    trace: Column


class Largest(Part):
    """Largest value of a trace column in a window of time."""

    of: Literal["largest"]
    trace: Column
    from_s: Seconds = 0.0
    to_s: Seconds | None = None


class Smallest(Part):
    """Smallest value of a trace column in a window of time."""

    of: Literal["smallest"]
    trace: Column
    from_s: Seconds = 0.0
    to_s: Seconds | None = None


class Unfiltered(Part):
    """Oil that went through the bypass valve in the whole run, L."""

    of: Literal["unfiltered"]


class TimeBetween(Part):
    """Time from one event to the first later one of another kind, s."""

    of: Literal["time-between"]
    event: Event
    until: Event


Quantity = Annotated[
    EventTime | ValueAtEvent | ValueAtTime | ValueAtEnd | Largest | Smallest | Unfiltered | TimeBetween,
    Field(discriminator="of"),
]


class Spell(Part):
    """A window of time, in seconds or from the first time another event comes (without it: never)."""

    event: Event
    from_s: Seconds = 0.0
    to_s: Seconds | None = None
    after: Event | None = None


class Happens(Spell):
    """True if the event occurs in the window of time."""

    fact: Literal["happens"]


class Never(Spell):
    """True if the event does not occur in the window of time."""

    fact: Literal["never"]


class Between(Part):
    """True if a quantity of the run lies in a range."""

    fact: Literal["between"]
    quantity: Quantity
    at_least: Number | None = None
    at_most: Number | None = None


Fact = Annotated[Happens | Never | Between, Field(discriminator="fact")]


class Choice(Part):
    """One outcome the learner can choose; the key is the first whose facts all hold."""

    id: Id
    text: Prose
    true_when: tuple[Fact, ...] = ()
    because: Prose = Field(default="", description="Shown with the mark to a learner who chose this")


class ChoiceForm(Part):
    """Commit one of the stated outcomes; the last has no facts: it stands for anything else."""

    form: Literal["choice"]
    choices: tuple[Choice, ...] = Field(min_length=2, max_length=8)


class NumberForm(Part):
    """Commit a number, or `never` where the event will not come."""

    form: Literal["number"]
    quantity: Quantity
    unit: Text
    tol_abs: Number = Field(default=0.0, ge=0)
    tol_rel: Number = Field(default=0.1, ge=0, le=0.5)


class StripForm(Part):
    """Commit for each window of time whether the valve is open or shut."""

    form: Literal["valve-strip"]
    edges_s: tuple[Seconds, ...] = Field(min_length=2, max_length=13)
    lift: Column = "lift_mm"
    open_above: Number = Field(
        default=0.01, ge=0, description="Lift from which the valve counts as open, unit of `lift`"
    )


Form = Annotated[ChoiceForm | NumberForm | StripForm, Field(discriminator="form")]


class Predict(Part):
    """Commit first, then watch the run: stored unmarked, or for at most a tenth of all marks."""

    kind: Literal["predict-then-watch"]
    id: Id
    ask: Prose
    answer: Form
    marks: Number = Field(default=0.0, ge=0, le=100)
    why: Prose = ""


class Numeric(Part):
    """Read or work out a number of the run."""

    kind: Literal["numeric"]
    id: Id
    ask: Prose
    quantity: Quantity
    unit: Text
    tol_abs: Number = Field(default=0.0, ge=0)
    tol_rel: Number = Field(default=0.05, ge=0, le=0.5)
    marks: Number = Field(default=1.0, gt=0, le=100)
    why: Prose = ""


class SingleChoice(Part):
    """Choose the one statement that is true of the run."""

    kind: Literal["single-choice"]
    id: Id
    ask: Prose
    choices: tuple[Choice, ...] = Field(min_length=2, max_length=8)
    marks: Number = Field(default=1.0, gt=0, le=100)
    why: Prose = ""


Prompt = Annotated[Predict | Numeric | SingleChoice, Field(discriminator="kind")]
