"""Choose the one statement that is true of the run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.learning.ask_wording import fill
from glasscan.learning.facts import all_hold, from_trade
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_base import LAST, Marked
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import (
    AskedOf,
    QuestionType,
    ids_once,
    question_type,
    with_choices,
)
from glasscan.learning.record_base import Id, Prose, Record
from glasscan.learning.run_schema import Fact


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


class SingleChoice(Marked, ChoiceForm):
    """Choose the one statement that is true of the run."""

    kind: Literal["single-choice"]
    form: Literal["choice"] = "choice"


def true_choice(choices: tuple[Choice, ...], log: MarkingLog) -> Choice:
    """The choice that the run bears out: the first whose facts hold, else the last."""
    return next((c for c in choices[:-1] if all_hold(c.true_when, log)), choices[-1])


def choice_result(form: ChoiceForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark one choice.

    Raises:
        ValueError: there is no such choice.
    """
    chosen = next((c for c in form.choices if c.id == answer), None)
    if chosen is None:
        raise ValueError(f"expected one of {', '.join(c.id for c in form.choices)}")
    key = true_choice(form.choices, log)
    if chosen is key:
        return Result(1.0, out_of, out_of, key.text, f"Right. {key.because}".strip(), (key.text,))
    facts = [fact for choice in form.choices for fact in choice.true_when]
    head = "Not right. The answer is:" if from_trade(facts) else "The run shows something else:"
    reason = f"{head} {key.text} {chosen.because}".strip()
    return Result(0.0, 0.0, out_of, key.text, reason, (), (chosen.text,))


def _choices_fit(form: ChoiceForm, here: Path) -> Iterator[Finding]:
    choices = form.choices
    for i, choice in enumerate(choices[:-1]):
        if not choice.true_when:
            yield (*here, "choices", i), "missing key true_when: only the last choice goes without", None
    if choices[-1].true_when:
        path = (*here, "choices", len(choices) - 1, "true_when")
        yield path, "the last choice stands for anything else: expected no true_when", None
    yield from ids_once([c.id for c in choices], (*here, "choices"))


@question_type
class OneChoice(QuestionType):
    """One statement among several."""

    form = "choice"
    schema = ChoiceForm
    kinds = (SingleChoice,)
    one_line = True

    def check(self, form: ChoiceForm, here: Path) -> Iterator[Finding]:
        yield from _choices_fit(form, here)

    def put(self, form: ChoiceForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        return with_choices(shown, form.choices, of.scenario, fill)

    def mark(self, form: ChoiceForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return choice_result(form, answer, log, out_of)

    def differs(self, form: ChoiceForm, ours: MarkingLog, theirs: MarkingLog) -> str:
        same = true_choice(form.choices, ours).id == true_choice(form.choices, theirs).id
        return "" if same else "right choice"

    def how(self, asked: PosedQuestion) -> str:
        del asked
        return "One letter."
