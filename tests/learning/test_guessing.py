"""Machines that do not read: over all shipped lessons none does better than chance.

Every question is put and marked as a learner meets it. Outside facts: the binomial chance 1 in k, and
Wilcoxon's signed-rank test (scipy) on the lengths of keys and distractors.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from statistics import mean

import pytest
from glasscan.learning import prompt_schema as ask
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.prompts import asked, mark
from glasscan.learning.question_types.number_choice import NEVER_TEXT
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.typed_numbers import typed
from scipy.stats import wilcoxon

from tests.learning.playing import right_answer, shipped_run

SITTINGS = tuple(f"{i:032x}" for i in range(60))
"""So many that chance itself strays by about one point."""
POINTS = 0.05
"""A machine may be this far above chance."""


@dataclass(frozen=True)
class Put:
    """A question as one sitting lists it.

    Attributes:
        lines: (id, text) in the order shown.
        key: ids that are right.
        share: what an answer earns, by id or ids.
    """

    lines: tuple[tuple[str, str], ...]
    key: frozenset[str]
    share: Callable[[object], float]


@cache
def puts(form: str) -> tuple[Put, ...]:
    """Every question of a form, in every sitting."""
    found = []
    for name in scenario_names():
        scenario, log = load_scenario(name), shipped_run(name)
        for prompt in scenario.prompts:
            if asked(prompt, scenario, log, SITTINGS[0]).form != form:
                continue
            right, share = right_answer(prompt, log), _marker(prompt, log)
            key = frozenset([right] if isinstance(right, str) else right)
            lists = (asked(prompt, scenario, log, salt).choices for salt in SITTINGS)
            found.extend(Put(choices, key, share) for choices in lists)
    return tuple(found)


def by_size(put: Put, rank: int) -> str:
    """The least, the middle or the greatest of the numbers shown; where "never" is offered, of two."""
    numbers = [(typed(text).value, name) for name, text in put.lines if text != NEVER_TEXT]
    return sorted(numbers)[min(rank, len(numbers) - 1)][1]


def _marker(prompt: ask.Prompt, log: object) -> Callable[[object], float]:
    kept: dict[object, float] = {}

    def share(answer: object) -> float:
        if answer not in kept:
            kept[answer] = mark(prompt, answer, log).share  # type: ignore[arg-type]
        return kept[answer]

    return share


def earned(form: str, machine: Callable[[Put], object]) -> float:
    """Mean share of a machine."""
    return mean(p.share(machine(p)) for p in puts(form))


def chance(form: str) -> float:
    """Mean share of picking one line at random."""
    return mean(1.0 / len(p.lines) for p in puts(form))


def longest(put: Put) -> str:
    """The line with the most letters."""
    return max(put.lines, key=lambda line: len(line[1]))[0]


def shortest(put: Put) -> str:
    """The line with the fewest letters."""
    return min(put.lines, key=lambda line: len(line[1]))[0]


@pytest.mark.parametrize("place", [0, 1, -1])
@pytest.mark.parametrize("form", ["choice", "number-choice"])
def test_always_the_same_place(form: str, place: int) -> None:
    """Always a, always b, always the last: chance."""
    assert earned(form, lambda p: p.lines[place][0]) <= chance(form) + POINTS


@pytest.mark.parametrize("machine", [longest, shortest])
def test_the_longest_and_the_shortest(machine: Callable[[Put], str]) -> None:
    """Length tells nothing."""
    assert earned("choice", machine) <= chance("choice") + POINTS


def test_keys_and_distractors_are_as_long_as_each_other() -> None:
    """Key against the mean of its distractors, pair by pair: no shift (Wilcoxon), means within 5 %."""
    once = {frozenset(p.lines): p for p in puts("choice")}.values()
    pairs = [
        (len(next(t for i, t in p.lines if i in p.key)), mean(len(t) for i, t in p.lines if i not in p.key))
        for p in once
    ]
    assert wilcoxon([a - b for a, b in pairs]).pvalue > 0.05
    assert mean(a for a, _ in pairs) == pytest.approx(mean(b for _, b in pairs), rel=0.05)


@pytest.mark.parametrize("rank", [0, 1, 2])
def test_the_middle_number(rank: int) -> None:
    """Always the least, the middle or the greatest number: chance."""
    blind = mean(1.0 / sum(t != NEVER_TEXT for _, t in p.lines) for p in puts("number-choice"))
    assert earned("number-choice", lambda p: by_size(p, rank)) <= blind + POINTS


def test_it_never_happens() -> None:
    """Where "it does not happen" is offered, it is no better than chance."""
    offered = [p for p in puts("number-choice") if any(t == NEVER_TEXT for _, t in p.lines)]
    right = mean(p.share(next(i for i, t in p.lines if t == NEVER_TEXT)) for p in offered)
    assert right <= 1.0 / 3.0 + POINTS


def _random_ticks(put: Put, count: int) -> float:
    ways: Sequence[tuple[str, ...]] = list(combinations(sorted(i for i, _ in put.lines), count))
    return mean(put.share(way) for way in ways)


def test_the_first_k_statements() -> None:
    """Who ticks the first k lines, k being right, earns what k lines at random earn."""
    first = mean(p.share(tuple(sorted(i for i, _ in p.lines[: len(p.key)]))) for p in puts("several"))
    blind = mean(_random_ticks(p, len(p.key)) for p in puts("several"))
    assert first <= blind + POINTS
