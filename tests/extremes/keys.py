"""Every key that moves the rig of a lesson, with the least and the greatest value that its range admits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, get_args

from glasscan.content.fields import expand, spot
from glasscan.learning.catalogue import load_filter, load_plant, names
from glasscan.learning.scenario_schema import Line, Scenario
from glasscan.rig.controls import LIMITS
from glasscan.rig.plant_data import PlantData
from pydantic import BaseModel
from pydantic.fields import FieldInfo

LEAST_STEP = 1e-9  # how near an open end of a range is gone to, of its size
WIDEST = 1e12  # what any number of a lesson may be at most
SHELL = ("rpm", "air_c", "lodged_mm")
DISC = ("scraper_turns", "drain_bowl")


@dataclass(frozen=True)
class Try:
    """One key at one end of its range.

    Attributes:
        key: a live control, or a dotted key of the file where `start` holds.
        value: what it is set to.
        start: True where it is laid over the file before the start.
    """

    key: str
    value: Any
    start: bool = False

    def __str__(self) -> str:
        shown = f"{self.value:g}" if isinstance(self.value, float) else str(self.value)
        return f"{'--set ' if self.start else ''}{self.key}={shown}"


def ends(info: FieldInfo, widest: float = WIDEST) -> tuple[float, float]:
    """Least and greatest number that a field admits."""
    low, high = -widest, widest
    for mark in _marks(info):
        if (at := getattr(mark, "ge", None)) is not None:
            low = at
        if (at := getattr(mark, "gt", None)) is not None:
            low = at + LEAST_STEP * max(abs(at), 1.0)
        if (at := getattr(mark, "le", None)) is not None:
            high = at
        if (at := getattr(mark, "lt", None)) is not None:
            high = at - LEAST_STEP * max(abs(at), 1.0)
    return float(low), float(high)


def _marks(info: FieldInfo) -> Iterator[Any]:
    """Limits of a field, and those of what may stand there beside nothing."""
    yield from info.metadata
    for member in get_args(info.annotation):
        for mark in getattr(member, "__metadata__", ()):
            yield from getattr(mark, "metadata", ()) or (mark,)


def live(scenario: Scenario) -> Iterator[Try]:
    """Controls of the window and lines of a timeline, and every number of the rig."""
    for key in SHELL:
        yield from (Try(key, value) for value in LIMITS[key])
    for info, key in _lines():
        if key not in DISC or load_filter(scenario.filter).kind == "disc":
            yield from (Try(key, value) for value in ends(info))
    yield from (Try("fluid", name) for name in names("fluids"))
    yield from (Try("regulator", place) for place in ("before", "after"))
    yield Try("indicator_reset", 1)
    yield from _numbers(load_plant(scenario.plant.rig))


def _lines() -> Iterator[tuple[FieldInfo, str]]:
    """Lines of a timeline that hold one number."""
    for kind in expand(Line):
        word = get_args(kind.model_fields["set"].annotation)[0]
        if float in expand(kind.model_fields["to"].annotation) and word != "plant":
            yield kind.model_fields["to"], word


def _numbers(plant: PlantData) -> Iterator[Try]:
    for group in PlantData.model_fields:
        block = getattr(plant, group)
        for name, info in type(block).model_fields.items() if isinstance(block, BaseModel) else ():
            if float in expand(info.annotation) and not name.endswith("_pct"):
                yield from (Try(f"{group}.{name}", value) for value in ends(info))


def starts(scenario: Scenario) -> Iterator[Try]:
    """Numbers of the file that make the rig and its morning, one for each end."""
    made = scenario.model_dump(include={"air_c", "start", "faults", "timeline", "end_s"})
    for path, value in _leaves(made):
        info = spot(Scenario, _located(scenario, path)).info
        if info is not None and float in expand(info.annotation) and not isinstance(value, str):
            yield from (Try(".".join(map(str, path)), end, True) for end in ends(info))


def _located(scenario: Scenario, path: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """The path with the word of the line in it, as a validator tells it."""
    if path[0] != "timeline":
        return path
    return (*path[:2], scenario.timeline[int(path[1])].set, *path[2:])


def _leaves(tree: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    if isinstance(tree, dict | list | tuple):
        for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
            yield from _leaves(value, (*path, key))
    elif not isinstance(tree, bool):
        yield path, tree


def outside(tries: Iterator[Try]) -> Iterator[Try]:
    """For each number what lies just beyond its two ends, which nobody may set."""
    numbers = [one for one in tries if isinstance(one.value, float)]
    for low, high in zip(numbers[::2], numbers[1::2], strict=True):
        for one, way in ((low, -1.0), (high, 1.0)):
            if abs(one.value) < WIDEST:
                yield Try(one.key, one.value + way * 2 * LEAST_STEP * max(abs(one.value), 1.0), one.start)
