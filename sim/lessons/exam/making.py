"""Make a paper: the seed picks the values that each scenario lets vary, the runs give what is shown."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from sim.lessons.exam.paper import Paper, Question, Section, Sources
from sim.lessons.exam.readings import readings
from sim.lessons.prompts import asked
from sim.lessons.rules.verdict import PASS_SHARE
from sim.lessons.runlog import RunLog
from sim.lessons.schema import Scenario
from sim.lessons.variants import load_variant
from sim.lessons.wording import fill
from sim.loading import BadInput

MINUTE_S = 60.0

Run = Callable[[Scenario], RunLog]
"""Runs a scenario to its end; a run that fails raises `BadInput`."""


@dataclass(frozen=True)
class Order:
    """What is asked for.

    Attributes:
        paper: id of the paper; its variants share it.
        words: files or ids of the scenarios, in the order of the exam.
        seed: of the variant.
        minutes: time limit.
        pass_share: pass mark, 0..1.
    """

    paper: str
    words: tuple[str, ...]
    seed: int
    minutes: float
    pass_share: float = PASS_SHARE


def make(order: Order, run: Run) -> tuple[Paper, Sources]:
    """The two parts of a paper.

    Raises:
        BadInput: a scenario is bad, comes twice, or has no question with marks.
    """
    scenarios = [load_variant(word, order.seed) for word in order.words]
    _different(scenarios)
    sections, questions = [], []
    for scenario in scenarios:
        log = run(scenario)
        sections.append(_section(scenario, log))
        questions += _questions(scenario, log)
    paper = Paper(
        paper=order.paper,
        seed=order.seed,
        limit_s=order.minutes * MINUTE_S,
        pass_share=order.pass_share,
        sections=tuple(sections),
        questions=tuple(questions),
    )
    return paper, _sources(paper, scenarios)


def unvaried(sources: Sources) -> list[str]:
    """Scenarios that let nothing vary: every seed asks them in the same way."""
    return [s.scenario for s in sources.scenarios if not s.vary]


def question_id(scenario: Scenario, prompt: str) -> str:
    """Name of a question in a paper and in results."""
    return f"{scenario.scenario}/{prompt}"


def _different(scenarios: Sequence[Scenario]) -> None:
    for name, count in Counter(s.scenario for s in scenarios).items():
        if count > 1:
            raise BadInput([f"{name}: given {count} times; a paper asks each scenario once"])


def _sources(paper: Paper, scenarios: Sequence[Scenario]) -> Sources:
    return Sources(
        paper=paper.paper,
        seed=paper.seed,
        marks=paper.marks,
        pass_share=paper.pass_share,
        scenarios=tuple(scenarios),
    )


def _section(scenario: Scenario, log: RunLog) -> Section:
    return Section(
        scenario=scenario.scenario,
        title=scenario.title,
        about=fill(scenario.about, scenario),
        safety=scenario.safety,
        readings=readings(scenario, log),
    )


def _questions(scenario: Scenario, log: RunLog) -> list[Question]:
    """Prompts that count; what is kept for discussion is not asked in an exam."""
    counted = [p for p in scenario.prompts if p.marks > 0]
    if not counted:
        raise BadInput([f"{scenario.scenario}: has no question with marks"])
    shown = [asked(p, scenario, log) for p in counted]
    return [
        Question(section=scenario.scenario, asked=replace(a, id=question_id(scenario, a.id))) for a in shown
    ]
