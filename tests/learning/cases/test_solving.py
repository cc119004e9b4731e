"""Belief, likelihood and the reference path: against scipy, against each other and over many seeds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from glasscan.faults.observables import observe, subject_of
from glasscan.faults.subject import Subject
from glasscan.learning.cases.atlas import atlas
from glasscan.learning.cases.case_words import result_lines
from glasscan.learning.cases.generate import ERRORS, field, generate, rigs
from glasscan.learning.cases.likelihood import draw, log_likelihood, sheet
from glasscan.learning.cases.reference import reference_path
from glasscan.learning.cases.solver import DECIDED_NATS, Field, fault_belief, information, margins, updated
from glasscan.learning.cases.test_menu import MeasuredReading, menu
from glasscan.learning.scoring.belief import information_bits, update, yes_no
from scipy.stats import norm

SEEDS = 20
KINDS = ("can", "cartridge", "disc")


@pytest.fixture(scope="module")
def tests() -> Field:
    """Tests of the spin-on filter, regulator after it."""
    return field("can", "after", 2, True)


def reading(**change: object) -> MeasuredReading:
    """A reading of the gauge at hot idle."""
    values = {"what": "gauge_idle_kpa", "label": "gauge", "scale": "linear", "error": 5.0}
    return MeasuredReading.model_validate(values | change)


def test_likelihood_is_the_gaussian_of_scipy(tests: Field) -> None:
    """Near its place a reading's density is scipy.stats.norm's, less the share of stray readings."""
    made = sheet(tests.atlas, [reading()])
    mine = log_likelihood(made, (230.0,))
    theirs = norm.logpdf(230.0, made.places[:, :, 0], made.spread[:, :, 0]) + np.log(1 - 1e-3)
    near = np.abs(made.places[:, :, 0] - 230.0) < made.spread[:, :, 0]
    assert near.any()
    assert mine[near] == pytest.approx(theirs[near], abs=2e-3)


def test_a_stray_reading_is_never_impossible(tests: Field) -> None:
    """A reading a hundred standard errors away still leaves a chance of a misreading."""
    made = sheet(tests.atlas, [reading(error=0.01)])
    chances = log_likelihood(made, (5000.0,))
    assert np.isfinite(chances).all()
    assert np.ptp(chances) < 1.0


def test_belief_is_bayes_rule(tests: Field) -> None:
    """A yes-no test on the grid gives what the plain rule gives for its faults."""
    made = tests.sheets["part-number"]
    belief = updated(tests.prior, made, (1.0,))
    chance = made.places[:, 0, 0]
    expected = update(tests.prior.sum(axis=1), chance)[: len(tests.suspects)]
    assert list(fault_belief(tests, belief).values()) == pytest.approx(expected.tolist(), rel=1e-9)


def test_information_is_that_of_the_rules(tests: Field) -> None:
    """Bits of a yes-no test by drawn results, against the exact sum over both results."""
    made = tests.sheets["part-number"]
    exact = information_bits(tests.prior.sum(axis=1), yes_no(made.places[:, 0, 0]))
    drawn = [information(tests.prior, made, np.random.default_rng(k)) for k in range(60)]
    assert np.mean(drawn) == pytest.approx(exact, rel=0.05)


def test_readings_scatter_as_their_error_says() -> None:
    """2,000 readings of one value: mean and spread of the Gaussian asked for, on the dial's steps."""
    dial = reading(error=4.0, resolution=2.0)
    rng = np.random.default_rng(3)
    got = np.array([draw({"gauge_idle_kpa": 231.0}, [dial], rng)[0] for _ in range(2000)])
    assert got.mean() == pytest.approx(231.0, abs=0.4)
    assert got.std() == pytest.approx(np.hypot(4.0, 2.0 / np.sqrt(12)), rel=0.06)
    assert (got % 2.0 == 0.0).all()


@pytest.mark.parametrize("kind", KINDS)
def test_the_reference_names_the_fault(kind: str) -> None:
    """Over 20 seeds of each filter at most one decidable case is named wrong; the bench counts 1,000."""
    wrong = 0
    for seed in range(SEEDS):
        hidden = generate(seed, kind)
        wrong += reference_path(hidden, 2).verdict != hidden.fault.fault
    assert wrong <= 1


def test_same_seed_same_case_and_path() -> None:
    """Twice the same; another seed gives another case."""
    first, again, other = generate(7, "can"), generate(7, "can"), generate(8, "can")
    assert first == again
    assert reference_path(first, 2) == reference_path(again, 2)
    assert first != other


def test_the_rigs_of_a_case_differ_by_its_fault() -> None:
    """What the case tells is what its faulty rig gives, and its sound rig gives the baseline."""
    hidden = generate(6, "can")
    faulty, sound = rigs(hidden)
    told = subject_of(hidden.ill, sound)
    assert observe(replace(told, setup=faulty)) == hidden.values
    assert observe(Subject(sound, sound, {})) == atlas(hidden.kind, hidden.layout).baseline


def test_level_changes_the_readings_not_the_fault() -> None:
    """One hidden fault; the errors grow with the level."""
    hidden = generate(4, "can")
    test = {t.test: t for t in menu().tests}["viscosity-tube"]
    true = hidden.values["nu40_mm2_s"]
    off = [abs(np.log(hidden.result(test, level)[0] / true)) for level in sorted(ERRORS)]
    assert off[0] <= off[1] + 0.01
    assert off[1] <= off[2] + 0.01
    assert off[0] < off[2]


def test_without_the_test_that_tells_the_case_is_refused(tests: Field) -> None:
    """Steel and soft metal differ by the magnet: without it the oil report leaves too little evidence."""
    chart = atlas("can", "after")
    values = dict(zip(chart.names, chart.values[chart.codes.index("F28a"), 3].tolist(), strict=True))
    told = margins(tests, "F28a", values)["F28b"]
    assert told >= DECIDED_NATS
    blind = Field(chart, 1.0, True)
    lens = ("patch", "cut-open")
    blind.__dict__["tests"] = {word: test for word, test in tests.tests.items() if word not in lens}
    assert margins(blind, "F28a", values)["F28b"] < min(DECIDED_NATS, told / 5)


def test_a_refused_draw_is_told() -> None:
    """Somewhere among many seeds the generator refuses a draw, and what it gives instead is decidable."""
    drawn = (generate(seed, "cartridge") for seed in range(200))
    hidden = next((case for case in drawn if case.refused), None)
    assert hidden is not None
    hard = field(hidden.kind, hidden.layout, 3, hidden.runnable)
    assert min(margins(hard, hidden.fault.fault, hidden.values).values()) >= DECIDED_NATS


def test_a_rig_without_pressure_is_not_run() -> None:
    """No running test stands on the reference path of a case that must not be run."""
    for seed in range(60):
        hidden = generate(seed, "can")
        if hidden.runnable:
            continue
        needs = {t.test: t.needs for t in menu().tests}
        assert all(needs[step.test] != "running" for step in reference_path(hidden, 2).steps)
        return
    pytest.fail("no such case among 60 seeds")


def test_counted_samples_carry_their_code() -> None:
    """300,000/50,000/700 per 100 mL is 19/16/10 (FOUND in a public text on ISO 4406)."""
    counting = {test.test: test for test in menu().tests}["particle-count"]
    result = (3000.0, 500.0, 7.0, 30.0, 5.0, 0.1, 0.01, 0.01)
    lines = result_lines(counting.reads, result, None)
    assert "ISO 4406 code before the filter: 19/16/10" in lines
    assert result_lines(menu().complaint, tuple(1.0 for _ in menu().complaint), None)[-1].count("ISO") == 0
