"""Marks of a job: order by the rule for ordering steps, care by the wrong ways taken; gates apart."""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.learning.scoring.ordering import Order, longest_run, ordering
from glasscan.learning.scoring.verdict import Verdict, verdict
from glasscan.workshop.procedures.job import Job
from glasscan.workshop.procedures.procedure_catalogue import load_conditions
from glasscan.workshop.procedures.procedure_walk import Left, choices

ORDER_MARKS, CARE_MARKS, SENSE_MARKS = 10.0, 5.0, 3.0
HOW = {
    "left out": "left out",
    "too late": "done too late to count",
    "slip": "done the common wrong way",
    "wrong": "no part of this job",
    "chosen": "as your hand chose it",
    "state": "as it stands now",
    "was there before": "was there before, and stays",
}


@dataclass(frozen=True)
class JobMarks:
    """Marks by heading, with reasons.

    Attributes:
        order: of the steps, 0..10; 0 where a gate was not met.
        care: 0..5, less for every wrong way taken.
        sense: 0..3, less for every tempting thing.
        verdict: of the whole.
        out_of_place: steps that stand outside the longest run in order.
    """

    order: float
    care: float
    sense: float
    verdict: Verdict
    out_of_place: tuple[str, ...]


def order_of(job: Job) -> Order:
    """The order that the job asks for; what may be left out is tied only where it is done."""
    done, p, outcome = {a.step for a in job.acts}, job.procedure, job.outcome()
    gone = {*outcome.excused, *outcome.for_nothing}
    steps = tuple(s.id for s in p.steps if (not s.optional or s.id in done) and s.id not in gone)
    before = tuple((a, b) for a, b in p.pairs if a in steps and b in steps)
    critical = tuple((c.first, c.then) for c in p.critical if c.first in steps and c.then in steps)
    return Order(steps, before, critical)


def mark(job: Job) -> JobMarks:
    """Marks of a job as it stands; a state in which nobody may release the machine earns none."""
    outcome, order = job.outcome(), order_of(job)
    answer = [a.step for a in job.acts]
    steps = [s for s in answer if s in order.steps]
    slippable = sum(1 for s in job.procedure.steps if s.slip or choices(s))
    slips = sum(1 for a in job.acts if a.slipped) + len({x.step for x in outcome.left if x.how == "chosen"})
    traps = sum(1 for a in job.acts if a.step in job.procedure.traps) + len(outcome.for_nothing)
    care = CARE_MARKS * _care(slips, slippable, len(steps), len(order.steps))
    sense = max(SENSE_MARKS - traps, 0.0) if steps else 0.0
    order_got = 0.0 if outcome.gates else ORDER_MARKS * ordering(steps, order).share
    if outcome.unsafe or outcome.hurt:
        order_got = care = sense = 0.0
    got = [round(order_got, 2), round(care, 2), sense]
    whole = verdict(got, [ORDER_MARKS, CARE_MARKS, SENSE_MARKS], outcome.gates)
    run = longest_run(steps, order)
    return JobMarks(got[0], got[1], sense, whole, tuple(s for s in steps if s not in run))


def _care(slips: int, slippable: int, done: int, whole: int) -> float:
    """Share of careful work: of the steps with a common wrong way, and only as far as the work went."""
    careful = max(1.0 - slips / slippable, 0.0) if slippable else 1.0
    return careful * (done / whole if whole else 0.0)


def left_words(job: Job, left: Left) -> str:
    """A condition that was left, by which step and how, and what it does."""
    condition = load_conditions()[left.condition]
    step = job.procedure.by_id.get(left.step)
    trap = job.procedure.traps.get(left.step)
    source = step.do if step else trap.do if trap else ""
    why = step.why if step else trap.because if trap else ""
    head = f"{condition.title}: {HOW[left.how]}." if left.how in HOW else condition.title
    return "\n".join(filter(None, [head, f"“{source}”" if source else "", why, condition.effect]))
