"""What a prompt looks like in a scenario file: every type of question; keys are read off the run."""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import Field

from glasscan.learning.prompt_base import Asking
from glasscan.learning.question_type import load_types
from glasscan.learning.question_types.choice import Choice, ChoiceForm, SingleChoice
from glasscan.learning.question_types.curve import CurveFeature, CurveForm, DrawCurve
from glasscan.learning.question_types.diagnose import CaseForm, Diagnose
from glasscan.learning.question_types.log_entry import EntryForm, EntryItem, EntryNumber, Forbidden, LogEntry
from glasscan.learning.question_types.number import NumberForm, Numeric
from glasscan.learning.question_types.number_choice import NumberChoiceForm, NumericChoice
from glasscan.learning.question_types.order import OrderForm, OrderStep, OrderSteps, Pair
from glasscan.learning.question_types.point import Near, PointAtPart, PointForm, Target
from glasscan.learning.question_types.several import Option, SeveralAnswers, SeveralForm
from glasscan.learning.question_types.valve_strip import StripForm
from glasscan.learning.record_base import Number
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
    NumberOfRun,
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

_TYPES = load_types().values()
if TYPE_CHECKING:
    Form = Any
else:
    Form = Annotated[reduce(or_, [t.schema for t in _TYPES]), Field(discriminator="form")]
    """One of the registered forms of answer."""


class Predict(Asking):
    """Commit first, then watch the run: stored unmarked, or for at most a tenth of all marks."""

    kind: Literal["predict-then-watch"]
    answer: Form
    marks: Number = Field(default=0.0, ge=0, le=100)


if TYPE_CHECKING:
    Prompt = Any
else:
    _KINDS = [kind for t in _TYPES for kind in t.kinds]
    Prompt = Annotated[reduce(or_, [Predict, *_KINDS]), Field(discriminator="kind")]

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
    "NumberOfRun",
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
