"""Belief over faults and severities, and the test that tells most per minute."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glasscan.faults.fault_data import faults, joined, partners
from glasscan.learning.cases.atlas import Atlas
from glasscan.learning.cases.case_rig import cured
from glasscan.learning.cases.likelihood import (
    FINE,
    LikelihoodTable,
    Result,
    divergence,
    log_likelihood,
    sheet,
    with_stray,
)
from glasscan.learning.cases.test_menu import MeasuredReading, Test, menu, tests_for
from glasscan.learning.scoring.belief import entropy_bits

Floats = NDArray[np.float64]
SURE = 0.98
"""Belief at which the reference stops testing and names the fault (invented)."""
LEAST_BITS = 0.004
"""A test that tells less than this on average is not worth ordering (invented)."""
DRAWS = 48
"""Results drawn to work out what a test tells on average."""
FAINT = 1e-5
"""Share of belief below which a cell is left out of that average."""
DOUBLE_SHARE = 0.3
"""How often a fault with partners comes with one of them, where double faults are looked for (invented)."""
DECIDED_NATS = 6.0
"""Evidence that all available tests together must bring on average against every other fault (invented)."""


@dataclass(frozen=True)
class Field:
    """All tests of a filter in a layout as sheets.

    Attributes:
        atlas: observables.
        errors: factor on reading errors.
        runnable: False where the rig must not be run: it shows no oil pressure.
        doubles: double faults are looked for as well.
        among: codes of the suspects, or None for all.
    """

    atlas: Atlas
    errors: float = 1.0
    runnable: bool = True
    doubles: bool = False
    among: tuple[str, ...] | None = None

    @cached_property
    def tests(self) -> dict[str, Test]:
        """Tests that may be ordered."""
        allowed = [
            t for t in tests_for(self.atlas.kind) if self.runnable or not (t.needs == "running" or t.runs)
        ]
        return {test.test: test for test in allowed}

    @cached_property
    def sheets(self) -> dict[str, LikelihoodTable]:
        """Their sheets."""
        return {word: sheet(self.atlas, test.reads, self.errors) for word, test in self.tests.items()}

    def sheet(self, word: str, new_filter: bool) -> LikelihoodTable:
        """The sheet of a test; on a rig with a new filter what that cures reads as on the sound rig."""
        made = self.sheets[word]
        return self._swapped[word] if new_filter else made

    @cached_property
    def _swapped(self) -> dict[str, LikelihoodTable]:
        return {word: self._cured(made) for word, made in self.sheets.items()}

    def _cured(self, made: LikelihoodTable) -> LikelihoodTable:
        """Rows of cured faults as on the sound rig; of two faults the one that stays."""
        places, names = np.array(made.places), self.atlas.suspects
        sound = [reading.place(self.atlas.baseline[reading.what]) for reading in made.reads]
        for row, code in enumerate(names):
            left = [c for c in code.split("+") if not cured(x.set for x in faults()[c].changes)]
            if not left:
                places[row] = sound
            elif len(left) < len(code.split("+")):
                places[row] = made.places[names.index(left[0])]
        return replace(made, places=places)

    @cached_property
    def complaint(self) -> LikelihoodTable:
        """Sheet of what the flight line noted."""
        return sheet(self.atlas, menu().complaint, self.errors)

    @cached_property
    def prior(self) -> Floats:
        """(F, S) belief before anything is known."""
        weight = fault_chances(self.atlas, self.doubles)
        if self.among is not None:
            weight = weight * np.array([code in self.among for code in self.atlas.suspects])
        return np.repeat((weight / weight.sum() / FINE)[:, None], FINE, axis=1)

    @cached_property
    def suspects(self) -> tuple[str, ...]:
        """Codes that are held possible before anything is known."""
        held = np.asarray(self.prior.sum(axis=1) > 0.0).tolist()
        return tuple(code for code, possible in zip(self.atlas.suspects, held, strict=True) if possible)

    def narrowed(self, among: tuple[str, ...]) -> Field:
        """The same tests with fewer suspects."""
        less = replace(self, among=among)
        less.__dict__.update(tests=self.tests, sheets=self.sheets, complaint=self.complaint)
        return less


def fault_chances(atlas: Atlas, doubles: bool) -> Floats:
    """How often each suspect of an atlas is what is wrong, (F,), sum 1.

    A fault with partners comes alone, or with one of them, each as often, in `DOUBLE_SHARE` of the cases.
    """
    own = np.array([faults()[code].prior for code in atlas.codes])
    chance = dict.fromkeys(atlas.suspects, 0.0)
    for code, share in zip(atlas.codes, (own / own.sum()).tolist(), strict=True):
        others = partners(faults()[code], atlas.kind, atlas.layout) if doubles else ()
        chance[code] += share * (1.0 - DOUBLE_SHARE) if others else share
        for other in others:
            chance[joined(faults()[code], other)] += share * DOUBLE_SHARE / len(others)
    return np.array(list(chance.values()))


def updated(belief: Floats, made: LikelihoodTable, result: Result) -> Floats:
    """Bayes' rule on the (F, S) grid.

    Raises:
        ValueError: the result is not a number.
    """
    if not np.isfinite(result).all():
        raise ValueError("a result is a number")
    with np.errstate(divide="ignore"):
        joint = np.log(belief) + log_likelihood(made, result)
    weight = np.exp(joint - joint.max())
    return np.asarray(weight / weight.sum())


def information(belief: Floats, made: LikelihoodTable, rng: np.random.Generator) -> float:
    """Doubt about the fault that a test takes away on average, bits, from results drawn under the belief."""
    flat = belief.ravel()
    cells = np.flatnonzero(flat > FAINT * flat.max())
    weight = flat[cells] / flat[cells].sum()
    fault = cells // belief.shape[1]
    doubt = entropy_bits(_by_fault(weight[:, None], fault, belief.shape[0])[:, 0])
    if doubt < 1e-9:
        return 0.0
    steps = (np.arange(DRAWS) + rng.random()) / DRAWS
    drawn = np.minimum(np.searchsorted(np.cumsum(weight), steps), len(cells) - 1)
    chance = _chances(made, cells, drawn, rng)
    posterior = weight[:, None] * np.exp(chance - chance.max(axis=0))
    share = _by_fault(posterior, fault, belief.shape[0])
    share /= share.sum(axis=0)
    left = -np.sum(share * np.log2(np.maximum(share, 1e-300)), axis=0)
    return float(max(doubt - left.mean(), 0.0))


def _by_fault(weight: Floats, fault: NDArray[np.intp], count: int) -> Floats:
    """(F, M) sums of (C, M) cells by fault; the cells stand in order of the fault."""
    found = np.zeros((count, weight.shape[1]))
    begins = np.flatnonzero(np.diff(fault, prepend=-1))
    found[fault[begins]] = np.add.reduceat(weight, begins, axis=0)
    return found


def _chances(
    made: LikelihoodTable, cells: NDArray[np.intp], drawn: NDArray[np.intp], rng: np.random.Generator
) -> Floats:
    """(C, M) log-likelihood of M results drawn from some of the cells."""
    places, spread = made.flat(cells)
    total = np.zeros((len(cells), len(drawn)))
    for k, reading in enumerate(made.reads):
        here, wide = places[:, k, None], spread[:, k, None]
        if reading.scale == "yes-no":
            yes = rng.random(len(drawn)) < places[drawn, k]
            total += np.log(np.where(yes, here, 1.0 - here))
        else:
            at = places[drawn, k] + spread[drawn, k] * rng.standard_normal(len(drawn))
            total += with_stray(reading, (at - here) / wide, wide, made.widths[k])
    return total


def best_test(
    field: Field, belief: Floats, done: Sequence[str], seed: int, new_filter: bool = False
) -> tuple[str, float] | None:
    """The test that tells most per minute, and its bits; None where none is worth it.

    Args:
        field: the tests.
        belief: (F, S).
        done: tests that were made.
        seed: of the draws.
        new_filter: the filter was changed: only a part that was kept still reads the old one.
    """
    best: tuple[float, str, float] | None = None
    gone = {*done, *(word for test in done for word in field.tests[test].destroys)}
    for k, (word, test) in enumerate(field.tests.items()):
        if word in gone:
            continue
        made = field.sheet(word, new_filter and not test.old_part)
        bits = information(belief, made, np.random.default_rng([seed, len(done), k]))
        rate = bits / test.cost_min
        if bits > LEAST_BITS and (best is None or rate > best[0]):
            best = (rate, word, bits)
    return None if best is None else best[1:]


def fault_belief(field: Field, belief: Floats) -> dict[str, float]:
    """Belief of each suspect, summed over severities."""
    every = dict(zip(field.atlas.suspects, belief.sum(axis=1).tolist(), strict=True))
    return {code: every[code] for code in field.suspects}


def margins(field: Field, code: str, values: Mapping[str, float]) -> dict[str, float]:
    """Evidence that all tests and the complaint bring on average against every other fault, nats.

    Args:
        field: the tests available.
        code: the true fault.
        values: its true observables.
    """

    def said(made: LikelihoodTable, reads: Sequence[MeasuredReading]) -> Floats:
        return divergence(made, [r.place(values[r.what]) for r in reads], field.errors)

    total = said(field.complaint, menu().complaint)
    for word, test in field.tests.items():
        total = total + said(field.sheets[word], test.reads)
    least = dict(zip(field.atlas.suspects, total.min(axis=1).tolist(), strict=True))
    return {other: least[other] for other in field.suspects if other != code}


def margins_between(field: Field, code: str, other: str) -> dict[str, float]:
    """Evidence that each test brings for one suspect against another, nats, mean over severities.

    Of the other, the severity that looks most like it counts, for each test by itself.

    Args:
        field: the tests available.
        code: what is taken to be true.
        other: what it is to be told from.
    """
    one, two = field.atlas.suspects.index(code), field.atlas.suspects.index(other)
    found = {}
    for word, test in field.tests.items():
        made = field.sheets[word]
        each = [divergence(made, place, field.errors)[two].min() for place in made.places[one, ::4].tolist()]
        found[word] = float(np.mean(each)) if test.reads else 0.0
    return found


def decidable(field: Field, code: str, values: Mapping[str, float]) -> bool:
    """Whether the available tests separate a suspect from every other one."""
    return min(margins(field, code, values).values()) >= DECIDED_NATS
