"""Units at the edges against the published definitions of scipy and hand-checked pairs."""

import pytest
from glasscan.units import UNITS, convert, from_si, to_si, unit
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

SCIPY = {
    "psi": constants.psi,
    "bar": constants.bar,
    "mmHg": constants.mmHg,
    "lbf": constants.lbf,
    "inch": constants.inch,
    "gal": constants.gallon_US,
    "L": constants.liter,
    "h": constants.hour,
}


@pytest.mark.parametrize("name", SCIPY)
def test_scales_equal_those_of_a_general_library(name: str) -> None:
    """scipy.constants (its mmHg is the torr, 1.4e-7 off the conventional one)."""
    assert UNITS[name].scale == pytest.approx(SCIPY[name], rel=2e-7)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(-40.0, -40.0), (0.0, 32.0), (100.0, 212.0)])
def test_temperatures_at_their_fixed_points(celsius: float, fahrenheit: float) -> None:
    """Fixed points of the two scales, textbook."""
    assert convert(celsius, "degC", "degF") == pytest.approx(fahrenheit, abs=1e-9)
    assert to_si(celsius, "degC") == pytest.approx(constants.convert_temperature(celsius, "C", "K"))


@pytest.mark.parametrize(
    ("value", "old", "new", "expected"),
    [
        (1.0, "gal/min", "L/min", 3.785411784),
        (3000.0, "psi", "MPa", 20.684271879504),
        (1.0, "ft.lbf", "N.m", 1.3558179483314004),
        (1.0, "inH2O", "Pa", 249.08891),
        (1000.0, "rpm", "rad/s", 104.71975511965977),
        (1.0, "cSt", "mm2/s", 1.0),
    ],
)
def test_trade_units(value: float, old: str, new: str, expected: float) -> None:
    """Pairs from NIST SP 811."""
    assert convert(value, old, new) == pytest.approx(expected, rel=1e-9)


@given(st.sampled_from(sorted(UNITS)), st.floats(-1e6, 1e6))
def test_there_and_back(name: str, value: float) -> None:
    """To SI and back gives the value again."""
    assert from_si(to_si(value, name), name) == pytest.approx(value, rel=1e-9, abs=1e-6)


def test_wrong_units_are_refused() -> None:
    """An unknown sign names the nearest; units of two kinds do not convert."""
    with pytest.raises(ValueError, match="did you mean 'psi'"):
        unit("psj")
    with pytest.raises(ValueError, match="measures pressure"):
        convert(1.0, "psi", "L/min")
