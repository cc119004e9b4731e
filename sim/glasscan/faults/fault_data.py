"""A fault as data: which numbers of the rig it changes, and by how much."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.content import load
from glasscan.paths import asset

Kind = Literal["can", "cartridge", "disc"]
Layout = Literal["before", "after"]
How = Literal["times", "to"]
Status = Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE", "INVENTED"]
Name = Annotated[str, Field(pattern=r"^F\d\d[a-e]?$")]
Share = Annotated[float, Field(ge=0, le=1)]


class Record(BaseModel):
    """A frozen piece of the fault files."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        allow_inf_nan=False,
        protected_namespaces=(),  # `model_says` is a word of the data; the lowest pydantic warns of it
    )


class NumberChange(Record):
    """One number of the rig that the fault moves, from its mildest to its gravest value."""

    set: str
    how: How
    mild: float
    grave: float
    log: bool = False  # severities are even in the logarithm

    @model_validator(mode="after")
    def _log_needs_positive(self) -> NumberChange:
        if self.log and min(self.mild, self.grave) <= 0.0:
            raise ValueError("a logarithmic range needs both ends above 0")
        return self

    def at(self, severity: float) -> float:
        """The factor or value at a severity 0..1."""
        if self.log:
            return float(self.mild * (self.grave / self.mild) ** severity)
        return self.mild + severity * (self.grave - self.mild)


class Disagreement(Record):
    """Where the model contradicts the trade's sign table, and why the model is kept.

    Attributes:
        column: of the table.
        where: filter and layout, e.g. "can-after"; a filter or a layout alone stands for all of it.
        model: sign the model gives.
        why: one sentence.
    """

    column: str
    where: tuple[str, ...]
    model: Literal["+", "0", "-", "~"]
    why: str

    def holds(self, kind: str, layout: str) -> bool:
        """Whether it speaks of a filter in a layout."""
        return any(word in (kind, layout, f"{kind}-{layout}") for word in self.where)


class Fault(Record):
    """One fault.

    Attributes:
        fault: code; a letter tells variants apart.
        word, title, mechanism: for people.
        changes: what it does to the rig.
        found: what the part or the paper shows when it is looked at: shares of certainty 0..1.
        filters, layouts: where it can occur.
        onset: when it begins.
        hours: running hours over which it grows, where it comes after hours.
        pulse_kpa, pulse_dp_kpa: pressure before the filter (gauge) or difference over it that lets it loose,
            where it comes on a pulse.
        look_alikes: faults that are easily taken for it.
        may_join: faults that make a dormant or double fault with it.
        prior: how common it is against the others, relative.
        action, safety: what to do, and what can hurt.
        source, status: of the numbers.
        waits_for: part of the model that does not exist yet, or None where the fault acts.
        model_says: disagreements with the sign table.
    """

    fault: Name
    word: str
    title: str
    mechanism: str
    changes: tuple[NumberChange, ...] = ()
    found: dict[str, Share] = {}
    filters: tuple[Kind, ...] = ("can", "cartridge", "disc")
    layouts: tuple[Layout, ...] = ("before", "after")
    onset: Literal["at-start", "after-hours", "on-pulse"] = "at-start"
    hours: Annotated[float, Field(gt=0)] | None = None
    pulse_kpa: Annotated[float, Field(gt=0)] | None = None
    pulse_dp_kpa: Annotated[float, Field(gt=0)] | None = None
    look_alikes: tuple[Name, ...] = ()
    may_join: tuple[Name, ...] = ()
    prior: Annotated[float, Field(gt=0)] = 1.0
    action: str
    safety: str
    source: str
    status: Status
    waits_for: str | None = None
    model_says: tuple[Disagreement, ...] = ()

    @model_validator(mode="after")
    def _acts_or_waits(self) -> Fault:
        if bool(self.changes) == bool(self.waits_for):
            raise ValueError("expected either changes or waits_for")
        return self

    @model_validator(mode="after")
    def _comes_somehow(self) -> Fault:
        pulses = (self.pulse_kpa is not None) + (self.pulse_dp_kpa is not None)
        if (self.onset == "after-hours") != (self.hours is not None):
            raise ValueError("hours: expected with onset after-hours, and only there")
        if pulses != (self.onset == "on-pulse"):
            raise ValueError("expected one of pulse_kpa and pulse_dp_kpa with onset on-pulse, and only there")
        return self


class FaultFile(Record):
    """A file of faults."""

    faults: tuple[Fault, ...]


@cache
def faults() -> dict[str, Fault]:
    """All faults by code, in order of the code.

    Raises:
        BadInput: a file is bad.
        ValueError: a code stands twice, or names a fault that does not exist.
    """
    found: dict[str, Fault] = {}
    for path in sorted(asset("faults").glob("*.yaml")):
        for fault in load(path, FaultFile).faults:
            if fault.fault in found:
                raise ValueError(f"{path.name}: {fault.fault} stands twice")
            found[fault.fault] = fault
    _known(found)
    return dict(sorted(found.items()))


def _known(found: dict[str, Fault]) -> None:
    for fault in found.values():
        for other in (*fault.look_alikes, *fault.may_join):
            if other not in found:
                raise ValueError(f"{fault.fault}: no fault {other}")


def acting(kind: str, layout: str) -> tuple[Fault, ...]:
    """Faults that act on a filter of a kind in a layout."""
    return tuple(f for f in faults().values() if f.changes and kind in f.filters and layout in f.layouts)


def partners(fault: Fault, kind: str, layout: str) -> tuple[Fault, ...]:
    """Faults that may stand beside a fault on a filter in a layout: `may_join` read both ways."""
    return tuple(
        other
        for other in acting(kind, layout)
        if other.fault != fault.fault
        and (other.fault in fault.may_join or fault.fault in other.may_join)
        and fault in acting(kind, layout)
    )


def pairs_acting(kind: str, layout: str) -> tuple[tuple[Fault, Fault], ...]:
    """Double faults of a filter in a layout, the lower code first."""
    return tuple(
        (fault, other)
        for fault in acting(kind, layout)
        for other in partners(fault, kind, layout)
        if fault.fault < other.fault
    )


def joined(*found: Fault) -> str:
    """Code of one fault or of several at once, such as "F01+F06"."""
    return "+".join(sorted(fault.fault for fault in found))


def parts_of(code: str) -> tuple[Fault, ...]:
    """The faults of a code made by `joined`.

    Raises:
        KeyError: no such fault.
    """
    return tuple(faults()[part] for part in code.split("+"))
