"""A short case inside a lesson: a few suspects, a few tests, and what each test leaves standing.

The fault is one of the fault data; every reading comes from the model of the rig that has it, without
reading error. A suspect still stands after a test where the model, at some severity of it, gives the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from glasscan.faults.fault_data import Fault, faults
from glasscan.faults.observables import Values, observe, subject
from glasscan.learning.cases.atlas import sound_rig
from glasscan.learning.cases.case_words import PLAIN, complaint_sentence, result_lines
from glasscan.learning.cases.generate import LEAST_RUN_KPA, MOST_LEAK_ML_MIN
from glasscan.learning.cases.test_menu import MeasuredReading, Test, menu, tests_for


class CaseOf(Protocol):
    """What a file says of a short case; see `question_types.diagnose.CaseForm`."""

    filter_kind: Literal["can", "cartridge", "disc"]
    regulator: Literal["before", "after"]
    fault: str
    severity: float
    suspects: tuple[str, ...]
    tests: tuple[str, ...]


SEVERITIES = tuple(np.linspace(0.0, 1.0, 7).tolist())
FINE = 121
"""Severities compared; between two of the model's own the readings are interpolated on their scales."""
ERRORS = 3.0
"""Standard errors within which two readings count as the same."""
LEAST_CHANCE = 0.2
"""A yes or no that comes less often than this under a suspect speaks against it."""


@dataclass(frozen=True)
class Offered:
    """A test of the case.

    Attributes:
        test: of the menu.
        result: its readings in words, the sound rig's beside.
        leaves: suspects that stand after it.
    """

    test: Test
    result: str
    leaves: frozenset[str]


@dataclass(frozen=True)
class ShortCase:
    """All of a case; what a learner may see is complaint, suspects, tests, and results of bought tests.

    Attributes:
        fault: the hidden one.
        suspects: by code, in the order of the file.
        complaint: what the flight line says.
        fits: suspects that fit the complaint.
        runnable: the complaint does not forbid running the rig.
        tests: offered, by word.
    """

    fault: Fault
    suspects: Mapping[str, Fault]
    complaint: str
    fits: frozenset[str]
    runnable: bool
    tests: Mapping[str, Offered]

    def standing(self, bought: Iterable[str]) -> frozenset[str]:
        """Suspects that stand after some tests."""
        left = self.fits
        for word in bought:
            left &= self.tests[word].leaves
        return left

    def cost_min(self, bought: Iterable[str]) -> float:
        """Minutes of some tests."""
        return sum(self.tests[word].test.cost_min for word in bought)

    @property
    def cheapest(self) -> tuple[str, ...] | None:
        """The safe tests that leave the fault alone for the fewest minutes; None where no way does."""
        safe = [word for word in self.tests if not self.danger(word)]
        ways = [w for n in range(len(safe) + 1) for w in combinations(safe, n) if len(self.standing(w)) == 1]
        best = min(ways, key=self.cost_min, default=None)
        return None if best is None else tuple(sorted(best, key=lambda word: self.cost_min([word])))

    def danger(self, word: str) -> str:
        """Why a test must not be made, or ""."""
        test = self.tests[word].test
        if (test.needs == "running" or test.runs) and not self.runnable:
            return "run for a test although what was noted forbids a start"
        return ""


@lru_cache(maxsize=64)
def short_case(form: CaseOf) -> ShortCase:
    """Work a case out; takes some seconds the first time.

    Raises:
        ValueError: a suspect or test is not of this filter; the text says which.
    """
    named = {code: faults()[code] for code in form.suspects}
    offered = {test.test: test for test in tests_for(form.filter_kind)}
    rig = sound_rig(form.filter_kind, form.regulator)
    sound = observe(subject(None, 0.0, rig))
    truth = observe(subject(named[form.fault], form.severity, rig))
    charts = {c: [observe(subject(f, s, rig)) for s in SEVERITIES] for c, f in named.items()}
    noted = readings(menu().complaint, truth)
    told = dict(zip((r.what for r in menu().complaint), noted, strict=True))
    runnable = told["gauge_idle_kpa"] >= LEAST_RUN_KPA and told["leak_cruise_ml_min"] <= MOST_LEAK_ML_MIN
    return ShortCase(
        named[form.fault],
        named,
        complaint_sentence(noted, sound),
        _remarked(truth, sound, charts),
        runnable,
        {word: _offered(offered[word], truth, sound, charts) for word in form.tests},
    )


def readings(reads: Sequence[MeasuredReading], values: Values) -> tuple[float, ...]:
    """What dials of a test show, without error: 1 or 0 for yes or no."""
    return tuple(_shown(reading, values[reading.what]) for reading in reads)


def _shown(reading: MeasuredReading, value: float) -> float:
    return float(value > 0.5) if reading.scale == "yes-no" else reading.value(reading.place(value))


def _offered(test: Test, truth: Values, sound: Values, charts: Mapping[str, list[Values]]) -> Offered:
    lines = result_lines(test.reads, readings(test.reads, truth), sound)
    return Offered(test, "; ".join(lines).replace("degC", "°C"), _fitting(test.reads, truth, charts))


def _remarked(truth: Values, sound: Values, charts: Mapping[str, list[Values]]) -> frozenset[str]:
    """Suspects of which some severity makes the flight line remark on the same things."""
    wanted = _remarks(truth, sound)
    return frozenset(c for c, rows in charts.items() if any(_remarks(row, sound) == wanted for row in rows))


def _remarks(values: Values, sound: Values) -> tuple[int, ...]:
    """For each reading of the flight line: 1 = remarkably high, or yes; -1 = remarkably low; 0 = as usual."""
    return tuple(_sign(reading, values[reading.what], sound[reading.what]) for reading in menu().complaint)


def _sign(reading: MeasuredReading, value: float, healthy: float) -> int:
    if reading.scale == "yes-no":
        return int(value > 0.5)
    away = (reading.place(value) - reading.place(healthy)) / reading.deviation(1.0)
    return 1 if away > PLAIN else -1 if away < -PLAIN else 0


def _fitting(
    reads: Sequence[MeasuredReading], truth: Values, charts: Mapping[str, list[Values]]
) -> frozenset[str]:
    """Suspects of which some severity gives every reading as the true fault does."""
    return frozenset(
        code for code, rows in charts.items() if np.all([_same(r, truth, rows) for r in reads], axis=0).any()
    )


def _same(reading: MeasuredReading, truth: Values, rows: Sequence[Values]) -> NDArray[np.bool_]:
    """(FINE,) severities of a suspect at which a reading is as the true fault gives it."""
    known = [reading.place(row[reading.what]) for row in rows]
    places = np.interp(np.linspace(0.0, 1.0, FINE), SEVERITIES, known)
    ours = truth[reading.what]
    if reading.scale == "yes-no":
        return np.asarray((places if ours > 0.5 else 1.0 - places) >= LEAST_CHANCE)
    return np.abs(places - reading.place(ours)) <= ERRORS * reading.deviation(1.0)
