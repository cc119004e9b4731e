"""Mark a short case: the right fault first, then its price, the thinking before it, and when to stop."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field

from glasscan.content import nearest
from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.learning.answer_text import as_ids
from glasscan.learning.catalogue import load_filter
from glasscan.learning.exam.case_line import CASE_HOW, read_case, test_lines
from glasscan.learning.marking import HALF, Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_base import Marked
from glasscan.learning.question import Answer, PosedQuestion, TestShown
from glasscan.learning.question_type import (
    AskedOf,
    QuestionType,
    question_type,
)
from glasscan.learning.record_base import Id, Record

if TYPE_CHECKING:
    from glasscan.learning.cases.short_case import ShortCase
    from glasscan.learning.scoring.case import CaseScore

FaultCode = Annotated[str, Field(pattern=r"^F\d\d[a-e]?$", examples=["F12"])]


class CaseForm(Record):
    """Find the fault of a rig with tests that cost minutes; readings and key come from the fault data."""

    form: Literal["case"]
    filter_kind: Literal["can", "cartridge", "disc"]
    regulator: Literal["before", "after"] = "after"
    fault: FaultCode = Field(description="What the rig of the case has, from assets/faults")
    severity: float = Field(default=0.6, ge=0, le=1, description="0 = its mildest, 1 = its gravest")
    suspects: tuple[FaultCode, ...] = Field(min_length=2, max_length=8)
    tests: tuple[Id, ...] = Field(min_length=1, max_length=8, description="Words of assets/tests.yaml")


class Diagnose(Marked, CaseForm):
    """Find a fault with tests that cost minutes."""

    kind: Literal["diagnose"]
    form: Literal["case"] = "case"


THINK, TEST, VERDICT = "think:", "test:", "verdict:"
"""Heads of the words of an answer: a suspect held possible, a test bought, the fault named at the end."""
CANNOT_TELL = "cannot-tell"


@dataclass(frozen=True)
class Deeds:
    """What a learner did, in order."""

    thought: tuple[str, ...]
    bought: tuple[str, ...]
    verdict: str | None


def deeds(form: CaseForm, answer: object) -> Deeds:
    """An answer as deeds: suspects are named before the first test, the verdict comes last.

    Raises:
        ValueError: an unknown word, or a wrong order.
    """
    words = as_ids(answer)
    known = {THINK: set(form.suspects), TEST: set(form.tests), VERDICT: {*form.suspects, CANNOT_TELL}}
    heads = [next((h for h in known if word.startswith(h)), "") for word in words]
    for head, word in zip(heads, words, strict=True):
        if not head or word.removeprefix(head) not in known[head]:
            raise ValueError(f"'{word[:40]}' is no suspect, test or verdict of this case")
    if heads != sorted(heads, key=list(known).index) or len(set(words)) < len(words):
        raise ValueError("first what you hold possible, then tests, each once, and one verdict at the end")
    if TEST in heads and THINK not in heads:
        raise ValueError("say what you hold possible before the first test")
    parts = {h: tuple(w.removeprefix(h) for k, w in zip(heads, words, strict=True) if k == h) for h in known}
    if len(parts[VERDICT]) > 1:
        raise ValueError("one verdict only")
    return Deeds(parts[THINK], parts[TEST], parts[VERDICT][0] if parts[VERDICT] else None)


def case_result(form: CaseForm, answer: object, _log: MarkingLog, out_of: float) -> Result:
    """Mark a case by the rules for diagnosis with cost.

    Raises:
        ValueError: the answer is none for this case.
    """
    from glasscan.learning.cases.short_case import short_case  # late: the fault engine

    done, case = deeds(form, answer), short_case(form)
    best = case.cheapest or ()
    score = _score(case, done)
    share = round(score.score, 9)
    key = f"{case.fault.fault}, {case.fault.title}"
    told = [_verdict_line(case, done), _price_line(case, done, best), *_remarks(case, done)]
    rights = tuple(name for name, part in score.parts.items() if part > 0)
    wrongs = tuple(name for name, part in score.parts.items() if part <= 0 and name != "swaps")
    return Result(share, share * out_of, out_of, key, " ".join(told), rights, wrongs, None, score.gates)


def right_way(form: CaseForm) -> tuple[str, ...]:
    """The answer that earns all: suspects that fit the complaint, the cheapest tests, the fault.

    Raises:
        ValueError: no test of the case separates the fault from the other suspects.
    """
    from glasscan.learning.cases.short_case import short_case  # late: the fault engine

    case = short_case(form)
    if case.cheapest is None:
        left = ", ".join(sorted(case.standing(case.tests)))
        raise ValueError(f"the tests of this case leave {left} standing")
    thought = [THINK + code for code in case.suspects if code in case.fits]
    return (*thought, *(TEST + word for word in case.cheapest), VERDICT + form.fault)


def _score(case: ShortCase, done: Deeds) -> CaseScore:
    from glasscan.learning.scoring.case import Case, case_score, named_share

    unsafe = tuple(dict.fromkeys(danger for word in done.bought if (danger := case.danger(word))))
    return case_score(
        Case(
            correct=_correct(case, done),
            cost_min=case.cost_min(done.bought),
            best_cost_min=case.cost_min(case.cheapest or ()),
            named=named_share(done.thought, case.fits),
            confirmed=float(bool(done.bought) or not case.cheapest),
            stopped_right=_stopped_right(case, done),
            unsafe=unsafe,
            needless_swaps=_needless_swaps(case, done),
        )
    )


def _correct(case: ShortCase, done: Deeds) -> float:
    """1 for the fault, half for its group; half too for an honest 'cannot tell' while several stand."""
    if done.verdict is None:
        return 0.0
    if done.verdict == CANNOT_TELL:
        return HALF if done.bought and len(case.standing(done.bought)) > 1 else 0.0
    if done.verdict == case.fault.fault:
        return 1.0
    return HALF if done.verdict[:3] == case.fault.fault[:3] else 0.0


def _stopped_right(case: ShortCase, done: Deeds) -> bool:
    """One suspect stands, and before the last test there were more."""
    before = case.standing(done.bought[:-1])
    decided = len(case.standing(done.bought)) == 1
    return decided and done.verdict not in (None, CANNOT_TELL) and (not done.bought or len(before) > 1)


def _needless_swaps(case: ShortCase, done: Deeds) -> int:
    """Parts changed although nothing held possible would be cured by them."""
    from glasscan.learning.cases.case_rig import FILTER_GROUPS

    cured = any(
        change.set.startswith(FILTER_GROUPS)
        for code in done.thought
        for change in case.suspects[code].changes
    )
    return 0 if cured else sum(case.tests[word].test.swaps for word in done.bought)


def _verdict_line(case: ShortCase, done: Deeds) -> str:
    fault = case.fault
    said = "Right" if done.verdict == fault.fault else "Not right"
    if done.verdict in (None, CANNOT_TELL):
        said = "It could be told" if len(case.standing(done.bought)) == 1 else "Not decided yet"
    return f"{said}: it was {fault.fault}, {fault.title}. {fault.mechanism}"


def _price_line(case: ShortCase, done: Deeds, best: Sequence[str]) -> str:
    spent, least = case.cost_min(done.bought), case.cost_min(best)
    way = ", then ".join(case.tests[word].test.title.lower() for word in best)
    enough = f"{least:g} min are enough: {way}" if best else "no test was needed"
    return f"You spent {spent:g} min; {enough}."


def _remarks(case: ShortCase, done: Deeds) -> list[str]:
    """What was left out of the thinking, what still stood, what was bought too much."""
    told = []
    missed = [code for code in case.suspects if code in case.fits and code not in done.thought]
    if missed:
        told.append(f"What was noted also fits {', '.join(missed)}: name them before the first test.")
    left = case.standing(done.bought)
    if len(left) > 1:
        told.append(f"After your tests {', '.join(sorted(left))} still stood.")
    elif done.bought and len(case.standing(done.bought[:-1])) == 1:
        told.append("The last test could no longer change the verdict.")
    return told


def _case_fits(form: CaseForm, here: Path) -> Iterator[Finding]:
    """Suspects act on this filter, the fault is one of them, and the tests are possible."""
    from glasscan.faults.fault_data import acting  # late: needed where a case is read
    from glasscan.learning.cases.test_menu import tests_for

    possible = [f.fault for f in acting(form.filter_kind, form.regulator) if f.waits_for is None]
    for i, code in enumerate(form.suspects):
        if code not in possible:
            text = f"'{code}' does not act on this filter: expected one of {', '.join(possible)}"
            yield (*here, "suspects", i), text, nearest(code, possible)
        if code in form.suspects[:i]:
            yield (*here, "suspects", i), f"'{code}' stands twice", None
    if form.fault not in form.suspects:
        text = f"expected one of the suspects {', '.join(form.suspects)}"
        yield (*here, "fault"), text, nearest(form.fault, form.suspects)
    offered = [test.test for test in tests_for(form.filter_kind)]
    for i, word in enumerate(form.tests):
        if word not in offered:
            text = f"this filter has no test '{word}': expected one of {', '.join(offered)}"
            yield (*here, "tests", i), text, nearest(word, offered)
        if word in form.tests[:i]:
            yield (*here, "tests", i), f"'{word}' stands twice", None


@question_type
class Case(QuestionType):
    """A fault to be found with tests that cost minutes."""

    form = "case"
    schema = CaseForm
    kinds = (Diagnose,)
    several_lines = True

    def check(self, form: CaseForm, here: Path) -> Iterator[Finding]:
        yield from _case_fits(form, here)

    def check_filter(self, form: CaseForm, here: Path, filter_name: str) -> Iterator[Finding]:
        kind = load_filter(filter_name).kind
        if form.filter_kind != kind:
            yield (*here, "filter_kind"), f"expected '{kind}', as the filter of this lesson is", None

    def put(self, form: CaseForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        del of
        from glasscan.learning.cases.short_case import short_case  # late: the fault engine

        case = short_case(form)
        suspects = tuple((code, f"{code}  {fault.title}") for code, fault in case.suspects.items())
        tests = tuple(
            TestShown(word, t.test.title, t.test.cost_min, t.test.risk, t.result)
            for word, t in case.tests.items()
        )
        text = f"{shown.text} Flight line: {case.complaint}"
        return replace(shown, text=text, choices=suspects, tests=tests)

    def mark(self, form: CaseForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return case_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        del asked
        return (VERDICT + CANNOT_TELL,)

    def lines(self, asked: PosedQuestion) -> list[str]:
        return [*super().lines(asked), *test_lines(asked)]

    def how(self, asked: PosedQuestion) -> str:
        del asked
        return CASE_HOW

    def read(self, asked: PosedQuestion, line: str) -> str:
        return read_case(asked, line)

    def words(self, asked: PosedQuestion, text: str) -> str:
        del asked
        return text
