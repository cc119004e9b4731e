"""The reference path: belief, next best test, until one fault is sure or no test is worth its minutes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from glasscan.learning.cases.case_rig import least_minutes
from glasscan.learning.cases.generate import Hidden, field_for
from glasscan.learning.cases.likelihood import Result
from glasscan.learning.cases.solver import SURE, Floats, best_test, fault_belief, updated
from glasscan.learning.cases.test_menu import Test


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
        cost_min: minutes of all tests, with the stops, releases and starts they ask for.
    """

    first: dict[str, float]
    steps: tuple[ReferenceStep, ...]
    verdict: str | None
    cost_min: float

    @property
    def beliefs(self) -> dict[str, float]:
        """Beliefs at the end."""
        return self.steps[-1].beliefs if self.steps else self.first


END = ""
"""Stands for the end of a path among its tests."""


def told_new(
    steps: Sequence[ReferenceStep], menu: Mapping[str, Test], at_end: bool = False
) -> dict[str, bool]:
    """Tests of a path, each with whether it reads a new filter; `at_end`: also whether the next would."""
    found, swapped = dict[str, bool](), False
    for step in steps:
        test = menu[step.test]
        found[step.test] = swapped and not test.old_part
        swapped = swapped or test.swaps
    return found | ({END: swapped} if at_end else {})


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
    first = fault_belief(tests, belief)
    steps: list[ReferenceStep] = []
    beliefs = first
    while max(beliefs.values()) < SURE or not steps:
        swapped = told_new(steps, tests.tests, at_end=True)[END]
        done = [step.test for step in steps]
        found = best_test(tests, belief, done, hidden.seed, swapped)
        if found is None and not steps:  # as good as sure by the complaint: then what would prove it best
            found = best_test(tests, softened(belief), done, hidden.seed)
        if found is None:
            break
        word, bits = found
        new = swapped and not tests.tests[word].old_part
        result = hidden.result(tests.tests[word], level, new)
        belief = updated(belief, tests.sheet(word, new), result)
        beliefs = fault_belief(tests, belief)
        steps.append(ReferenceStep(word, result, bits, beliefs))
    cost = least_minutes([tests.tests[step.test] for step in steps])
    named = max(beliefs, key=lambda code: beliefs[code])
    return ReferencePath(first, tuple(steps), named if beliefs[named] >= TELLS else None, cost)
