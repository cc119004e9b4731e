"""Readings that can be: no leak out of noise, no two histories at once, no rate that no sump survives."""

import numpy as np
import pytest
from glasscan.learning.cases.case_words import POURS, complaint_sentence, shown
from glasscan.learning.cases.likelihood import draw
from glasscan.learning.cases.test_menu import menu

TESTS = {t.test: t for t in menu().tests}
NOTED = {r.what: r for r in menu().complaint}


def test_a_dry_filter_never_leaks_by_noise() -> None:
    """Nothing under the filter is nothing: a floor of noise invents no leak and no swing of a needle."""
    rng = np.random.default_rng(4)
    for name in ("leak_cruise_ml_min", "flutter_idle_kpa"):
        reading = NOTED[name]
        got = [draw({name: 0.0}, [reading], rng, 1.4)[0] for _ in range(200)]
        assert got == pytest.approx([reading.floor] * 200)


def test_it_crept_or_it_came_at_once() -> None:
    """The log tells one history."""
    reads, rng = TESTS["read-log"].reads, np.random.default_rng(5)
    at = [r.what for r in reads]
    values = dict.fromkeys(at, 0.0) | {"crept": 0.8}
    both = [draw(values, reads, rng, 1.4) for _ in range(400)]
    assert not any(got[at.index("crept")] and got[at.index("sudden")] for got in both)


def test_a_pouring_leak_is_told_as_such() -> None:
    """Beyond a litre a minute nobody measures and nobody flies on: no rate, no cruise, no dipstick."""
    sound = {r.what: (0.0 if r.scale != "linear" else 400.0) for r in menu().complaint}
    noted = tuple(
        1000.0 if r.what == "leak_cruise_ml_min" else 1.0 if r.what == "dipstick_l" else sound[r.what]
        for r in menu().complaint
    )
    told = complaint_sentence(noted, sound).lower()
    assert POURS in told
    assert "landing" not in told


@pytest.mark.parametrize(("value", "text"), [(0.0214, "at most 0.5 mg"), (123.4, "120 mg")])
def test_masses_are_worth_two_figures(value: float, text: str) -> None:
    """A patch is not weighed to a hundredth of a milligram."""
    reading = next(r for r in TESTS["patch"].reads if r.what == "iron_oil_mg_l")
    assert shown(reading, value) == text


def test_no_inlet_is_more_than_open() -> None:
    """The open share of a sound inlet is one, whatever the error."""
    reading = next(r for r in TESTS["cut-open"].reads if r.what == "inlet_open_share")
    rng = np.random.default_rng(6)
    assert max(draw({"inlet_open_share": 0.95}, [reading], rng, 1.4)[0] for _ in range(100)) <= 1.0
