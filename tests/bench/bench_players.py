"""Scores of four players over many hidden faults: `python -m tests.bench.bench_players 20`.

Guessing: a verdict at once. Careless: one test, then a suspect drawn by a belief that takes sizes
for nothing. Careful: down the menu, a hypothesis before each test, until one fault is believed to 90 %.
Reference: the path of the program. They must come in that order, far apart.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable
from statistics import mean

from glasscan.learning.cases.case_play import CANNOT_TELL, Case, field_of
from glasscan.learning.cases.reference import TELLS, reference_path
from glasscan.learning.cases.scoring import own_path, review

KINDS, LEVEL = ("can", "cartridge", "disc"), 2
ENOUGH, DOUBT = 0.9, 0.4
APART = 0.08
"""Least distance between the mean scores of two players (PRACTICE)."""

Player = Callable[[Case, random.Random], None]


def made_ready(case: Case, word: str) -> None:
    """The acts that a test asks for."""
    needs = case.menu[word].needs
    if needs == "running" and not case.running:
        case.act("start")
    if needs in ("stopped", "open") and case.running:
        case.act("stop")
    if needs == "open" and case.trapped:
        case.act("release")


def ordered(case: Case, word: str) -> None:
    """A hypothesis, the acts, and the test."""
    case.think([best(case)[0]])
    made_ready(case, word)
    case.order(word)


def best(case: Case) -> tuple[str, float]:
    """What is most believed after the tests so far."""
    tests = field_of(case)
    own = own_path(case, tests)
    beliefs = own[-1].beliefs if own else reference_path(case.hidden, case.level).first
    code = max(beliefs, key=lambda c: beliefs[c])
    return code, beliefs[code]


def guessing(case: Case, dice: random.Random) -> None:
    """A verdict at once."""
    case.decide(dice.choice(case.suspects))


def careless(case: Case, dice: random.Random) -> None:
    """One test out of the menu, then a suspect that seems to fit."""
    allowed = field_of(case).tests
    case.think([dice.choice(case.suspects)])
    word = dice.choice([w for w in allowed if case.menu[w].needs in ("papers", "stopped", "running")])
    made_ready(case, word)
    case.order(word)
    own = own_path(case, field_of(case))[-1].beliefs
    case.decide(dice.choices(list(own), [share**DOUBT for share in own.values()])[0])


def careful(case: Case, dice: random.Random) -> None:
    """Down the menu, until one fault is believed."""
    del dice
    allowed = list(field_of(case).tests.values())
    for test in allowed:
        if best(case)[1] >= ENOUGH and case.tests_done:
            break
        if not any(test.test in case.menu[done].destroys for done in case.tests_done):
            ordered(case, test.test)
    code, belief = best(case)
    case.decide(code if belief >= TELLS / 2 else CANNOT_TELL)


def reference(case: Case, dice: random.Random) -> None:
    """The path of the program."""
    del dice
    path = reference_path(case.hidden, case.level)
    for step in path.steps:
        ordered(case, step.test)
    case.decide(path.verdict or CANNOT_TELL)


PLAYERS: dict[str, Player] = {
    "guessing": guessing,
    "careless": careless,
    "careful": careful,
    "reference": reference,
}


def scores(count: int, kinds: tuple[str, ...] = KINDS) -> dict[str, float]:
    """Mean score of each player over the first seeds of some filters."""
    found: dict[str, list[float]] = {name: [] for name in PLAYERS}
    for kind in kinds:
        for seed in range(count):
            for name, play in PLAYERS.items():
                case = Case.begin(seed, kind, LEVEL)
                play(case, random.Random(seed))
                found[name].append(review(case).score.score)
    return {name: mean(rows) for name, rows in found.items()}


if __name__ == "__main__":
    for player, score in scores(int(sys.argv[1]) if len(sys.argv) > 1 else 20).items():
        print(f"{player:<12}{score:.2f}")
