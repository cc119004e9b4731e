"""Read or work out a number of the run and type it, with its unit."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from pydantic import Field

from glasscan.content.unit_words import BY_SUFFIX, UnitWord, unit_of_word
from glasscan.learning.marking import Band, Result, Truth, never_result, number_result, quantity_text
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_base import Marked
from glasscan.learning.question import NEVER, Answer, PosedQuestion
from glasscan.learning.question_type import (
    AskedOf,
    QuestionType,
    question_type,
)
from glasscan.learning.record_base import Number
from glasscan.learning.run_quantities import look_alikes, read
from glasscan.learning.run_schema import NumberOfRun
from glasscan.learning.typed_numbers import typed


class NumberForm(NumberOfRun):
    """Commit a number, or `never` where the event will not come."""

    form: Literal["number"]


class Numeric(Marked, NumberForm):
    """Read or work out a number of the run."""

    kind: Literal["numeric"]
    form: Literal["number"] = "number"
    tol_rel: Number = Field(default=0.05, ge=0, le=0.5)


def typed_result(form: NumberForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark a typed number, or `never`.

    Raises:
        Unreadable: the answer is no clear number; ask again.
    """
    if not isinstance(answer, str):
        raise ValueError("expected a typed number")
    said_never = answer.strip().lower() == NEVER
    given = None if said_never else typed(answer)
    reading, unit = read(form.quantity, log), unit_of_word(form.unit)
    truth = None if reading.value is None else _to(reading.unit, unit, reading.value)
    if truth is None or given is None:
        at = None if truth is None else quantity_text(truth, unit)
        return never_result(said_never, reading.missing, at, out_of)
    alike = {n: _to(BY_SUFFIX["kpa"], unit, v) for n, v in look_alikes(form.quantity, log).items()}
    return number_result(given, Truth(truth, unit, Band(form.tol_abs, form.tol_rel), alike), out_of)


def _to(given: UnitWord | None, wanted: UnitWord | None, value: float) -> float:
    return given.to(wanted, value) if given and wanted else value


@question_type
class TypedNumber(QuestionType):
    """A number with its unit, or that it never comes."""

    form = "number"
    schema = NumberForm
    kinds = (Numeric,)
    ruled = 1

    def put(self, form: NumberForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        del of
        unit = unit_of_word(form.unit)
        others = tuple(u.sign for u in BY_SUFFIX.values() if unit and u.kind == unit.kind)
        return replace(shown, unit=unit.sign if unit else "", units=others)

    def mark(self, form: NumberForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return typed_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        del asked
        return "0"

    def differs(self, form: NumberForm, ours: MarkingLog, theirs: MarkingLog) -> str:
        never = [read(form.quantity, log).value is None for log in (ours, theirs)]
        return "kind of answer ('never')" if never[0] != never[1] else ""

    def how(self, asked: PosedQuestion) -> str:
        return f"A number in {asked.unit or 'no unit'}, or another unit after it; or 'never'."

    def read(self, asked: PosedQuestion, line: str) -> str:
        del asked
        if line.lower() == NEVER:
            return NEVER
        typed(line)
        return line
