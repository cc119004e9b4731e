"""Marks of numbers: full within the band, half within twice the band or with a recognised slip.

The rule of the bands is common practice of marking schemes, no source; the unit factors come from
glasscan.units and are checked here against scipy.constants.
"""

from __future__ import annotations

import pytest
from glasscan.content.unit_words import BY_SUFFIX
from glasscan.learning.marking import Band, Truth, never_result, number_result, quantity_text
from glasscan.learning.typed_numbers import typed
from scipy import constants

KPA = BY_SUFFIX["kpa"]
TRUTH = Truth(100.0, KPA, Band(tol_abs=1.0, tol_rel=0.05), {"gauge (inlet) for differential": 340.0})


@pytest.mark.parametrize(
    ("answer", "share"),
    [
        ("100", 1.0),
        ("105", 1.0),
        ("95", 1.0),
        ("105.01", 0.5),
        ("110", 0.5),
        ("90", 0.5),
        ("110.01", 0.0),
        ("89.9", 0.0),
        ("0", 0.0),
    ],
)
def test_bands(answer: str, share: float) -> None:
    """Full marks up to and with the tolerance, half up to and with twice the tolerance, none beyond."""
    result = number_result(typed(answer), TRUTH, out_of=4.0)
    assert (result.share, result.marks, result.out_of) == (share, 4.0 * share, 4.0)
    assert "100 kPa" in result.reason


def test_the_wider_of_the_two_tolerances_counts() -> None:
    """Near zero the absolute tolerance carries, far from zero the relative one."""
    band = Band(tol_abs=0.5, tol_rel=0.1)
    assert (band.width(1.0), band.width(-100.0)) == (0.5, 10.0)


def test_an_answer_in_another_unit_of_the_same_kind_is_right() -> None:
    """The learner may choose the unit: 100 kPa in psi, bar and Pa earn full marks."""
    for value, sign in ((1e5 / constants.psi, "psi"), (1e5 / constants.bar, "bar"), (1e5, "Pa")):
        assert number_result(typed(f"{value:.6f} {sign}"), TRUTH, 1.0).share == 1.0


@pytest.mark.parametrize(
    ("answer", "slip", "words"),
    [
        (f"{1e5 / constants.psi:.3f}", "unit", "right in psi; the answer was asked in kPa"),
        ("1.0", "unit", "right in bar; the answer was asked in kPa"),
        ("100000", "unit", "right in Pa"),
        ("-100", "sign", "the sign is not"),
        ("340", "gauge (inlet) for differential", "another pressure"),
    ],
)
def test_slips_are_named_and_earn_half(answer: str, slip: str, words: str) -> None:
    """A right number with the wrong unit, sign or reference pressure is recognised and told."""
    result = number_result(typed(answer), TRUTH, 2.0)
    assert (result.slip, result.marks) == (slip, 1.0)
    assert words in result.reason
    assert result.rights
    assert result.wrongs


def test_temperature_slip() -> None:
    """45 degC given as the number of degrees Fahrenheit, 113 (scipy.constants agrees), is a unit slip."""
    fahrenheit = float(constants.convert_temperature(45.0, "C", "F"))
    truth = Truth(45.0, BY_SUFFIX["c"], Band(1.0, 0.0), {})
    assert number_result(typed(f"{fahrenheit}"), truth, 1.0).slip == "unit"


def test_a_unit_of_another_kind() -> None:
    """An answer in litres to a question of pressure earns nothing and is told why."""
    result = number_result(typed("100 L"), TRUTH, 1.0)
    assert (result.share, result.slip) == (0.0, "kind")
    assert "pressure" in result.reason


def test_a_bare_number_needs_no_unit() -> None:
    """Where the truth has no unit, a plain number is compared as it is."""
    truth = Truth(0.5, None, Band(0.01, 0.0), {})
    assert number_result(typed("0,5"), truth, 1.0).share == 1.0
    assert number_result(typed("0.5 kPa"), truth, 1.0).share == 0.0


@pytest.mark.parametrize(
    ("said_never", "at", "share"), [(True, None, 1.0), (False, None, 0.0), (True, "40 s", 0.0)]
)
def test_events_that_never_come(said_never: bool, at: str | None, share: float) -> None:
    """`never` is a right answer where the event does not come, and a wrong one where it does."""
    result = never_result(said_never, "bypass-seats", at, 1.0)
    assert (result.share, result.key) == (share, at or "never")


@pytest.mark.parametrize(
    ("value", "text"), [(1.3e-5, "0 L"), (-5e-10, "0 L"), (0.0021, "0.0021 L"), (18.5, "18.5 L")]
)
def test_a_key_is_never_told_in_powers_of_ten(value: float, text: str) -> None:
    """What is nought but for rounding is told as 0; small numbers that mean something are written out."""
    assert quantity_text(value, BY_SUFFIX["l"]) == text
