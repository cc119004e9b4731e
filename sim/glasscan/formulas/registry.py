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

import glasscan.formulas
from glasscan.content.problems import one_line
from glasscan.formulas.inputs import Input as Input
from glasscan.formulas.inputs import Number, listed
from glasscan.formulas.inputs import positive as positive
from glasscan.formulas.inputs import word as word
from glasscan.formulas.reading import FigureError as FigureError
from glasscan.formulas.reading import Raw, cut, near

Law = Callable[..., Any]


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
_OFFSET = ("degC", "degF")  # nought is no small number of these
_FAR = 6.0  # powers of ten from 1: beyond, an input is what spoils an answer


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
    except ArithmeticError as fault:
        raise FigureError(_too_far(entry, inputs)) from fault
    except ValueError as fault:
        raise FigureError(f"{name}: {_one_line(fault)}") from fault
    results = _results(result)
    if not _finite(results):
        raise FigureError(_too_far(entry, inputs))
    return _dressed(entry, inputs, results)


def describe(name: str) -> str:
    """One line of help: the name, its inputs with units, and what comes out."""
    entry = find(name)
    return " ".join([name, *map(_usage, entry.inputs), f"-> {entry.unit}"])


@cache
def _all() -> dict[str, Figure]:
    for module in pkgutil.iter_modules(glasscan.formulas.__path__):
        importlib.import_module(f"glasscan.formulas.{module.name}")
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
        raise FigureError(f"{entry.name}: missing {listed(missing, 'and')}; usage: {describe(entry.name)}")
    filled = {key: given.get(key, item.default) for key, item in known.items()}
    read = {key: known[key].read(raw) for key, raw in filled.items() if raw is not None}
    for lower, upper in entry.rising:
        _in_order(known, read, lower, upper)
    return read


def _in_order(known: Mapping[str, Input], read: Mapping[str, Any], lower: str, upper: str) -> None:
    if lower in read and upper in read and not read[lower] < read[upper]:
        unit = known[lower].in_unit()
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


def _finite(results: Mapping[str, Any]) -> bool:
    values = (item for value in results.values() for item in (value if isinstance(value, list) else [value]))
    return all(math.isfinite(item) for item in values if isinstance(item, float))


def _too_far(entry: Figure, inputs: Mapping[str, Any]) -> str:
    """The line for an answer that is not finite; it names the input that lies farthest out."""
    scales = {item.key for item in entry.inputs if item.unit not in _OFFSET}
    size = {
        key: math.log10(abs(value))
        for key, value in inputs.items()
        if key in scales and isinstance(value, float | int) and value
    }
    far = max(size, key=lambda key: abs(size[key]), default=None)
    if far is None or abs(size[far]) < _FAR:
        return f"{entry.name}: no finite answer for these inputs together"
    how = "large" if size[far] > 0 else "small"
    return f"{entry.name}: no finite answer: {far}={inputs[far]:g} is too {how}"


def _dressed(entry: Figure, inputs: Mapping[str, Any], results: dict[str, Any]) -> dict[str, Any]:
    words = {"unit": entry.unit, "method": entry.method, "source": entry.source}
    return {"name": entry.name, "inputs": dict(inputs), **words, **results}


def _usage(item: Input) -> str:
    inside = "|".join(item.choices) or (item.unit if item.unit != "-" else "number")
    text = f"{item.key}=<{inside},...>" if item.many else f"{item.key}=<{inside}>"
    return text if item.needed else f"[{text}]"


def _taken(known: Iterable[str]) -> str:
    return listed(known, "and") if known else "none"


def _one_line(fault: Exception) -> str:
    return one_line(" ".join(str(fault).split())) or type(fault).__name__
