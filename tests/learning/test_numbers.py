"""Numbers as learners type them."""

from __future__ import annotations

import pytest
from glasscan.learning.typed_numbers import Unreadable, typed


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("12.5", 12.5, None),
        ("12,5", 12.5, None),
        (" -3.2 psi", -3.2, "psi"),
        ("−3,2 kPa", -3.2, "kPa"),
        ("+7", 7.0, None),
        ("1 200 kPa", 1200.0, "kPa"),
        ("1\u202f200", 1200.0, None),
        (".5bar", 0.5, "bar"),
        ("0,125", 0.125, None),
        ("1e3 Pa", 1000.0, "Pa"),
        ("2,5e−1", 0.25, None),
        ("80 °F", 80.0, "°F"),
        ("3 L/min", 3.0, "L/min"),
        ("40 seconds", 40.0, "s"),
        ("1.500", 1.5, None),
        ("1,234,567", 1234567.0, None),
        ("1.234.567", 1234567.0, None),
        ("1.234,5", 1234.5, None),
        ("1,234.5 kPa", 1234.5, "kPa"),
        ("−1.234,5 kPa", -1234.5, "kPa"),
        ("1'200", 1200.0, None),
        ("12’345.5", 12345.5, None),
    ],
)
def test_clear_numbers(text: str, value: float, unit: str | None) -> None:
    """Point or comma, print minus, marks between thousands and a unit are understood."""
    found = typed(text)
    assert found.value == pytest.approx(value, rel=1e-15)
    assert (found.unit.sign if found.unit else None) == unit


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "expected a number"),
        ("about ten", "expected a number"),
        ("nan", "expected a number"),
        ("1.2.3", "use one point or one comma"),
        ("1,23,567", "use one point or one comma"),
        ("1.234.5", "use one point or one comma"),
        ("12,34.5", "use one point or one comma"),
        ("1,200", "write 1200 or 1,2000"),
        ("5 furlongs", "unknown unit 'furlongs'"),
        ("3 4x", "unknown unit 'x'"),
        ("-", "expected a number"),
        ("1e9999", "expected a number|unknown unit"),
    ],
)
def test_unclear_numbers_are_asked_again(text: str, expected: str) -> None:
    """What can be read in two ways, or in none, is refused with words that say how to write it."""
    with pytest.raises(Unreadable, match=expected):
        typed(text)
