"""Which picture each fault has, and which faults a rig has at a moment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal

from pydantic import BaseModel, ConfigDict

from glasscan.content import load
from glasscan.paths import asset

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.rig.records import Snapshot
    from glasscan.rig.rig import Rig


class FaultPicture(BaseModel):
    """One line of the file: where it is drawn, how, at which part, and the words beside it."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    view: Literal["section", "circuit"]
    draw: str
    part: tuple[str, ...]
    words: str


class FaultPictureFile(BaseModel):
    """The file of pictures, by code of the fault."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    pictures: dict[str, FaultPicture]


@cache
def fault_pictures() -> dict[str, FaultPicture]:
    """All pictures by code.

    Raises:
        BadInput: the file is bad.
    """
    return load(asset("fault-pictures.yaml"), FaultPictureFile).pictures


@dataclass(frozen=True)
class ShownFault:
    """A fault that the rig has now: code, how grave, 0..1, and whether this run's pressure made it."""

    code: str
    severity: float
    by_pressure: bool = False

    @property
    def picture(self) -> FaultPicture:
        """How it is drawn."""
        return fault_pictures()[self.code]


def at_start(scenario: Scenario) -> tuple[ShownFault, ...]:
    """Faults that a scenario starts with."""
    return tuple(ShownFault(ill.fault, ill.severity) for ill in scenario.faults if not ill.comes)


def come_by_now(rig: Rig | None) -> tuple[ShownFault, ...]:
    """Faults that have come while the rig ran, as far as they have grown."""
    if rig is None or not rig.setup.coming:
        return ()
    pairs = zip(rig.setup.coming, rig.state.courses, strict=True)
    return tuple(
        ShownFault(coming.fault.fault, coming.severity * course.share)
        for coming, course in pairs
        if course.begun_s is not None
    )


def broken_by_pressure(s: Snapshot, faults: Sequence[ShownFault]) -> tuple[ShownFault, ...]:
    """Collapse and tear that the pressure has made in this run, beside the faults there are."""
    codes = {f.code for f in faults}
    torn, bent = s.readings.get("torn_m2", 0.0) > 0.0, s.readings.get("pleats_set_pa", 0.0) > 0.0
    extra = []
    if bent and "F07" not in codes:
        extra.append(ShownFault("F07", 1.0 if torn else 0.3, True))
    elif torn and not codes & {"F07", "F08"}:
        extra.append(ShownFault("F08", 1.0, True))
    return (*faults, *extra)
