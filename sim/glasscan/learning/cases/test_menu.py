"""Tests that can be ordered, as data: what they read, how well, their cost and what they ask of the rig."""

from __future__ import annotations

from functools import cache
from math import exp, log
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.content import load
from glasscan.paths import asset

Needs = Literal["papers", "stopped", "running", "open"]
Kind = Literal["can", "cartridge", "disc"]
LEAST, MOST = 1e-9, 1e25


class CaseTestRecord(BaseModel):
    """A frozen piece of the file."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class MeasuredReading(CaseTestRecord):
    """One figure or one yes-or-no that a test gives.

    Attributes:
        what: observable, see `glasscan.faults.observables`.
        label: for people.
        unit: of the value.
        scale: "linear", "log" (errors are shares) or "yes-no".
        error: standard error in the unit or as a share; for yes-no the chance of a wrong answer.
        resolution: step of the dial, unit; 0 = none.
        floor: what is least seen on a log scale, unit.
        ceiling: as far as the tool goes on a log scale, unit: what lies beyond is told as more than that.
        least: value below which a linear reading cannot fall, unit, or None.
        base: chance of a yes without the cause.
        stray: chance of a reading that is simply wrong: misread, misnoted.
    """

    what: str
    label: str
    unit: str = ""
    scale: Literal["linear", "log", "yes-no"]
    error: Annotated[float, Field(gt=0)]
    resolution: Annotated[float, Field(ge=0)] = 0.0
    floor: Annotated[float, Field(gt=0)] = LEAST
    ceiling: Annotated[float, Field(gt=0)] = MOST
    least: float | None = None
    base: Annotated[float, Field(ge=0, lt=1)] = 0.0
    stray: Annotated[float, Field(gt=0, lt=1)] = 1e-3

    def place(self, value: float) -> float:
        """A true value on the scale: itself, its logarithm, or the chance of a yes."""
        if self.scale == "yes-no":
            sure = self.base + (1.0 - self.base) * min(max(value, 0.0), 1.0)
            return self.error + (1.0 - 2.0 * self.error) * sure
        return log(min(max(value, self.floor), self.ceiling)) if self.scale == "log" else value

    def value(self, place: float) -> float:
        """Back from the scale, on the dial's steps; what lies below the floor is the floor."""
        shown = min(max(exp(min(place, 60.0)), self.floor), self.ceiling) if self.scale == "log" else place
        shown = self.ceiling if self.is_beyond(shown) else shown
        shown = shown if self.least is None else max(shown, self.least)
        return round(shown / self.resolution) * self.resolution if self.resolution else shown

    def is_beyond(self, value: float) -> bool:
        """Whether a value lies at or past the end of the tool."""
        return self.scale == "log" and value >= self.ceiling * (1.0 - 1e-9)

    def is_nothing(self, value: float) -> bool:
        """Whether a value lies at or below the least that is seen: it then shows nothing, without error."""
        return self.scale == "log" and value <= self.floor * (1.0 + 1e-9)

    def deviation(self, errors: float) -> float:
        """Standard error on the scale, with errors times a factor."""
        step = self.resolution if self.scale == "linear" else 0.0
        return float((self.error**2 * errors**2 + step**2 / 12.0) ** 0.5)


class Test(CaseTestRecord):
    """A test of the menu.

    Attributes:
        test: its word.
        title: for people.
        cost_min: minutes.
        risk: what can hurt.
        needs: state of the rig it asks for.
        area: where to look, one sentence: the first hint.
        principle: why it tells, one or two sentences: the second hint.
        filters: kinds of filter it is possible on.
        destroys: tests that are no longer possible after it.
        swaps: it changes the filter, closes up and runs.
        takes: what it takes off or opens, and leaves so until the next start.
        runs: it ends with a run of its own, the engine stopped again after it.
        old_part: it reads a part that is kept when the filter is changed.
        reads: what it gives.
    """

    __test__ = False

    test: str
    title: str
    cost_min: Annotated[float, Field(gt=0)]
    risk: str
    needs: Needs
    area: str
    principle: str
    filters: tuple[Kind, ...] = ("can", "cartridge", "disc")
    destroys: tuple[str, ...] = ()
    swaps: bool = False
    takes: Literal["filter", "indicator", "bowl", "valve", "regulator", "pump", "bearing"] | None = None
    runs: bool = False
    old_part: bool = False
    reads: Annotated[tuple[MeasuredReading, ...], Field(min_length=1)]


class Menu(CaseTestRecord):
    """The whole file."""

    tests: tuple[Test, ...]
    complaint: tuple[MeasuredReading, ...]

    @model_validator(mode="after")
    def _no_word_twice(self) -> Menu:
        words = [test.test for test in self.tests]
        if len(set(words)) < len(words):
            raise ValueError("a test stands twice")
        if any(word not in words for test in self.tests for word in test.destroys):
            raise ValueError("destroys: expected words of other tests")
        return self


@cache
def menu() -> Menu:
    """The menu of tests.

    Raises:
        BadInput: the file is bad.
    """
    return load(asset("tests.yaml"), Menu)


def tests_for(kind: str) -> tuple[Test, ...]:
    """Tests that are possible on a kind of filter."""
    return tuple(test for test in menu().tests if kind in test.filters)
