"""After the verdict: own path beside the reference path, how belief moved, the score in parts, the ghost run.

For the window: `debrief(case)` gives one frozen record with all of it. Before the verdict every function here
refuses. Help during the case (`hint`, `look_alikes`, `tell_apart`) stands in `hints` and is offered here too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from glasscan.faults.counterfactual import Ghost, ghost_run
from glasscan.learning.cases.case_play import Case, field_of, help_spent
from glasscan.learning.cases.case_words import result_lines
from glasscan.learning.cases.doubt_words import halving
from glasscan.learning.cases.evidence import in_words, spoken
from glasscan.learning.cases.generate import rigs
from glasscan.learning.cases.hints import (
    Hint,
    LookAlike,
    Telling,
    hint,
    look_alikes,
    tell_apart,
)
from glasscan.learning.cases.likelihood import Result
from glasscan.learning.cases.reference import ReferenceStep, told_new
from glasscan.learning.cases.repair_check import RepairCheck, repair_check
from glasscan.learning.cases.scoring import Review, review
from glasscan.learning.cases.solver import Field, best_test, fault_belief, information, updated
from glasscan.rig.setup import Ramp, RigSetup

__all__ = [
    "Curve",
    "Debrief",
    "Hint",
    "LookAlike",
    "Telling",
    "Walked",
    "beliefs_after",
    "debrief",
    "ghost_of",
    "help_spent",
    "hint",
    "look_alikes",
    "tell_apart",
]

COLD_START = (Ramp(0.5, "rpm", 900.0, 1.0),)
LITTLE = 0.25
"""A test that told less than this share of what the best one would have told per minute is remarked on."""


@dataclass(frozen=True)
class Walked:
    """One test of a path as told afterwards.

    Attributes:
        test, title: of the test.
        cost_min: its minutes.
        at_min: minutes spent when its result was there.
        result: numbers in the units of its readings.
        lines: the result in words, sound rig beside it.
        bits: doubt it was expected to take away, bits.
        best: word of the test that would have told most per minute just then.
        best_rate: bits per minute of that test.
        beliefs: code -> belief after it; sums to 1.
    """

    test: str
    title: str
    cost_min: float
    at_min: float
    result: Result
    lines: tuple[str, ...]
    bits: float
    best: str | None
    best_rate: float
    beliefs: dict[str, float]

    @property
    def rate(self) -> float:
        """Bits expected per minute."""
        return self.bits / self.cost_min


@dataclass(frozen=True)
class Curve:
    """How belief moved along a path.

    Attributes:
        minutes: (N,) minutes spent; the first is 0, with what the complaint alone says.
        beliefs: code -> (N,) belief of each suspect.
    """

    minutes: tuple[float, ...]
    beliefs: dict[str, tuple[float, ...]]

    def strongest(self, count: int, always: tuple[str, ...] = ()) -> tuple[str, ...]:
        """Suspects worth a line: those named, then the ones that were ever believed most."""
        rest = sorted(self.beliefs, key=lambda code: -max(self.beliefs[code]))
        return tuple(dict.fromkeys([*always, *rest]))[: max(count, len(always))]


@dataclass(frozen=True)
class Debrief:
    """All that is told after the verdict.

    Attributes:
        review: fault, commitment kept, score with parts and gates, both paths as steps.
        fault, title: what was wrong.
        verdict: what was named, or None where the case was stopped.
        own, reference: both paths.
        own_curve, reference_curve: belief along them.
        evidence: sentences on which readings spoke for the fault, and which for a wrong verdict.
        remarks: sentences on where the own path lost time, safety and verdict.
        help_cost: share of the score that hints have cost.
        check: the repair that was decided and the operational check after it; None without a verdict.
    """

    review: Review
    fault: str
    title: str
    verdict: str | None
    own: tuple[Walked, ...]
    reference: tuple[Walked, ...]
    own_curve: Curve
    reference_curve: Curve
    remarks: tuple[str, ...]
    help_cost: float
    evidence: tuple[str, ...] = ()
    check: RepairCheck | None = None


def debrief(case: Case) -> Debrief:
    """Open a case that is over.

    Raises:
        RefusedError: it is not over yet.
    """
    told, tests = review(case), field_of(case)
    first = told.reference.first
    own = _walked(case, tests, told.own, own=True)
    reference = _walked(case, tests, told.reference.steps)
    return Debrief(
        review=told,
        fault=told.hidden.code,
        title=told.hidden.title,
        verdict=case.verdict,
        own=own,
        reference=reference,
        own_curve=_curve(first, own),
        reference_curve=_curve(first, reference),
        remarks=_remarks(case, told, own),
        help_cost=help_spent(case),
        check=repair_check(case),
        evidence=tuple(_evidence(case, told)),
    )


def beliefs_after(case: Case) -> Curve:
    """How belief moved along the trainee's own tests; only after the verdict.

    Raises:
        RefusedError: the case is not over yet.
    """
    told = review(case)
    return _curve(told.reference.first, _walked(case, field_of(case), told.own, own=True))


def ghost_of(case: Case, from_s: float = 0.0, end_s: float = 60.0, step_s: float = 0.5) -> Ghost:
    """A cold start of the case's rig with its fault, and beside it the same run mended at a moment.

    It steps two rigs through time and takes seconds: call it off the window's thread.

    Args:
        case: over.
        from_s: moment at which the fault is taken away in the second run, s; 0 = it was never there.
        end_s: length, s.
        step_s: model time between two rows, s.

    Raises:
        RefusedError: the case is not over yet.
        ValueError: the moments are not in order.
    """
    faulty, sound = (replace(rig, timeline=COLD_START) for rig in ghost_rigs(case))
    return ghost_run(faulty, sound, from_s, end_s, step_s)


def ghost_rigs(case: Case) -> tuple[RigSetup, RigSetup]:
    """The case's rig with its fault and without, cold and standing still; only after the verdict.

    Raises:
        RefusedError: the case is not over yet.
    """
    review(case)
    return rigs(case.hidden)


def _walked(
    case: Case, tests: Field, steps: tuple[ReferenceStep, ...], own: bool = False
) -> tuple[Walked, ...]:
    belief = updated(tests.prior, tests.complaint, case.noted)
    found: list[Walked] = []
    new = case.on_new_filter() if own else told_new(steps, case.menu)
    for k, step in enumerate(steps):
        test, made = case.menu[step.test], tests.sheet(step.test, new.get(step.test, False))
        bits = information(belief, made, np.random.default_rng([case.seed, k]))
        best = best_test(tests, belief, [s.test for s in steps[:k]], case.seed)
        belief = updated(belief, made, step.result)
        found.append(
            Walked(
                test=step.test,
                title=test.title,
                cost_min=test.cost_min,
                at_min=(found[-1].at_min if found else 0.0) + test.cost_min,
                result=step.result,
                lines=tuple(result_lines(test.reads, step.result, case.baseline)),
                bits=bits,
                best=best[0] if best else None,
                best_rate=best[1] / case.menu[best[0]].cost_min if best else 0.0,
                beliefs=fault_belief(tests, belief),
            )
        )
    return tuple(found)


def _curve(first: dict[str, float], path: tuple[Walked, ...]) -> Curve:
    rows = [first, *(step.beliefs for step in path)]
    return Curve(
        (0.0, *(step.at_min for step in path)), {code: tuple(row[code] for row in rows) for code in first}
    )


def _remarks(case: Case, told: Review, own: tuple[Walked, ...]) -> tuple[str, ...]:
    """What a teacher would say first, in order of weight."""
    found = [f"Stopped for safety: {text}." for text in case.unsafe]
    found += [_wasted(case, step) for step in own if step.best and _told_little(step)]
    if told.score.parts["correct"] and told.score.parts["confirmed"] == 0.0:
        found.append("Nothing you tested spoke for this fault: prove it on the part before you condemn it.")
    if own and any(not step for step in _stated_before(case)):
        found.append("Some tests were ordered without saying before what they should tell apart.")
    if told.score.parts["swaps"] < 0.0:
        found.append("A part was changed although nothing you held possible would be cured by it.")
    if told.score.parts["correct"] and told.score.parts["stop"] == 0.0 and not case.unsafe:
        found.append(_stop_remark(told, own))
    return tuple(found)


def _evidence(case: Case, told: Review) -> list[str]:
    """Which of the readings at hand spoke for the fault and which for the verdict, or its nearest rival."""
    tests, true, verdict = field_of(case), told.hidden.code, case.verdict
    beliefs = told.own[-1].beliefs if told.own else told.reference.first
    rivals = sorted((code for code in beliefs if code != true), key=lambda code: -beliefs[code])
    other = verdict if verdict in beliefs and verdict != true else next(iter(rivals), None)
    if other is None or true not in beliefs:
        return []
    new = case.on_new_filter()  # what was read on a new filter speaks of that one
    made = [(step.test, step.result) for step in told.own if not new.get(step.test, False)]
    found = spoken(tests, case.noted, made, true, other)
    told_against = in_words(found, true, other, against=True) if other == verdict else []
    return in_words(found, true, other, against=False) + told_against


def _stated_before(case: Case) -> list[bool]:
    """For each test, whether a hypothesis was stated since the one before."""
    stated, found = False, []
    for entry in case.entries:
        if entry.what == "hypothesis":
            stated = True
        elif entry.what == "test":
            found.append(stated)
            stated = False
    return found


def _told_little(step: Walked) -> bool:
    return step.best != step.test and step.rate < LITTLE * step.best_rate


def _wasted(case: Case, step: Walked) -> str:
    best = case.menu[step.best or step.test]
    return (
        f"{step.title}: {step.cost_min:g} min; just then such a test {halving(step.rate)}, "
        f"'{best.title}' ({best.cost_min:g} min) {halving(step.best_rate)}."
    )


def _stop_remark(told: Review, own: tuple[Walked, ...]) -> str:
    before = own[-2].beliefs if len(own) > 1 else told.reference.first
    if own and max(before.values()) >= 0.98:
        return "The fault was sure before your last test: it bought nothing."
    return "You stopped before the readings could carry the verdict."
