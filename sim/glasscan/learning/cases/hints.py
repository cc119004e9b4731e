"""Help during a case, for a price: which faults give this picture, and a ladder of three hints.

All of it is worked out from what the trainee sees: complaint, results, likelihoods. The hidden fault is not
asked, so a hint can be wrong where the readings are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from glasscan.learning.cases.case_play import Case, RefusedError, field_of
from glasscan.learning.cases.doubt_words import halving
from glasscan.learning.cases.likelihood import log_likelihood
from glasscan.learning.cases.solver import Field, best_test, fault_belief, margins_between, updated

Floats = np.ndarray
Rung = Literal[1, 2, 3]

ALIKE_NATS = 3.0
"""A fault gives the same picture where its best likelihood is within a factor of twenty (invented)."""
PARTS = ((5.0, "clearly"), (2.0, "well"), (0.5, "in part"), (0.0, "hardly"))
"""Evidence in nats from which a test parts two faults so well (invented)."""


@dataclass(frozen=True)
class LookAlike:
    """A fault that gives the picture seen so far.

    Attributes:
        code: of the fault.
        ratio: its likelihood over that of the fault that fits best, 0..1; what was noted and read, no priors.
    """

    code: str
    ratio: float


@dataclass(frozen=True)
class Telling:
    """A test that parts two faults.

    Attributes:
        test: its word.
        nats: evidence that it brings on average where the two are hardest to tell.
        cost_min: minutes.
    """

    test: str
    nats: float
    cost_min: float

    @property
    def word(self) -> str:
        """How well it parts them, for people."""
        return next(word for least, word in PARTS if self.nats >= least)


@dataclass(frozen=True)
class Hint:
    """One rung of the ladder.

    Attributes:
        rung: 1 where to look, 2 which principle, 3 the worked step.
        text: one or two sentences.
        price: taken off the score.
        test: word of the test, on the third rung only.
    """

    rung: Rung
    text: str
    price: float
    test: str | None = None


def look_alikes(case: Case) -> tuple[LookAlike, ...]:
    """Faults that give the picture seen so far, in order of the code; noted in the record.

    Raises:
        RefusedError: the case is over, or its level gives no help.
    """
    case.helped("look-alikes")
    tests = field_of(case)
    fits = _fits(case, tests)
    best = max(fits.values())
    near = {code: value for code, value in fits.items() if value > best - ALIKE_NATS}
    return tuple(LookAlike(code, float(np.exp(near[code] - best))) for code in sorted(near))


def _fits(case: Case, tests: Field) -> dict[str, float]:
    """Best log-likelihood of each suspect over its severities, for all that was noted and read."""
    total, new = log_likelihood(tests.complaint, case.noted), case.on_new_filter()
    for entry in case.entries:
        if entry.what == "test":
            made = tests.sheet(entry.words[0], new[entry.words[0]])
            total = total + log_likelihood(made, entry.result)
    best = np.where(tests.prior > 0.0, total, -np.inf).max(axis=1)
    return {code: float(v) for code, v in zip(tests.atlas.suspects, best, strict=True) if np.isfinite(v)}


def tell_apart(case: Case, one: str, other: str) -> tuple[Telling, ...]:
    """Tests that part two faults, the most telling per minute first; general knowledge, free at any level.

    Raises:
        RefusedError: no such fault on this rig.
    """
    tests = field_of(case)
    codes = case.fault_code(one), case.fault_code(other)
    found = margins_between(tests, *codes)
    told = [Telling(word, nats, tests.tests[word].cost_min) for word, nats in found.items() if nats > 0.05]
    return tuple(sorted(told, key=lambda t: -t.nats / t.cost_min))


def hint(case: Case, step: Rung) -> Hint:
    """A rung of the ladder for where the case stands now; noted in the record.

    Raises:
        RefusedError: the case is over, or its level gives no help.
    """
    if step not in (1, 2, 3):
        raise RefusedError("hint: expected 1, 2 or 3")
    price = case.helped(f"hint-{step}")
    tests = field_of(case)
    belief = evidence(case, tests)
    found = best_test(tests, belief, case.tests_done, case.seed, case.rig.swapped)
    if found is None:
        text = "No test left is worth its minutes: decide, or say that you cannot tell yet."
        return Hint(step, text, price)
    word, bits = found
    test = tests.tests[word]
    if step < 3:
        return Hint(step, test.area if step == 1 else test.principle, price)
    text = (
        f"{test.title}: {test.cost_min:g} min. On average such a test {halving(bits / test.cost_min)}, "
        f"sooner than any other now. {_strongest(fault_belief(tests, belief))}"
    )
    return Hint(step, text, price, word)


def _strongest(beliefs: Mapping[str, float]) -> str:
    best = [code for code in sorted(beliefs, key=lambda code: -beliefs[code])[:3] if beliefs[code] >= 0.01]
    if len(best) == 1:
        return f"The readings speak for {best[0]} so far; it would confirm that."
    return f"The readings speak for {', '.join(f'{code} ({beliefs[code]:.0%})' for code in best)} so far."


def evidence(case: Case, tests: Field) -> Floats:
    """(F, S) belief that follows from complaint and results so far."""
    belief, new = updated(tests.prior, tests.complaint, case.noted), case.on_new_filter()
    for entry in case.entries:
        if entry.what == "test":
            belief = updated(belief, tests.sheet(entry.words[0], new[entry.words[0]]), entry.result)
    return belief
