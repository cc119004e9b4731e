"""How likely a test's result is under every fault and severity, and results drawn with reading error."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glasscan.learning.cases.atlas import PAIR_SEVERITIES, SEVERITIES, Atlas
from glasscan.learning.cases.test_menu import MeasuredReading

Floats = NDArray[np.float64]
SIDE = 5
FINE = SIDE * SIDE
"""Severities of the belief grid: 25 of a fault, 5 by 5 of a double fault; between those worked out by the
model the observables are interpolated."""

EITHER = ("crept", "sudden")
"""Answers of the log that exclude each other."""
ROOT_2PI = (2.0 * np.pi) ** 0.5

Result = tuple[float, ...]
"""One number for each reading: a value in its unit, or 1 and 0 for yes and no."""


@dataclass(frozen=True)
class LikelihoodTable:
    """A test's readings under every suspect (faults, then double faults) and severity.

    Attributes:
        reads: the R readings.
        places: (F, S, R) true values on each reading's scale (chance of a yes for yes-no).
        spread: (F, S, R) standard error on the scale, with the step between two severities; 0 for yes-no.
    """

    reads: tuple[MeasuredReading, ...]
    places: Floats
    spread: Floats

    def flat(self, cells: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """Places and spread of some cells of the (F, S) grid, (C, R) each."""
        r = len(self.reads)
        return self.places.reshape(-1, r)[cells], self.spread.reshape(-1, r)[cells]

    @cached_property
    def widths(self) -> tuple[float, ...]:
        """Width of each reading's scale in use."""
        return tuple(_width(self.places[:, :, k], self.spread[:, :, k]) for k in range(len(self.reads)))


def sheet(atlas: Atlas, reads: Sequence[MeasuredReading], errors: float = 1.0) -> LikelihoodTable:
    """The sheet of a test.

    Args:
        atlas: of the filter.
        reads: readings of the test.
        errors: factor on all reading errors.
    """
    places = np.stack([_placed(atlas, reading) for reading in reads], axis=-1)
    spread = np.zeros_like(places)
    for k, reading in enumerate(reads):
        if reading.scale != "yes-no":
            step = _steps(places[:, :, k], len(atlas.codes))
            spread[:, :, k] = np.sqrt(reading.deviation(errors) ** 2 + step / 3.0)
    return LikelihoodTable(tuple(reads), places, spread)


def _placed(atlas: Atlas, reading: MeasuredReading) -> Floats:
    place = np.vectorize(reading.place, otypes=[float])
    coarse = place(atlas.column(reading.what))
    fine = np.linspace(0.0, 1.0, FINE)
    single = np.array([np.interp(fine, SEVERITIES, row) for row in coarse])
    if not atlas.pairs:
        return single
    side = np.linspace(0.0, 1.0, SIDE)
    weight = np.array([np.interp(side, PAIR_SEVERITIES, unit) for unit in np.eye(len(PAIR_SEVERITIES))])
    squares = place(atlas.pair_column(reading.what))
    double = np.einsum("ai,bj,pab->pij", weight, weight, squares).reshape(len(squares), FINE)
    return np.concatenate([single, double])


def _steps(places: Floats, singles: int) -> Floats:
    """Square of half the step to the next severity, (F, S); both ways for double faults."""
    line = (0.5 * np.asarray(np.gradient(places[:singles], axis=1))) ** 2
    square = places[singles:].reshape(-1, SIDE, SIDE)
    if not len(square):
        return np.asarray(line)
    both = [0.5 * np.asarray(np.gradient(square, axis=axis)) for axis in (1, 2)]
    return np.concatenate([line, (both[0] ** 2 + both[1] ** 2).reshape(-1, FINE)])


def draw(
    values: Mapping[str, float],
    reads: Sequence[MeasuredReading],
    rng: np.random.Generator,
    errors: float = 1.0,
) -> Result:
    """A result with reading error and resolution.

    Args:
        values: true observables.
        reads: readings of the test.
        rng: random numbers.
        errors: factor on all reading errors.
    """
    drawn = {r.what: _drawn(r, values[r.what], rng, errors) for r in reads}
    if min(drawn.get(name, 0.0) for name in EITHER) > 0.5:  # one history: it crept or it came at once
        drawn[min(EITHER, key=lambda name: values[name])] = 0.0
    return tuple(drawn[r.what] for r in reads)


def _drawn(reading: MeasuredReading, value: float, rng: np.random.Generator, errors: float) -> float:
    place = reading.place(value)
    if reading.scale == "yes-no":
        return float(rng.random() < place)
    luck = 0.0 if reading.is_beyond(value) or reading.is_nothing(value) else 1.0  # the tool shows its end
    return reading.value(place + luck * reading.error * errors * float(rng.standard_normal()))


def log_likelihood(made: LikelihoodTable, result: Result) -> Floats:
    """Natural logarithm of the likelihood of a result, (F, S); constants left out."""
    total = np.zeros(made.places.shape[:2])
    for k, (reading, got) in enumerate(zip(made.reads, result, strict=True)):
        total += log_chance(reading, got, made.places[:, :, k], made.spread[:, :, k], made.widths[k])
    return total


def log_chance(reading: MeasuredReading, got: float, places: Floats, spread: Floats, width: float) -> Floats:
    """The same for one reading."""
    if reading.scale == "yes-no":
        return np.asarray(np.log(places if got > 0.5 else 1.0 - places))
    return with_stray(reading, (reading.place(got) - places) / spread, spread, width)


def with_stray(reading: MeasuredReading, errors: Floats, spread: Floats, width: float) -> Floats:
    """Logarithm of a Gaussian density, mixed with that of a reading that may be anything over a width.

    Args:
        reading: tells how often readings are simply wrong.
        errors: distance in standard errors.
        spread: standard error on the scale.
        width: of the scale in use.
    """
    good = np.log((1.0 - reading.stray) / (ROOT_2PI * spread)) - 0.5 * errors**2
    return np.asarray(np.logaddexp(good, np.log(reading.stray / width)))


def _width(places: Floats, spread: Floats) -> float:
    return float(np.ptp(places) + 2.0 * ROOT_2PI * spread.max())


def divergence(made: LikelihoodTable, truth: Sequence[float], errors: float = 1.0) -> Floats:
    """What a result says on average against every fault and severity, for the truth, nats (F, S).

    Gaussian readings: half the squared distance in standard errors, at most what a stray reading leaves;
    yes-no: Kullback-Leibler divergence.

    Args:
        made: sheet of the test.
        truth: true value of each reading on its scale.
        errors: factor on all reading errors.
    """
    total = np.zeros(made.places.shape[:2])
    for k, (reading, place) in enumerate(zip(made.reads, truth, strict=True)):
        other = made.places[:, :, k]
        if reading.scale == "yes-no":
            total += place * np.log(place / other) + (1 - place) * np.log((1 - place) / (1 - other))
        else:
            wide = np.maximum(made.spread[:, :, k], reading.deviation(errors))
            total += np.minimum(0.5 * ((place - other) / wide) ** 2, -np.log(reading.stray))
    return total
