"""A diagnosed case in the results store: what, when, score, time spent and level, as one marked answer."""

from __future__ import annotations

from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.case_play import CANNOT_TELL, Case
from glasscan.learning.cases.scoring import Review
from glasscan.learning.store.history_report import CASE
from glasscan.learning.store.import_sitting import Whole, enter_whole
from glasscan.learning.store.results_files import UNSAFE
from glasscan.learning.store.rows import StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store

PROMPT = "verdict"
CODES = ("acs-iii-g-s", "p66-7-18")
"""What finding a fault serves: lines of the syllabus."""


def paper_of(case: Case) -> str:
    """Id under which everybody's results of one case stand together: filter, number and level."""
    return f"{CASE}{case.kind}-{case.seed}-level-{case.level}"


def enter(store: Store, nickname: str, case: Case, review: Review) -> bool:
    """Enter a case that is over; False where it is there already or was played again.

    The salt of the case is the sitting's own id, so a case is counted once, on any computer.

    Args:
        store: where to.
        nickname: whose.
        case: over.
        review: its fault and score.

    Raises:
        StoreProblem: the store cannot be written, or this is no nickname.
    """
    if case.replayed or not case.ended:
        return False
    whole = Whole(
        uid=case.salt,
        kind="practice",
        paper=paper_of(case),
        seed=case.seed,
        spent_s=case.spent_s,
        answers=((_given(case), _marked(case, review)),),
    )
    return enter_whole(store, store.person(nickname), whole)


def _given(case: Case) -> StoredAnswer:
    return StoredAnswer(PROMPT, given_words(case), spent_s=case.spent_s)


def given_words(case: Case) -> str:
    """What was named, and at what price."""
    tests = len(case.tests_done)
    cost = f"{tests} test{'' if tests == 1 else 's'}, {case.cost_min:g} min"
    named = case.verdict or ("stopped for safety" if case.unsafe else "no verdict")
    return f"{_titled(named)}; {cost}"


def _marked(case: Case, review: Review) -> StoredMarks:
    parts = ", ".join(f"{name} {100 * part:.0f}" for name, part in review.score.parts.items() if part)
    reason = "; ".join((*review.score.gates, parts)) if case.unsafe else parts
    slip = UNSAFE if case.unsafe else None
    score = min(max(review.score.score, 0.0), 1.0)
    return StoredMarks(round(score, 6), 100.0, _titled(review.hidden.code), reason, slip, CODES)


def _titled(code: str) -> str:
    """A verdict in words a table can show."""
    if code == CANNOT_TELL or not code.startswith("F"):
        return code.replace("-", " ")
    return f"{code} {' and '.join(fault.title for fault in parts_of(code))}"
