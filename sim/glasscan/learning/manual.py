"""The invented maintenance manual: lines that questions cite, each with unit and source."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BaseModel, Field

from glasscan.content import BadInput, load, nearest
from glasscan.content.problems import Path as ProblemPath
from glasscan.content.record_loading import Finding
from glasscan.learning.record_base import Id, Number, Record, Text
from glasscan.paths import asset

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario

FOLDER = "manual"
HEADING = "Manual (invented):"
"""Stands before every line that is shown, so that nobody takes it for approved data."""

RUNS_ON = (" above", " after", " at", " below", " every", " of", " reached", " than")
"""Endings of a text that its number continues."""

_CITED = re.compile(r"\bmanual: ([a-z0-9-]+\.[a-z0-9-]+)")
"""How the source of a key cites a line: `manual: piston.idle-minimum`."""


class ManualLine(Record):
    """One line: a rule in words, or a limit with its unit.

    Attributes:
        id: the second half of the name that questions cite.
        text: the line, without its number.
        value: the limit, or the low end of a range.
        up_to: the high end of a range.
        text_value: a value that is no single number, such as a cleanliness code.
        unit: of `value`.
        when: the state in which the limit holds.
        source: where a figure or rule of this class was met; the line itself is invented.
        status: how sure that source is.
    """

    id: Id
    text: Annotated[str, Field(min_length=1, max_length=400)]
    value: Number | None = None
    up_to: Number | None = None
    text_value: Text | None = None
    unit: Text | None = None
    when: Text | None = None
    source: Text
    status: Literal["FOUND", "MEMORY", "PRACTICE"]

    def told(self) -> str:
        """The line as it is shown: `Oil pressure at hot idle, lowest: 25 psi (oil at 80 °C or warmer).`"""
        number = self.text_value or ""
        if self.value is not None:
            end = "" if self.up_to is None else f" to {_plain(self.up_to)}"
            number = f"{_plain(self.value)}{end} {self.unit}"
        sign = "" if ":" in self.text or self.text.endswith(RUNS_ON) else ":"
        head = f"{self.text.rstrip('.')}{sign} {number}" if number else self.text.rstrip(".")
        return f"{head} ({self.when})." if self.when else f"{head}."


class Manual(Record):
    """One file: the lines of a class of machine.

    Attributes:
        manual: name of the file.
        title: heading of the sheet.
        world: always invented.
        about: what class it is typical of.
        plants: rigs of assets/plants that it belongs to.
        filter: filter of assets/filters whose sizes it repeats.
        lines: in the order of the sheet.
    """

    manual: Id
    title: Text
    world: Literal["invented"]
    about: Annotated[str, Field(min_length=1, max_length=400)]
    plants: tuple[Id, ...]
    filter: Id | None = None
    lines: tuple[ManualLine, ...] = Field(min_length=1)


def read_manual(path: Path) -> Manual:
    """A manual from a file.

    Raises:
        BadInput: it is bad, with one line for each problem.
    """

    def named(manual: Manual) -> Iterator[Finding]:
        if manual.manual != path.stem:
            yield ("manual",), f"expected the name of the file, '{path.stem}'", path.stem

    return load(path, Manual, checks=(named, _lines_fit))


def _lines_fit(manual: Manual) -> Iterator[Finding]:
    ids = [line.id for line in manual.lines]
    for i, line in enumerate(manual.lines):
        if line.id in ids[:i]:
            yield ("lines", i, "id"), f"duplicate id '{line.id}'", None
        if line.value is not None and line.unit is None:
            yield ("lines", i), "missing key unit: a number has its unit", None
        if line.up_to is not None and (line.value is None or line.up_to <= line.value):
            yield ("lines", i, "up_to"), "expected a number above value", None


@cache
def manuals() -> tuple[Manual, ...]:
    """All sheets of the shipped manual.

    Raises:
        BadInput: one of them is bad.
    """
    return tuple(read_manual(path) for path in sorted(asset(FOLDER).glob("*.yaml")))


def manual_lines() -> Mapping[str, ManualLine]:
    """Every line by the name that questions cite."""
    return {f"{sheet.manual}.{line.id}": line for sheet in manuals() for line in sheet.lines}


def manual_line(name: str) -> ManualLine:
    """A line by its name.

    Raises:
        BadInput: there is none; with the nearest name.
    """
    known = manual_lines()
    if name not in known:
        near = nearest(name, list(known))
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput([f"the manual has no line '{name}'{meant}"])
    return known[name]


def told(names: tuple[str, ...], between: str = " ") -> str:
    """Lines as they are shown after a reason, or under a question line by line; "" for none.

    Raises:
        BadInput: a line is not there.
    """
    return between.join([HEADING, *(manual_line(name).told() for name in names)]) if names else ""


def cited_lines(scenario: Scenario) -> Iterator[tuple[ProblemPath, str]]:
    """Every line that a lesson names, with its place: `sheet`, `manual` and the sources of keys."""
    for i, prompt in enumerate(scenario.prompts):
        yield from (
            (("prompts", i, key, k), name)
            for key in ("sheet", "manual")
            for k, name in enumerate(getattr(prompt, key))
        )
        yield from _cited_inside(prompt, ("prompts", i))


def _cited_inside(piece: BaseModel, here: ProblemPath) -> Iterator[tuple[ProblemPath, str]]:
    """Lines that the sources of given facts name, at any depth."""
    source = getattr(piece, "source", None) if getattr(piece, "fact", "") == "given" else None
    if isinstance(source, str):
        yield from (((*here, "source"), name) for name in _CITED.findall(source))
    for key, value in piece:
        for i, item in enumerate(value if isinstance(value, tuple) else (value,)):
            if isinstance(item, BaseModel):
                yield from _cited_inside(item, (*here, key, i) if isinstance(value, tuple) else (*here, key))


def cited_lines_exist(scenario: Scenario) -> Iterator[Finding]:
    """Check that the manual has every line that a lesson names."""
    here = list(cited_lines(scenario))
    known = list(manual_lines()) if here else []
    for path, name in here:
        if name not in known:
            yield path, f"the manual has no line '{name}'", nearest(name, known)


def _plain(number: float) -> str:
    """A number as a sheet prints it: thousands with a comma, a true minus sign."""
    return f"{number:,g}".replace("-", "−")
