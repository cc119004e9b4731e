"""What a prompt looks like in a scenario file; its key is always read from the run."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from glasscan.learning.form_schema import (
    CaseForm,
    Choice,
    ChoiceForm,
    CurveFeature,
    CurveForm,
    EntryForm,
    EntryItem,
    EntryNumber,
    Forbidden,
    Form,
    Near,
    NumberChoiceForm,
    NumberForm,
    Option,
    OrderForm,
    OrderStep,
    Pair,
    PointForm,
    SeveralForm,
    StripForm,
    Target,
)
from glasscan.learning.record_base import Id, LineName, Number, Prose, Record, Text
from glasscan.learning.run_schema import (
    Between,
    Column,
    Compare,
    Event,
    EventTime,
    Fact,
    GivenFact,
    Happens,
    Largest,
    Never,
    Push,
    Quantity,
    Smallest,
    Spell,
    TimeBetween,
    Unfiltered,
    ValueAtEnd,
    ValueAtEvent,
    ValueAtTime,
)


class Asking(Record):
    """What every prompt has."""

    id: Id
    ask: Prose
    why: Prose = Field(default="", description="The lesson of the prompt; ends the reason of every mark")
    codes: tuple[Id, ...] = Field(
        default=(), description="Ids of assets/syllabus.yaml this prompt alone serves"
    )
    sheet: tuple[LineName, ...] = Field(
        default=(), max_length=6, description="Lines of assets/manual laid beside the question, to be read"
    )
    manual: tuple[LineName, ...] = Field(
        default=(), max_length=6, description="Lines of assets/manual the key rests on; shown with the reason"
    )


class Marked(Asking):
    """A prompt that counts."""

    marks: Number = Field(default=1.0, gt=0, le=100)


class Predict(Asking):
    """Commit first, then watch the run: stored unmarked, or for at most a tenth of all marks."""

    kind: Literal["predict-then-watch"]
    answer: Form
    marks: Number = Field(default=0.0, ge=0, le=100)


class DrawCurve(Asking, CurveForm):
    """Draw a curve before the run, then see the run over it: a prediction."""

    kind: Literal["draw-the-curve"]
    form: Literal["curve"] = "curve"
    marks: Number = Field(default=0.0, ge=0, le=100)


class Numeric(Marked):
    """Read or work out a number of the run."""

    kind: Literal["numeric"]
    quantity: Quantity
    unit: Text
    tol_abs: Number = Field(default=0.0, ge=0)
    tol_rel: Number = Field(default=0.05, ge=0, le=0.5)


class NumericChoice(Marked, NumberChoiceForm):
    """Choose a number of the run among three."""

    kind: Literal["numeric-choice"]
    form: Literal["number-choice"] = "number-choice"


class SingleChoice(Marked):
    """Choose the one statement that is true of the run."""

    kind: Literal["single-choice"]
    choices: tuple[Choice, ...] = Field(min_length=2, max_length=8)


class SeveralAnswers(Marked, SeveralForm):
    """Tick all statements that are true of the run."""

    kind: Literal["several-answers"]
    form: Literal["several"] = "several"


class PointAtPart(Marked, PointForm):
    """Point at a part of the section."""

    kind: Literal["point-at-part"]
    form: Literal["point"] = "point"


class OrderSteps(Marked, OrderForm):
    """Put steps in order."""

    kind: Literal["order-the-steps"]
    form: Literal["order"] = "order"


class LogEntry(Marked, EntryForm):
    """Write a short entry in the technical log."""

    kind: Literal["log-entry"]
    form: Literal["entry"] = "entry"


class Diagnose(Marked, CaseForm):
    """Find a fault with tests that cost minutes."""

    kind: Literal["diagnose"]
    form: Literal["case"] = "case"


Prompt = Annotated[
    Predict
    | DrawCurve
    | Numeric
    | NumericChoice
    | SingleChoice
    | SeveralAnswers
    | PointAtPart
    | OrderSteps
    | LogEntry
    | Diagnose,
    Field(discriminator="kind"),
]

PREDICTIONS = (Predict, DrawCurve)
"""Kinds that are answered before the run is shown."""

__all__ = [
    "PREDICTIONS",
    "Between",
    "CaseForm",
    "Choice",
    "ChoiceForm",
    "Column",
    "Compare",
    "CurveFeature",
    "CurveForm",
    "Diagnose",
    "DrawCurve",
    "EntryForm",
    "EntryItem",
    "EntryNumber",
    "Event",
    "EventTime",
    "Fact",
    "Forbidden",
    "Form",
    "GivenFact",
    "Happens",
    "Largest",
    "LogEntry",
    "Near",
    "Never",
    "NumberChoiceForm",
    "NumberForm",
    "Numeric",
    "NumericChoice",
    "Option",
    "OrderForm",
    "OrderStep",
    "OrderSteps",
    "Pair",
    "PointAtPart",
    "PointForm",
    "Predict",
    "Prompt",
    "Push",
    "Quantity",
    "SeveralAnswers",
    "SeveralForm",
    "SingleChoice",
    "Smallest",
    "Spell",
    "StripForm",
    "Target",
    "TimeBetween",
    "Unfiltered",
    "ValueAtEnd",
    "ValueAtEvent",
    "ValueAtTime",
]
