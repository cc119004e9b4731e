"""Put steps in order: the longest run in order is the credit, a critical reversal a gate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from pydantic import Field

from glasscan.content import nearest
from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.learning.answer_text import as_ids
from glasscan.learning.ask_wording import fill
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_base import Marked
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
from glasscan.learning.run_quantities import read
from glasscan.learning.run_schema import Event, EventTime
from glasscan.learning.scoring.credit import Credit
from glasscan.learning.scoring.ordering import Order, ordering


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


class OrderSteps(Marked, OrderForm):
    """Put steps in order."""

    kind: Literal["order-the-steps"]
    form: Literal["order"] = "order"


TOGETHER_S = 0.05
"""Events nearer to each other than one row of the finest trace may stand either way round, s."""


@dataclass(frozen=True)
class OrderTask:
    """The order asked for, and one sequence that keeps it."""

    order: Order
    example: tuple[str, ...]


def job(form: OrderForm, log: MarkingLog) -> OrderTask:
    """Steps and pairs of a prompt; steps with events take their order, or their absence, from the run."""
    critical = tuple((p.first, p.then) for p in form.critical)
    if any(step.event for step in form.steps):
        times = _times(form, log)
        done = tuple(sorted(times, key=lambda s: times[s]))
        late = tuple((a, b) for a in done for b in done if times[b] - times[a] > TOGETHER_S)
        return OrderTask(Order(done, late, tuple(p for p in critical if set(p) <= set(done))), done)
    steps = tuple(step.id for step in form.steps)
    pairs = tuple((p.first, p.then) for p in form.before) or tuple(pairwise(steps))
    return OrderTask(Order(steps, pairs, critical), steps)


def _times(form: OrderForm, log: MarkingLog) -> dict[str, float]:
    found = {step.id: _time(step, log) for step in form.steps}
    return {name: t for name, t in found.items() if t is not None}


def _time(step: OrderStep, log: MarkingLog) -> float | None:
    if step.event is None:
        return None
    return read(EventTime(of="event-time", event=step.event, which=step.which), log).value


def order_result(form: OrderForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark an order.

    Raises:
        ValueError: the answer names an unknown step, or one step twice.
    """
    given, texts = as_ids(answer), {step.id: step.text for step in form.steps}
    strange = [name for name in given if name not in texts]
    if strange or len(set(given)) < len(given):
        raise ValueError(f"expected each of {', '.join(texts)} once at most")
    asked = job(form, log)
    credit = _credit(given, asked)
    key = " → ".join(texts[name].rstrip(".") for name in asked.example) or "none of them happens"
    gates = tuple(_gate(form, texts, asked, given))
    rights = tuple(texts[name] for name in credit.rights)
    reason = " ".join([_head(credit, asked), *_told(form, credit, given, asked), *gates])
    return Result(
        credit.share, credit.share * out_of, out_of, key, reason, rights, _plain(credit, texts), gates=gates
    )


def _credit(given: tuple[str, ...], asked: OrderTask) -> Credit:
    if asked.order.steps:
        return ordering(given, asked.order)
    return Credit(float(not given), (), given)


def _head(credit: Credit, asked: OrderTask) -> str:
    if credit.share == 1.0:
        return "Right: every step stands where it may stand."
    return f"{len(credit.rights)} of {len(asked.order.steps)} steps stand in order."


def _told(form: OrderForm, credit: Credit, given: tuple[str, ...], asked: OrderTask) -> list[str]:
    """Reasons of the steps that are out of order, left out, or do not happen."""
    off = [
        s for s in form.steps if s.id not in credit.rights and (s.id in asked.order.steps or s.id in given)
    ]
    return [f"“{s.text.rstrip('.')}”: {s.because}" for s in off if s.because]


def _gate(form: OrderForm, texts: dict[str, str], asked: OrderTask, given: tuple[str, ...]) -> list[str]:
    place = {name: i for i, name in enumerate(given)}
    broken = [p for p in form.critical if p.then in place and place.get(p.first, len(given)) > place[p.then]]
    held = [p for p in broken if {p.first, p.then} <= set(asked.order.steps)]
    return [
        f"“{texts[p.first].rstrip('.')}” must come before “{texts[p.then].rstrip('.')}”. {p.because}".strip()
        for p in held
    ]


def _plain(credit: Credit, texts: dict[str, str]) -> tuple[str, ...]:
    """The rule's words with the text of each step instead of its id."""
    heads = [wrong.partition(": ") for wrong in credit.wrongs]
    return tuple(
        f"{head}: {texts.get(name, name)}" if name else texts.get(head, head) for head, _, name in heads
    )


def _order_fits(form: OrderForm, here: Path) -> Iterator[Finding]:
    known = [s.id for s in form.steps]
    for where, pairs in (("before", form.before), ("critical", form.critical)):
        for i, pair in enumerate(pairs):
            for key in ("first", "then"):
                name = getattr(pair, key)
                if name not in known:
                    text = f"expected one of the steps {', '.join(known)}, found '{name}'"
                    yield (*here, where, i, key), text, nearest(name, known)
    events = [s.event is not None for s in form.steps]
    if any(events) and (not all(events) or form.before):
        yield (
            (*here, "steps"),
            "expected an event for every step and no before: the run gives the order",
            None,
        )
    elif not any(events):
        yield from _no_circle(form, here)


def _no_circle(form: OrderForm, here: Path) -> Iterator[Finding]:
    """Follow the pairs as far as they lead: a step that comes before itself can never be placed."""
    listed = [s.id for s in form.steps]
    chain = [] if form.before else list(pairwise(listed))
    pairs = {(p.first, p.then) for p in (*form.before, *form.critical)} | set(chain)
    for middle in listed:
        pairs |= {(a, d) for a, b in tuple(pairs) for c, d in tuple(pairs) if b == middle == c}
    if any(a == b for a, b in pairs):
        yield (*here, "before" if form.before else "critical"), "the pairs run in a circle", None


@question_type
class InOrder(QuestionType):
    """Steps in their order."""

    form = "order"
    schema = OrderForm
    kinds = (OrderSteps,)
    several_lines = True
    ordered = True

    def check(self, form: OrderForm, here: Path) -> Iterator[Finding]:
        yield from ids_once([s.id for s in form.steps], (*here, "steps"))
        yield from _order_fits(form, here)

    def put(self, form: OrderForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        return with_choices(shown, form.steps, of.scenario, fill)

    def mark(self, form: OrderForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return order_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        del asked
        return ()

    def how(self, asked: PosedQuestion) -> str:
        del asked
        return f"The letters in order, such as: b a c; or '{NONE}' if none of them happens."
