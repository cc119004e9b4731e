"""Make a paper: the seed picks the values that each scenario lets vary, the runs give what is shown."""

from __future__ import annotations

import secrets
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Literal

from glasscan.content import BadInput
from glasscan.learning.ask_wording import fill
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.exam.paper import Paper, PaperQuestion, PaperSection, Sources
from glasscan.learning.exam.parallel_forms import uneven
from glasscan.learning.exam.readings_table import readings
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompts import asked
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.scoring.verdict import PASS_SHARE
from glasscan.learning.variants import load_variant, new_secret

MINUTE_S = 60.0

Run = Callable[[Scenario], MarkingLog]
"""Runs a scenario to its end; a run that fails raises `BadInput`."""


@dataclass(frozen=True)
class Order:
    """What is asked for.

    Attributes:
        paper: id of the paper; its variants share it.
        words: files or ids of the scenarios, in the order of the exam.
        seed: of the variant; None for an assessed paper, which a fresh secret draws.
        minutes: time limit.
        pass_share: pass mark, 0..1.
        clock: whether the time runs on while the paper is not open.
    """

    paper: str
    words: tuple[str, ...]
    seed: int | None
    minutes: float
    pass_share: float = PASS_SHARE
    clock: Literal["runs-on", "stands"] = "runs-on"


@dataclass(frozen=True)
class Made:
    """What a paper is made of, its questions among it, and what its maker should know."""

    sources: Sources
    notes: tuple[str, ...]

    @property
    def paper(self) -> Paper:
        """The questions."""
        return self.sources.questions


def make(order: Order, run: Run) -> Made:
    """The two parts of a paper.

    A scenario that is not shipped is run as its file says too, to tell whether the variant is as hard as the
    file; those that are shipped were compared when they were tested.

    Raises:
        BadInput: a scenario is bad, comes twice, or has no question with marks.
    """
    draw = new_secret() if order.seed is None else order.seed
    scenarios = [load_variant(word, draw) for word in order.words]
    _different(scenarios)
    sections, questions, notes = [], [], []
    for word, scenario in zip(order.words, scenarios, strict=True):
        log = run(scenario)
        notes += _notes(word, scenario, log, run)
        sections.append(_section(scenario, log))
        questions += _questions(scenario, log)
    paper = Paper(
        paper=order.paper,
        seed=secrets.randbelow(2**31) if order.seed is None else order.seed,
        clock=order.clock,
        record_key=_record_key(order),
        limit_s=order.minutes * MINUTE_S,
        pass_share=order.pass_share,
        sections=tuple(sections),
        questions=tuple(questions),
    )
    return Made(Sources(questions=paper, scenarios=tuple(scenarios)), tuple(notes))


def question_id(scenario: Scenario, prompt: str) -> str:
    """Name of a question in a paper and in results."""
    return f"{scenario.scenario}/{prompt}"


def _different(scenarios: Sequence[Scenario]) -> None:
    for name, count in Counter(s.scenario for s in scenarios).items():
        if count > 1:
            raise BadInput([f"{name}: given {count} times; a paper asks each scenario once"])


def _notes(word: str, scenario: Scenario, log: MarkingLog, run: Run) -> list[str]:
    if not scenario.vary:
        return [f"{scenario.scenario}: has no key under 'vary': every seed asks the same"]
    return [] if word in scenario_names() else uneven(scenario, log, run(load_scenario(word)))


def _record_key(order: Order) -> str:
    """Random for an assessed paper; a rehearsal made again is the same file."""
    if order.seed is None:
        return secrets.token_hex(32)
    return sha256(f"rehearsal {order.paper} {order.seed}".encode()).hexdigest()


def _section(scenario: Scenario, log: MarkingLog) -> PaperSection:
    return PaperSection(
        scenario=scenario.scenario,
        title=scenario.title,
        about=fill(scenario.about, scenario),
        safety=scenario.safety,
        readings=readings(scenario, log),
    )


def _salt(scenario: Scenario) -> str:
    """Mixes up the lines, so that the file does not carry their written order; a sitting mixes again."""
    return f"paper {scenario.seed}"


def _questions(scenario: Scenario, log: MarkingLog) -> list[PaperQuestion]:
    """Prompts that count; what is kept for discussion is not asked in an exam."""
    counted = [p for p in scenario.prompts if p.marks > 0]
    if not counted:
        raise BadInput([f"{scenario.scenario}: has no question with marks"])
    shown = [asked(p, scenario, log, _salt(scenario)) for p in counted]
    return [
        PaperQuestion(section=scenario.scenario, asked=replace(a, id=question_id(scenario, a.id)))
        for a in shown
    ]
