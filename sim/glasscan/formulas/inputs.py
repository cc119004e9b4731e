"""What a figure asks for: numbers, lists and words, with their units and ranges."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from glasscan.formulas.reading import FigureError, Raw, cut, near, number, numbers

Number = float | int


@dataclass(frozen=True)
class Input:
    """One input of a figure.

    Attributes:
        key: its name on the command line.
        unit: its unit, "-" where it has none.
        low, high: range allowed.
        default: value where it may be left out, None where it is needed.
        open_low: True where `low` itself is not allowed.
        whole: True where it must be a whole number.
        choices: allowed words, for an input that is a word.
        optional: True where it may be left out and has no default.
        many: True where it is a list of numbers, written with commas between.
    """

    key: str
    unit: str = "-"
    low: float = -math.inf
    high: float = math.inf
    default: Number | str | None = None
    open_low: bool = False
    whole: bool = False
    choices: tuple[str, ...] = ()
    optional: bool = False
    many: bool = False

    @property
    def needed(self) -> bool:
        """True where the figure cannot do without it."""
        return self.default is None and not self.optional

    def read(self, raw: Raw) -> Number | str | list[float]:
        """The value as a checked number, list of numbers or word.

        Raises:
            FigureError: where it is not a number, out of range, or not one of the words.
        """
        if self.choices:
            return self._word(str(raw))
        if self.many:
            return [self._within(value) for value in numbers(self.key, self.unit, raw)]
        value = self._within(number(self.key, self.unit, raw))
        return self._whole(value) if self.whole else value

    def _word(self, raw: str) -> str:
        if raw in self.choices:
            return raw
        hint = near(raw, self.choices)
        raise FigureError(f"{self.key}: expected {listed(self.choices)}, got {cut(raw)!r}{hint}")

    def _within(self, value: float) -> float:
        above = value > self.low if self.open_low else value >= self.low
        if above and value <= self.high:
            return value
        raise FigureError(f"{self.key}: expected {self.range_text()}{self.in_unit()}, got {value:g}")

    def _whole(self, value: float) -> int:
        if value != int(value):
            raise FigureError(f"{self.key}: expected a whole number, got {value:g}")
        return int(value)

    def in_unit(self) -> str:
        """Its unit after a space, or nothing."""
        return "" if self.unit == "-" else f" {self.unit}"

    def range_text(self) -> str:
        """The allowed range in words."""
        if self.high == math.inf:
            return f"more than {self.low:g}" if self.open_low else f"{self.low:g} or more"
        if self.low == -math.inf:
            return f"{self.high:g} or less"
        return (
            f"more than {self.low:g} up to {self.high:g}"
            if self.open_low
            else f"{self.low:g} to {self.high:g}"
        )


def positive(key: str, unit: str = "-", default: float | None = None, high: float = math.inf) -> Input:
    """An input above zero."""
    return Input(key, unit, low=0.0, high=high, open_low=True, default=default)


def word(key: str, choices: Iterable[str], default: str | None = None) -> Input:
    """An input that is one of a few words."""
    return Input(key, choices=tuple(choices), default=default)


def listed(items: Iterable[str], joint: str = "or") -> str:
    """Words with commas and, before the last, the joint."""
    *first, last = items
    return f"{', '.join(first)} {joint} {last}" if first else last
