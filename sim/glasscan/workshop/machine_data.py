"""Shape of `assets/workshop/machines.yaml`: joints, seals, parts and oil of the machines."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.content import load
from glasscan.paths import asset

Id = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Words = Annotated[str, Field(min_length=1, max_length=300)]
Volume = Annotated[float, Field(gt=0, le=200)]
Drive = Literal["propeller", "pump"]
Fit = Literal["well", "mild", "swells", "dirties", "dry"]
DRY = "dry"


class MachineRecord(BaseModel):
    """A frozen piece of the file; unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Lubricant(MachineRecord):
    """Something that may be put on a seal."""

    id: Id
    title: Words


class RingKind(MachineRecord):
    """A kind of seal: what it is to be wetted with, and what harms it.

    Attributes:
        title: its name.
        well: as the manual says.
        mild: not asked for; it does no harm that this model knows.
        swells: softens or swells its compound.
        dirties: squeezes out into the oil.
        source, status: where that comes from.
    """

    title: Words
    well: tuple[Id, ...] = Field(min_length=1)
    mild: tuple[Id, ...] = ()
    swells: tuple[Id, ...] = ()
    dirties: tuple[Id, ...] = ()
    source: Words
    status: Literal["FOUND", "MEMORY", "CP"]

    def fit(self, lubricant: str) -> Fit:
        """How this seal takes a lubricant; what is in no list is as good as none."""
        for name in ("well", "mild", "swells", "dirties"):
            if lubricant in getattr(self, name):
                return name  # type: ignore[return-value]
        return "dry"


class JointKind(MachineRecord):
    """A joint that can be opened.

    Attributes:
        title: its name.
        ring: kind of its seal.
        torque_nm: (lowest, highest, where it tears), N m.
        wire: lockwire is asked for.
        under: the oil that stands above it.
        open_gives, loose_gives, bare_gives, two_gives: conditions for the next run where it is left open,
            loose, without a seal, or with two.
        line: line of the invented manual that gives its torque.
    """

    title: Words
    ring: Id
    torque_nm: tuple[float, float, float]
    wire: bool
    under: Literal["sump", "filter"]
    open_gives: Id
    loose_gives: Id
    bare_gives: Id
    two_gives: Id
    line: Annotated[str, Field(pattern=r"^[a-z-]+\.[a-z0-9-]+$")] | None = None

    @model_validator(mode="after")
    def _rising(self) -> JointKind:
        low, high, tears = self.torque_nm
        if not 0.0 < low <= high < tears:
            raise ValueError("torque_nm: expected lowest, highest and tearing torque, rising")
        return self

    @property
    def right_nm(self) -> float:
        """Middle of the range, N m."""
        return (self.torque_nm[0] + self.torque_nm[1]) / 2.0


class MachineKind(MachineRecord):
    """A machine as it stands before the work.

    Attributes:
        title: its name.
        drive: a propeller turns on it, or a pump is driven.
        sump_l, filter_l: oil in the sump or tank when full, and in the filter, L.
        min_l: least oil before it may run, L.
        joints, parts: what can be opened, and what comes out or goes in.
        meter_h: reading of the hour meter on the day of the work, h.
        part_no: number on the box of the new filter or element.
        source, status: of the numbers.
    """

    title: Words
    drive: Drive
    sump_l: Volume
    filter_l: Volume
    min_l: Volume
    joints: tuple[Id, ...]
    parts: tuple[Id, ...]
    meter_h: Annotated[float, Field(gt=0, le=1e5)]
    part_no: Annotated[str, Field(pattern=r"^[A-Z0-9-]{3,20}$")]
    source: Words
    status: Literal["INVENTED"]


class WireData(MachineRecord):
    """Lockwire as the joints of these machines ask for it."""

    diameter_mm: Annotated[float, Field(gt=0, le=3)]
    twists_per_inch: tuple[float, float]
    source: Words
    status: Literal["FOUND"]


class MachinesData(MachineRecord):
    """The whole file."""

    about: Words
    lubricants: tuple[Lubricant, ...]
    rings: dict[Id, RingKind]
    joints: dict[Id, JointKind]
    machines: dict[Id, MachineKind]
    tools: tuple[Words, ...]
    wire: WireData

    @model_validator(mode="after")
    def _whole(self) -> MachinesData:
        known = {x.id for x in self.lubricants}
        for name, ring in self.rings.items():
            strange = {*ring.well, *ring.mild, *ring.swells, *ring.dirties} - known
            if strange:
                raise ValueError(f"rings: {name}: no lubricant '{min(strange)}'")
        for name, joint in self.joints.items():
            if joint.ring not in self.rings:
                raise ValueError(f"joints: {name}: no ring '{joint.ring}'")
        for name, machine in self.machines.items():
            strange = set(machine.joints) - set(self.joints)
            if strange:
                raise ValueError(f"machines: {name}: no joint '{min(strange)}'")
        return self


@cache
def machines_data() -> MachinesData:
    """The shipped machines, read once.

    Raises:
        BadInput: the file is missing or bad.
    """
    return load(asset("workshop", "machines.yaml"), MachinesData)
