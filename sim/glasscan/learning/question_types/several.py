"""Tick all that is true: partial credit by the rules of several answers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.learning.answer_text import as_ids
from glasscan.learning.ask_wording import fill
from glasscan.learning.facts import all_hold
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_base import LAST, Marked
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import (
    NONE,
    AskedOf,
    QuestionType,
    ids_once,
    question_type,
    with_choices,
)
from glasscan.learning.record_base import Id, Prose, Record
from glasscan.learning.run_schema import Fact
from glasscan.learning.scoring.several import several


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


class SeveralAnswers(Marked, SeveralForm):
    """Tick all statements that are true of the run."""

    kind: Literal["several-answers"]
    form: Literal["several"] = "several"


NONE_TRUE = "none of them"


def keys(form: SeveralForm, log: MarkingLog) -> tuple[str, ...]:
    """Ids of the options that are true of a run; none may be."""
    return tuple(option.id for option in form.options if all_hold(option.true_when, log))


def several_result(form: SeveralForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark the ticks; each wrong tick and each missed key is told with its reason.

    Raises:
        ValueError: the answer names an option that is not shown.
    """
    ticked, shown = as_ids(answer), {option.id: option for option in form.options}
    strange = [name for name in ticked if name not in shown]
    if strange:
        raise ValueError(f"expected some of {', '.join(shown)}, found '{strange[0]}'")
    true = keys(form, log)
    unsafe = [o.id for o in form.options if o.unsafe]
    share, gates = _credit(form, ticked, true, unsafe)
    key = "; ".join(shown[name].text for name in true) or NONE_TRUE
    wrong = [o for o in form.options if (o.id in ticked) != (o.id in true)]
    reason = " ".join([_head(share), *(_told(o, o.id in true) for o in wrong)])
    rights = tuple(shown[name].text for name in true if name in ticked)
    return Result(
        share, share * out_of, out_of, key, reason, rights, tuple(o.text for o in wrong), gates=gates
    )


def _credit(
    form: SeveralForm, ticked: tuple[str, ...], true: tuple[str, ...], unsafe: list[str]
) -> tuple[float, tuple[str, ...]]:
    """Share and gates; where nothing is true, leaving all empty is the one right answer."""
    shown = [o.id for o in form.options]
    if true:
        credit = several(ticked, true, shown, unsafe=unsafe, rule=form.rule)
        return credit.share, credit.gates
    return float(not ticked), tuple(name for name in ticked if name in unsafe)


def _head(share: float) -> str:
    return "Right." if share == 1.0 else "Partly right." if share > 0.0 else "Not right."


def _told(option: Option, true: bool) -> str:
    verdict = "is true, and was not ticked" if true else "is not true"
    danger = (
        " It would hurt someone, so the whole answer earns nothing." if option.unsafe and not true else ""
    )
    return f"“{option.text.rstrip('.')}” {verdict}. {option.because}{danger}".strip()


@question_type
class Several(QuestionType):
    """Statements of which more than one may be true."""

    form = "several"
    schema = SeveralForm
    kinds = (SeveralAnswers,)
    several_lines = True

    def check(self, form: SeveralForm, here: Path) -> Iterator[Finding]:
        yield from ids_once([o.id for o in form.options], (*here, "options"))

    def put(self, form: SeveralForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        return with_choices(shown, form.options, of.scenario, fill)

    def as_shown(self, form: SeveralForm, shown: PosedQuestion) -> SeveralForm:
        place = {name: i for i, (name, _) in enumerate(shown.choices)}
        return form.model_copy(update={"options": tuple(sorted(form.options, key=lambda o: place[o.id]))})

    def mark(self, form: SeveralForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return several_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        del asked
        return ()

    def how(self, asked: PosedQuestion) -> str:
        del asked
        return f"All letters that apply, such as: a c; or '{NONE}'."
