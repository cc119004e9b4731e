"""The forms an answer can have in a scenario file."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from glasscan.learning.record_base import Id, Number, Prose, Record, Seconds, Text
from glasscan.learning.run_schema import Column, Event, Fact, Quantity

LAST = "Stays behind the lines that are mixed up, such as 'none of these'"


class Choice(Record):
    """One outcome the learner can choose; the key is the first whose facts all hold."""

    id: Id
    text: Prose
    true_when: tuple[Fact, ...] = ()
    because: Prose = Field(default="", description="Shown with the mark to a learner who chose this")
    last: bool = Field(default=False, description=LAST)


class ChoiceForm(Record):
    """Commit one of the stated outcomes; the last has no facts: it stands for anything else."""

    form: Literal["choice"]
    choices: tuple[Choice, ...] = Field(min_length=2, max_length=8)


class NumberForm(Record):
    """Commit a number, or `never` where the event will not come."""

    form: Literal["number"]
    quantity: Quantity
    unit: Text
    tol_abs: Number = Field(default=0.0, ge=0)
    tol_rel: Number = Field(default=0.1, ge=0, le=0.5)


class StripForm(Record):
    """Commit for each window of time whether the valve is open or shut."""

    form: Literal["valve-strip"]
    edges_s: tuple[Seconds, ...] = Field(min_length=2, max_length=13)
    lift: Column = "lift_mm"
    open_above: Number = Field(
        default=0.01, ge=0, description="Lift from which the valve counts as open, unit of `lift`"
    )


class NumberChoiceForm(Record):
    """Choose the number among three; the two wrong ones are made from slips of procedure."""

    form: Literal["number-choice"]
    quantity: Quantity
    unit: Text
    tol_abs: Number = Field(default=0.0, ge=0)
    tol_rel: Number = Field(default=0.1, ge=0, le=0.5)


class Option(Record):
    """One statement of several; it belongs to the key if all its facts hold."""

    id: Id
    text: Prose
    true_when: tuple[Fact, ...] = Field(min_length=1)
    because: Prose = ""
    last: bool = Field(default=False, description=LAST)
    unsafe: bool = Field(
        default=False, description="Ticked, it makes the whole item 0: it would hurt someone"
    )


class SeveralForm(Record):
    """Tick all statements that are true."""

    form: Literal["several"]
    options: tuple[Option, ...] = Field(min_length=3, max_length=10)
    rule: Literal["plus-minus", "true-false", "true-false-rescaled", "all-or-none"] = "plus-minus"


class Target(Record):
    """A part the learner may have to point at; the key is the first whose facts all hold."""

    part: Id
    true_when: tuple[Fact, ...] = ()
    because: Prose = ""


class Near(Record):
    """A neighbour of the right part: worth half, with its own reason."""

    part: Id
    because: Prose


class PointForm(Record):
    """Point at a part of the section; the last target has no facts: it stands for anything else."""

    form: Literal["point"]
    targets: tuple[Target, ...] = Field(min_length=1, max_length=6)
    near: tuple[Near, ...] = Field(default=(), max_length=8)


class OrderStep(Record):
    """One step; with an event its place is read from the run."""

    id: Id
    text: Prose
    event: Event | None = None
    which: Literal["first", "last"] = "first"
    because: Prose = Field(default="", description="Why it stands where it stands")


class Pair(Record):
    """What must come before what."""

    first: Id
    then: Id
    because: Prose = ""


class OrderForm(Record):
    """Put steps in order: by `before` pairs, by the events of the run, or (with neither) as listed."""

    form: Literal["order"]
    steps: tuple[OrderStep, ...] = Field(min_length=3, max_length=14)
    before: tuple[Pair, ...] = ()
    critical: tuple[Pair, ...] = Field(
        default=(), description="Reversed, they hurt or spoil the work: 0 marks"
    )


CurveFeature = Literal["start", "peak", "slope", "settle"]


class CurveForm(Record):
    """Draw a trace column against time; marked on its features, not on its points."""

    form: Literal["curve"]
    trace: Column
    from_s: Seconds = 0.0
    to_s: Seconds
    bottom: Number = Field(default=0.0, description="Foot of the axis, unit of `trace`")
    top: Number = Field(description="Head of the axis, unit of `trace`")
    features: tuple[CurveFeature, ...] = Field(default=("start", "peak", "slope", "settle"), min_length=1)
    edges_s: tuple[Seconds, ...] = Field(
        default=(), max_length=13, description="Borders of the slope windows"
    )
    tol_value: Number = Field(default=0.12, gt=0, le=0.5, description="Share of the height of the axis")
    tol_time: Number = Field(default=0.08, gt=0, le=0.5, description="Share of the width of the axis")
    level: Number = Field(default=0.04, gt=0, le=0.5, description="A change below this share counts as level")


class EntryNumber(Record):
    """A number of the run that the entry must give, with its unit."""

    quantity: Quantity
    unit: Text
    tol_abs: Number = Field(default=0.0, ge=0)
    tol_rel: Number = Field(default=0.1, ge=0, le=0.5)


class EntryItem(Record):
    """One thing the entry must say: one of some words, a number of the run, or both."""

    id: Id
    text: Prose = Field(description="Name of the item, for the feedback")
    words: tuple[Text, ...] = Field(default=(), description="One of these must stand in the entry")
    number: EntryNumber | None = None
    because: Prose = ""


class Forbidden(Record):
    """Words that must not stand in the entry: a gate."""

    words: tuple[Text, ...] = Field(min_length=1)
    because: Prose


class EntryForm(Record):
    """A short entry in the technical log, compared with a checklist; a person may mark it instead."""

    form: Literal["entry"]
    items: tuple[EntryItem, ...] = Field(min_length=2, max_length=12)
    forbidden: tuple[Forbidden, ...] = ()
    most_letters: int = Field(default=1200, ge=80, le=4000)
    example: Prose = Field(default="", description="A good entry; {item} becomes its number")


FaultCode = Annotated[str, Field(pattern=r"^F\d\d[a-e]?$", examples=["F12"])]


class CaseForm(Record):
    """Find the fault of a rig with tests that cost minutes; readings and key come from the fault data."""

    form: Literal["case"]
    filter_kind: Literal["can", "cartridge", "disc"]
    regulator: Literal["before", "after"] = "after"
    fault: FaultCode = Field(description="What the rig of the case has, from assets/faults")
    severity: float = Field(default=0.6, ge=0, le=1, description="0 = its mildest, 1 = its gravest")
    suspects: tuple[FaultCode, ...] = Field(min_length=2, max_length=8)
    tests: tuple[Id, ...] = Field(min_length=1, max_length=8, description="Words of assets/tests.yaml")


Form = Annotated[
    ChoiceForm
    | NumberForm
    | StripForm
    | NumberChoiceForm
    | SeveralForm
    | PointForm
    | OrderForm
    | CurveForm
    | EntryForm
    | CaseForm,
    Field(discriminator="form"),
]
