"""The registry behind `glasscan figure NAME key=value ...`: each law with its inputs, units and source."""

from __future__ import annotations

import importlib
import keyword
import math
import pkgutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

import sim.figures
from sim.figures.reading import FigureError as FigureError
from sim.figures.reading import Raw, cut, near, number, numbers
from sim.loading.problems import one_line

Number = float | int
Law = Callable[..., Any]


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
        raise FigureError(f"{self.key}: expected {_or(self.choices)}, got {cut(raw)!r}{hint}")

    def _within(self, value: float) -> float:
        above = value > self.low if self.open_low else value >= self.low
        if above and value <= self.high:
            return value
        raise FigureError(f"{self.key}: expected {self.range_text()}{self._in_unit()}, got {value:g}")

    def _whole(self, value: float) -> int:
        if value != int(value):
            raise FigureError(f"{self.key}: expected a whole number, got {value:g}")
        return int(value)

    def _in_unit(self) -> str:
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


@dataclass(frozen=True)
class Figure:
    """One named law.

    Attributes:
        name: its name on the command line.
        inputs: what it needs.
        unit: unit of the value (or of each of the values, separated by commas).
        method: the law in one line.
        source: where the law comes from.
        law: function of the inputs; gives a number, a list, a text, or a dict with "value" or "values" and
            further named results.
        rising: pairs of keys of which the first must lie below the second.
    """

    name: str
    inputs: tuple[Input, ...]
    unit: str
    method: str
    source: str
    law: Law
    rising: tuple[tuple[str, str], ...] = ()


_FIGURES: dict[str, Figure] = {}


def figure(
    name: str,
    *inputs: Input,
    unit: str,
    method: str,
    source: str,
    rising: tuple[tuple[str, str], ...] = (),
) -> Callable[[Law], Law]:
    """Register the decorated function as the figure `name`; its parameters are the input keys."""

    def keep(law: Law) -> Law:
        if name in _FIGURES:
            raise RuntimeError(f"two figures named {name!r}")
        _FIGURES[name] = Figure(name, inputs, unit, method, source, law, rising)
        return law

    return keep


def positive(key: str, unit: str = "-", default: float | None = None, high: float = math.inf) -> Input:
    """An input above zero."""
    return Input(key, unit, low=0.0, high=high, open_low=True, default=default)


def word(key: str, choices: Iterable[str], default: str | None = None) -> Input:
    """An input that is one of a few words."""
    return Input(key, choices=tuple(choices), default=default)


def names() -> tuple[str, ...]:
    """Names of all figures, sorted."""
    return tuple(sorted(_all()))


def find(name: str) -> Figure:
    """The figure of that name.

    Raises:
        FigureError: where there is none, with the nearest name.
    """
    figures = _all()
    if name not in figures:
        raise FigureError(f"no figure {cut(name)!r}{near(name, figures)}; `glasscan figure` lists them")
    return figures[name]


def evaluate(name: str, given: Mapping[str, Raw]) -> dict[str, Any]:
    """Work a figure out.

    Args:
        name: which figure.
        given: its inputs, text or numbers, by key.

    Returns:
        `{name, inputs, value or values, unit, method, source}` and any further named results.

    Raises:
        FigureError: one line, where the name, a key or a value is wrong or missing.
    """
    entry = find(name)
    inputs = _read_inputs(entry, given)
    try:
        with np.errstate(all="ignore"):  # overflow shows as a result that is not finite
            result = entry.law(**{_parameter(key): value for key, value in inputs.items()})
    except FigureError:
        raise
    except (ValueError, ArithmeticError) as fault:
        raise FigureError(f"{name}: {_one_line(fault)}") from fault
    return _dressed(entry, inputs, _checked(name, _results(result)))


def describe(name: str) -> str:
    """One line of help: the name, its inputs with units, and what comes out."""
    entry = find(name)
    return " ".join([name, *map(_usage, entry.inputs), f"-> {entry.unit}"])


@cache
def _all() -> dict[str, Figure]:
    for module in pkgutil.iter_modules(sim.figures.__path__):
        importlib.import_module(f"sim.figures.{module.name}")
    return _FIGURES


def _read_inputs(entry: Figure, given: Mapping[str, Raw]) -> dict[str, Number | str | list[float]]:
    known = {item.key: item for item in entry.inputs}
    for key in given:
        if key not in known:
            raise FigureError(
                f"{entry.name}: no input {cut(key)!r}{near(key, known)}; it takes {_taken(known)}"
            )
    missing = [item.key for item in entry.inputs if item.needed and item.key not in given]
    if missing:
        raise FigureError(f"{entry.name}: missing {_or(missing, 'and')}; usage: {describe(entry.name)}")
    filled = {key: given.get(key, item.default) for key, item in known.items()}
    read = {key: known[key].read(raw) for key, raw in filled.items() if raw is not None}
    for lower, upper in entry.rising:
        _in_order(known, read, lower, upper)
    return read


def _in_order(known: Mapping[str, Input], read: Mapping[str, Any], lower: str, upper: str) -> None:
    if lower in read and upper in read and not read[lower] < read[upper]:
        unit = known[lower]._in_unit()
        raise FigureError(
            f"{lower}: expected less than {upper}, which is {read[upper]:g}{unit}, got {read[lower]:g}{unit}"
        )


def _parameter(key: str) -> str:
    """Name of the law's parameter: the key, or the key with an underscore where Python reserves the word."""
    return f"{key}_" if keyword.iskeyword(key) else key


def _results(result: Any) -> dict[str, Any]:
    if isinstance(result, Mapping):
        return dict(result)
    return {"values": list(result)} if isinstance(result, list | tuple) else {"value": result}


def _checked(name: str, results: dict[str, Any]) -> dict[str, Any]:
    for value in results.values():
        for item in value if isinstance(value, list) else [value]:
            if isinstance(item, float) and not math.isfinite(item):
                raise FigureError(f"{name}: no finite answer: one of these inputs is too large or too small")
    return results


def _dressed(entry: Figure, inputs: Mapping[str, Any], results: dict[str, Any]) -> dict[str, Any]:
    words = {"unit": entry.unit, "method": entry.method, "source": entry.source}
    return {"name": entry.name, "inputs": dict(inputs), **words, **results}


def _usage(item: Input) -> str:
    inside = "|".join(item.choices) or (item.unit if item.unit != "-" else "number")
    text = f"{item.key}=<{inside},...>" if item.many else f"{item.key}=<{inside}>"
    return text if item.needed else f"[{text}]"


def _taken(known: Iterable[str]) -> str:
    return _or(known, "and") if known else "none"


def _or(items: Iterable[str], joint: str = "or") -> str:
    *first, last = items
    return f"{', '.join(first)} {joint} {last}" if first else last


def _one_line(fault: Exception) -> str:
    return one_line(" ".join(str(fault).split())) or type(fault).__name__
