"""Mark results of a paper: the keys are worked out here, from runs of the paper's own scenarios."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from glasscan.learning.exam.answer_codec import as_answer
from glasscan.learning.exam.paper import Sources
from glasscan.learning.exam.paper_making import Run, question_id
from glasscan.learning.identity import identity
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_schema import Prompt
from glasscan.learning.prompts import PosedQuestion, asked, mark
from glasscan.learning.question_type import type_of
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.scoring.verdict import Verdict, verdict
from glasscan.learning.store.results_files import Item, Results, StoredMark
from glasscan.learning.store.store_problems import StoreProblem

MINUTE_S = 60.0
NOT_GIVEN = ""
"""Stands for the answer to a question that was left."""


@dataclass(frozen=True)
class Keyed:
    """A question with all that its mark needs."""

    scenario: Scenario
    prompt: Prompt
    asked: PosedQuestion
    log: MarkingLog


@dataclass(frozen=True)
class Outcome:
    """Marked results of one person.

    Attributes:
        results: with a mark for every question of the paper.
        verdict: score, gates, pass or not yet.
        told: the reason of each mark, in the order of the paper.
        away: one line of breaks, of a record that was changed and of a clock that was set, else "".
    """

    results: Results
    verdict: Verdict
    told: tuple[tuple[str, Result], ...]
    away: str = ""


def keyed(sources: Sources, run: Run, salt: str = "") -> dict[str, Keyed]:
    """Every question of a paper, by its id; runs each scenario once. The salt orders what is listed.

    Raises:
        BadInput: a scenario cannot be run any more.
    """
    found: dict[str, Keyed] = {}
    for scenario in sources.scenarios:
        log = run(scenario)
        for prompt in (p for p in scenario.prompts if p.marks > 0):
            shown = asked(prompt, scenario, log, salt)
            found[question_id(scenario, prompt.id)] = Keyed(scenario, prompt, shown, log)
    return found


def judge(results: Results, sources: Sources, questions: Mapping[str, Keyed]) -> Outcome:
    """Mark one person's results; questions that were left earn nothing.

    Raises:
        StoreProblem: the results are of another paper or variant.
    """
    if results.digest != sources.questions.digest:
        raise StoreProblem(f"results of {results.nickname} are of another paper than {sources.paper}")
    given = {item.prompt: item for item in results.items}
    strange = [name for name in given if name not in questions]
    if strange:
        raise StoreProblem(f"results of {results.nickname} answer '{strange[0]}', which is not in the paper")
    told = tuple((name, _result(given.get(name), question)) for name, question in questions.items())
    items = tuple(_item(given.get(name), name, questions[name], result) for name, result in told)
    gates = [gate for _, result in told for gate in result.gates]
    outcome = verdict([r.marks for _, r in told], [r.out_of for _, r in told], gates, sources.pass_share)
    return Outcome(results.model_copy(update={"items": items}), outcome, told, away(results, sources.limit_s))


def away(results: Results, limit_s: float | None = None) -> str:
    """One line of what an instructor should know of the sitting's course, or "".

    Breaks are counted by two clocks; see `two_clocks`.
    """
    opened = [o for o in results.openings if o.what == "opened"]
    gaps = [o.away_s for o in opened[1:]]
    notes = []
    if gaps:
        each = ", ".join(_minutes(s) for s in gaps)
        limit = f" of a limit of {limit_s / MINUTE_S:g} min" if limit_s is not None else ""
        notes.append(f"opened {len(opened)} times, away {each}{limit}")
    if any(o.what == "altered" for o in results.openings):
        notes.append("its record was changed with another program")
    if any(o.what == "clock-set" for o in results.openings):
        notes.append("the calendar of its computer was set meanwhile")
    return "; ".join(notes)


def _minutes(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < MINUTE_S else f"{seconds / MINUTE_S:.0f} min"


def twice(results: Sequence[Results]) -> list[str]:
    """One line for each person of whom there is more than one sitting."""
    found: dict[str, dict[str, str]] = {}
    for one in results:
        found.setdefault(identity(one.nickname), {})[one.sitting] = one.nickname
    return [
        f"{next(iter(sittings.values()))}: {len(sittings)} sittings of one paper under this name"
        for sittings in found.values()
        if len(sittings) > 1
    ]


def codes_of(scenario: Scenario, prompt: Prompt) -> tuple[str, ...]:
    """Syllabus codes of a prompt: its own, else those of its lesson."""
    return prompt.codes or scenario.codes


def _result(item: Item | None, question: Keyed) -> Result:
    if item is not None and item.given != NOT_GIVEN:
        try:
            return mark(question.prompt, as_answer(question.asked, item.given), question.log, question.asked)
        except ValueError as problem:
            return replace(_no_mark(question), reason=f"Not an answer to this question: {problem}.")
    return _no_mark(question)


def _no_mark(question: Keyed) -> Result:
    """Nothing earned."""
    return Result(0.0, 0.0, question.prompt.marks, key_of(question), "No answer was given.")


def key_of(question: Keyed) -> str:
    """The key alone, read with an answer that any form takes, since it does not hang on it."""
    return mark(question.prompt, type_of(question.asked).any_answer(question.asked), question.log).key


def _item(given: Item | None, name: str, question: Keyed, result: Result) -> Item:
    codes = codes_of(question.scenario, question.prompt)
    one = StoredMark(
        share=result.share,
        out_of=result.out_of,
        key=result.key,
        slip=result.slip,
        codes=codes,
        gates=result.gates,
    )
    base = given or Item(prompt=name, given=NOT_GIVEN)
    return base.model_copy(update={"mark": one})
