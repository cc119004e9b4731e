"""Which readings spoke for a verdict and which against it, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.case_words import shown
from glasscan.learning.cases.likelihood import LikelihoodTable, Result, log_likelihood
from glasscan.learning.cases.solver import Field
from glasscan.learning.cases.test_menu import MeasuredReading

LEAST_NATS = 0.7
"""Evidence below this, odds of two to one, is not worth a sentence (PRACTICE)."""
TOLD = 3
"""Readings told on each side."""


@dataclass(frozen=True)
class Spoken:
    """One reading between two faults.

    Attributes:
        reading: what was read.
        value: what it showed.
        nats: evidence for the first fault against the second; negative where it speaks for the second.
        expected: typical values with the first and with the second fault.
    """

    reading: MeasuredReading
    value: float
    nats: float
    expected: tuple[float, float]


def spoken(
    tests: Field, noted: Result, made: Sequence[tuple[str, Result]], first: str, second: str
) -> list[Spoken]:
    """Every reading of complaint and tests between two suspects.

    Args:
        tests: sheets of the case.
        noted: what the flight line noted.
        made: words of the tests ordered, with their results.
        first, second: codes of the two suspects.
    """
    rows = [(tests.complaint, noted), *((tests.sheets[word], result) for word, result in made)]
    places = [tests.atlas.suspects.index(code) for code in (first, second)]
    found = [_between(sheet, result, k, places) for sheet, result in rows for k in range(len(sheet.reads))]
    return sorted(found, key=lambda one: -abs(one.nats))


def _between(sheet: LikelihoodTable, result: Result, k: int, places: list[int]) -> Spoken:
    one = LikelihoodTable((sheet.reads[k],), sheet.places[:, :, k : k + 1], sheet.spread[:, :, k : k + 1])
    heard = log_likelihood(one, (result[k],))[places]
    peak = heard.max(axis=1)
    level = peak + np.log(np.exp(heard - peak[:, None]).mean(axis=1))  # all sizes of a fault alike
    typical = np.median(sheet.places[places, :, k], axis=1)
    first, second = (_expected(sheet.reads[k], float(place)) for place in typical)
    return Spoken(sheet.reads[k], result[k], float(level[0] - level[1]), (first, second))


def _expected(reading: MeasuredReading, place: float) -> float:
    return float(place > 0.5) if reading.scale == "yes-no" else reading.value(place)


def in_words(found: Sequence[Spoken], first: str, second: str, against: bool) -> list[str]:
    """The weightiest readings of one side as sentences.

    Args:
        found: between the two.
        first, second: their codes.
        against: tell those that speak for the second instead.
    """
    names = [" and ".join(fault.title.lower() for fault in parts_of(code)) for code in (first, second)]
    side = [s for s in found if (s.nats < 0.0) == against and abs(s.nats) >= LEAST_NATS][:TOLD]
    chosen = names[1] if against else names[0]
    return [
        f"{_capital(s.reading.label)} was {shown(s.reading, s.value)}. Usual with {names[0]}: "
        f"{shown(s.reading, s.expected[0])}; with {names[1]}: {shown(s.reading, s.expected[1])}. "
        f"That speaks for {chosen}."
        for s in side
    ]


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"
