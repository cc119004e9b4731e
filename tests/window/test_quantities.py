"""Shown numbers against the definitions of the units."""

import pytest
from glasscan.signals import event_words
from glasscan.ui.display_units import (
    CELSIUS,
    FAHRENHEIT,
    GAL_MIN,
    KPA,
    PSI,
    SYSTEMS,
    clock,
    pace,
    viscosity,
)


def test_units_by_their_definitions():
    """1 psi = 6894.757 Pa and 1 US gal = 3.785411784 L (NIST SP 811, appendix B); status: MEMORY."""
    assert PSI.shown(6894.757) == pytest.approx(1.0, rel=1e-6)
    assert GAL_MIN.shown(3.785411784e-3 / 60) == pytest.approx(1.0, rel=1e-9)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(-40, -40), (0, 32), (100, 212), (-5, 23)])
def test_fahrenheit(celsius, fahrenheit):
    """Fixed points of the scale, both ways."""
    assert FAHRENHEIT.shown(celsius) == pytest.approx(fahrenheit)
    assert FAHRENHEIT.si(fahrenheit) == pytest.approx(celsius)


def test_every_shown_value_comes_back():
    """Sliders and scales turn shown values into SI again."""
    for system in SYSTEMS:
        for unit in (system.pressure, system.temperature, system.flow, system.volume):
            assert unit.si(unit.shown(0.123)) == pytest.approx(0.123)


def test_minus_is_a_minus_and_nought_has_none():
    """A true minus sign; a value that rounds to nought is not minus nought."""
    assert CELSIUS.text(-5.04) == "−5.0"
    assert CELSIUS.text(-0.04) == "0.0"
    assert KPA.text(-12.3e3) == "−12"


def test_clock_and_pace():
    """Time and time lapse as a person reads them."""
    assert clock(137.04) == "02:17.0"
    assert clock(3 * 3600 + 62.5) == "3:01:02.5"
    assert pace(0.1) == "1/10 speed"
    assert pace(100.0) == "× 100"


def test_unknown_event_is_still_shown():
    """A new event of the engine reads as it is written."""
    assert event_words("bypass-seats") == "Bypass valve reseats"
    assert event_words("hose-bursts") == "Hose bursts"


def test_viscosities_are_read_without_powers_of_ten():
    """Nine thousand of a cold morning and nine of a hot cruise, as a class reads them."""
    read = [viscosity(v) for v in (9.11e-3, 1.234e-4, 9.183e-6)]
    assert read == ["9\u2009110 mm²/s", "123 mm²/s", "9.18 mm²/s"]


def test_ticks_of_a_narrow_scale_differ():
    """From 8.1 to 9.1 kPa a decimal more is taken, from 0 to 160 kPa none; equal ends stay equal."""
    assert KPA.tick_texts([8100.0, 8350.0, 8600.0, 9100.0]) == ["8.1", "8.3", "8.6", "9.1"]
    assert KPA.tick_texts([0.0, 80e3, 160e3]) == ["0", "80", "160"]
    assert KPA.tick_texts([5e3, 5e3]) == ["5", "5"]
