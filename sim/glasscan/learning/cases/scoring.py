"""After the verdict: the fault told, the score, and how belief moved on both paths."""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.case_play import CANNOT_TELL, Case, RefusedError, field_of, help_spent, sealed
from glasscan.learning.cases.case_rig import FILTER_GROUPS
from glasscan.learning.cases.generate import Hidden
from glasscan.learning.cases.reference import TELLS, ReferencePath, ReferenceStep, reference_path
from glasscan.learning.cases.solver import SURE, Field, best_test, fault_belief, updated
from glasscan.learning.scoring.case import Case as Deeds
from glasscan.learning.scoring.case import CaseScore, case_score

HALF = 0.5
"""Credit for the right group of variants, one of two faults, an honest "cannot tell yet" (PRACTICE)."""
PROVED_NATS = 1.0
"""How much the own tests must raise the log odds of a fault that is condemned (PRACTICE)."""
LEAST, GRAIN = 1e-9, 1e-6


@dataclass(frozen=True)
class Review:
    """What the trainee sees after the verdict.

    Attributes:
        hidden: the fault at last.
        kept: True where fault and commitment agree.
        score: with its parts and gates.
        own: the trainee's tests with the beliefs that follow from them.
        reference: the reference path.
    """

    hidden: Hidden
    kept: bool
    score: CaseScore
    own: tuple[ReferenceStep, ...]
    reference: ReferencePath


def review(case: Case) -> Review:
    """Open a case that is over.

    Raises:
        RefusedError: it is not over yet.
    """
    if not case.ended:
        raise RefusedError("the case is not over yet: give a verdict first")
    hidden, tests = case.hidden, field_of(case)
    own, reference = own_path(case, tests), reference_path(hidden, case.level)
    deeds = Deeds(
        correct=_correct(case, hidden, own, reference),
        cost_min=_spent_min(case, own, reference),
        best_cost_min=reference.cost_min,
        named=_named(case),
        confirmed=_confirmed(case, own, reference),
        stopped_right=_stopped_right(case, tests, own, reference),
        unsafe=case.unsafe,
        needless_swaps=_needless_swaps(case),
        hints=help_spent(case),
    )
    kept = sealed(hidden, case.salt, case.level) == case.seal
    return Review(hidden, kept, case_score(deeds), own, reference)


def own_path(case: Case, tests: Field) -> tuple[ReferenceStep, ...]:
    """The trainee's tests with the beliefs that follow from them."""
    belief, new = updated(tests.prior, tests.complaint, case.noted), case.on_new_filter()
    steps = []
    for entry in case.entries:
        if entry.what == "test":
            made = tests.sheet(entry.words[0], new[entry.words[0]])
            belief = updated(belief, made, entry.result)
            steps.append(ReferenceStep(entry.words[0], entry.result, 0.0, fault_belief(tests, belief)))
    return tuple(steps)


def _best(own: tuple[ReferenceStep, ...], reference: ReferencePath) -> float:
    return max((own[-1].beliefs if own else reference.first).values())


def _correct(case: Case, hidden: Hidden, own: tuple[ReferenceStep, ...], reference: ReferencePath) -> float:
    verdict = case.verdict
    if verdict is None:
        return 0.0
    if verdict == CANNOT_TELL:
        return HALF if own and _best(own, reference) < TELLS and not _more_to_test(case, own) else 0.0
    if verdict == hidden.code:
        return 1.0
    group, true = ({code[:3] for code in codes.split("+")} for codes in (verdict, hidden.code))
    return HALF if group & true else 0.0


def _named(case: Case) -> float:
    """Share of the tests before which, since the test before, a hypothesis was stated."""
    stated, tests, named = False, 0, 0
    for entry in case.entries:
        if entry.what == "hypothesis":
            stated = True
        elif entry.what == "test":
            tests, named, stated = tests + 1, named + stated, False
    return named / tests if tests else 0.0


def _confirmed(case: Case, own: tuple[ReferenceStep, ...], reference: ReferencePath) -> float:
    """Whether the own tests, apart from the complaint, raised the odds of what was condemned.

    Asked is a factor e, or what the reference path itself reached where no test of the case does more.
    """
    verdict = case.verdict
    if verdict in (None, CANNOT_TELL) or not own:
        return float(verdict == CANNOT_TELL and bool(own))
    gained = _log_odds(own[-1].beliefs, verdict) - _log_odds(reference.first, verdict)
    reached = _log_odds(reference.beliefs, verdict) - _log_odds(reference.first, verdict)
    return float(gained >= min(PROVED_NATS, reached) - GRAIN)


def _log_odds(beliefs: dict[str, float], code: str | None) -> float:
    share = min(max(beliefs.get(code or "", 0.0), LEAST), 1.0 - LEAST)
    return log(share / (1.0 - share))


def _spent_min(case: Case, own: tuple[ReferenceStep, ...], reference: ReferencePath) -> float:
    """Minutes spent, without one confirming test after the fault was sure: proving a part is no waste."""
    before = own[-2].beliefs if len(own) > 1 else None
    if before is None or max(before.values()) < SURE or case.cost_min <= reference.cost_min:
        return case.cost_min
    return max(reference.cost_min, case.cost_min - case.menu[own[-1].test].cost_min)


def _stopped_right(
    case: Case, tests: Field, own: tuple[ReferenceStep, ...], reference: ReferencePath
) -> bool:
    """Stopped when the fault was sure, or no test was worth it; one test more may confirm it on the part."""
    if not own:
        return False
    before = [reference.first, *(step.beliefs for step in own)]
    if len(own) > 2 and max(before[-3].values()) >= SURE:
        return False
    if _best(own, reference) >= TELLS:
        return case.verdict not in (None, CANNOT_TELL)
    return not _more_to_test(case, own, tests)


def _more_to_test(case: Case, own: tuple[ReferenceStep, ...], tests: Field | None = None) -> bool:
    """Whether a test is left that is worth its minutes."""
    tests = tests or field_of(case)
    belief, new = updated(tests.prior, tests.complaint, case.noted), case.on_new_filter()
    for step in own:
        belief = updated(belief, tests.sheet(step.test, new[step.test]), step.result)
    done = [step.test for step in own]
    return best_test(tests, belief, done, case.seed, case.rig.swapped) is not None


def _needless_swaps(case: Case) -> int:
    """Parts changed although no hypothesis stated before could be cured by them."""
    reasons: set[str] = set()
    needless = 0
    for entry in case.entries:
        if entry.what == "hypothesis":
            reasons = set(entry.words)
        elif entry.what == "test" and case.menu[entry.words[0]].swaps:
            parts = [fault for code in reasons for fault in parts_of(code)]
            changes = [change.set for fault in parts for change in fault.changes]
            needless += not any(name.startswith(FILTER_GROUPS) for name in changes)
    return needless
