"""The reference path: belief, next best test, until one fault is sure or no test is worth its minutes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glasscan.learning.cases.generate import Hidden, field_for
from glasscan.learning.cases.likelihood import Result
from glasscan.learning.cases.solver import SURE, Floats, best_test, fault_belief, updated


@dataclass(frozen=True)
class ReferenceStep:
    """One test of a path: its word, result, expected bits and the beliefs after it."""

    test: str
    result: Result
    bits: float
    beliefs: dict[str, float]


@dataclass(frozen=True)
class ReferencePath:
    """The whole path.

    Attributes:
        first: beliefs after the complaint.
        steps: in order.
        verdict: fault named, or None for "cannot tell yet".
        cost_min: minutes of all tests.
    """

    first: dict[str, float]
    steps: tuple[ReferenceStep, ...]
    verdict: str | None
    cost_min: float

    @property
    def beliefs(self) -> dict[str, float]:
        """Beliefs at the end."""
        return self.steps[-1].beliefs if self.steps else self.first


SOFT = 0.25
"""Power that turns a belief into that of somebody who trusts no sizes told in a complaint (PRACTICE)."""


def softened(belief: Floats) -> Floats:
    """A belief in which a complaint alone decides nothing."""
    soft: Floats = np.asarray(belief**SOFT * (belief > 0.0))
    return np.asarray(soft / soft.sum())


TELLS = 0.8
"""Belief below which the reference says "cannot tell yet" (invented)."""


def reference_path(hidden: Hidden, level: int) -> ReferencePath:
    """Play a case without knowing its fault: only the complaint and the results ordered are looked at.

    At least one test is ordered where any can tell: a part is not condemned on a complaint alone.
    """
    tests = field_for(hidden, level)
    belief = updated(tests.prior, tests.complaint, hidden.complaint)
    first, cost = fault_belief(tests, belief), 0.0
    steps: list[ReferenceStep] = []
    beliefs = first
    while max(beliefs.values()) < SURE or not steps:
        done = [step.test for step in steps]
        found = best_test(tests, belief, done, hidden.seed)
        if found is None and not steps:  # as good as sure by the complaint: then what would prove it best
            found = best_test(tests, softened(belief), done, hidden.seed)
        if found is None:
            break
        word, bits = found
        result = hidden.result(tests.tests[word], level)
        belief = updated(belief, tests.sheets[word], result)
        beliefs = fault_belief(tests, belief)
        cost += tests.tests[word].cost_min
        steps.append(ReferenceStep(word, result, bits, beliefs))
    named = max(beliefs, key=lambda code: beliefs[code])
    return ReferencePath(first, tuple(steps), named if beliefs[named] >= TELLS else None, cost)
