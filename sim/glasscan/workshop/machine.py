"""A machine that is worked on, as one frozen record: joints, parts, oil, pressure, people."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from glasscan.workshop.machine_data import JointKind, MachineKind, machines_data

Harm = Literal["person", "machine", "oil", "none"]
Wire = Literal["none", "right", "wrong-way", "slack", "brittle"]
Place = Literal["machine", "bench", "box", "waste"]

PRESSURE_KPA: Mapping[str, float] = {"propeller": 400.0, "pump": 20_700.0}
"""Gauge pressure while it runs, by drive, kPa: as the invented rigs have it."""
LOW_KPA = 700.0
"""First step of a hydraulic pressure check, kPa (invented training value)."""


class CannotError(ValueError):
    """A step that the machine does not let happen now; one line says why. Nothing has changed."""


class BadChoiceError(ValueError):
    """Something a hand cannot choose: an unknown lubricant, a torque that is no number; one line says why."""


@dataclass(frozen=True)
class Event:
    """Something that happened at once because of a step.

    Attributes:
        text: for people.
        harm: who or what was hurt by it; "none" for what is only to be known.
    """

    text: str
    harm: Harm = "none"


@dataclass(frozen=True)
class Joint:
    """A joint as it is now.

    Attributes:
        closed: it is closed.
        torque_nm: what it was tightened to, N m; 0 where it is open or only hand-tight.
        wire: its lockwire.
        rings: seals that lie in it, "old" or "new".
        lubricant: what its new seal was wetted with.
        damaged: its thread is torn or the part is cracked.
        touched: it was opened in this work.
    """

    closed: bool = True
    torque_nm: float = 0.0
    wire: Wire = "right"
    rings: tuple[str, ...] = ("old",)
    lubricant: str = "system-oil"
    damaged: bool = False
    touched: bool = False


@dataclass(frozen=True)
class Machine:
    """The whole machine.

    Attributes:
        kind: word of its kind in the machines file.
        joints: by word.
        parts: where each part is, by word.
        oil_l: where the oil is, L: sump, filter, drum, floor, tin. The sum never changes.
        running: engine or pump turns.
        safe: power off and tagged, propeller safe.
        protected: gloves and eye protection on.
        pressure_kpa: gauge pressure in the system, kPa.
        zero_read: the gauge was read at zero since the last pressure.
        warm: the oil is warm.
        counted_out: tools and parts were counted before the work.
        counted_in: and after it, all there.
        outside: things that lie about, so that a count does not come out, such as a dropped screw.
        grade_wrong: oil of another grade was poured in.
        ran: it ran since the last joint was closed.
        looked: leaks were looked for after that run.
        present: states that were there before the work and are still there.
        notes: what was done that moves no part: papers, marks, looks.
        events: what happened.
        findings: what was found, as sentences.
        prepared: what the new seal of a joint was wetted with before it was laid in, by joint.
        lay: pieces on the shaft of a disc stack, bottom first, see `glasscan.workshop.stack_pieces`.
        entry: the record as it was written, by field.
        ended: why the work was stopped, or None.
    """

    kind: str
    joints: Mapping[str, Joint]
    parts: Mapping[str, Place]
    oil_l: Mapping[str, float]
    running: bool = False
    safe: bool = False
    protected: bool = False
    pressure_kpa: float = 0.0
    zero_read: bool = False
    warm: bool = True
    counted_out: bool = False
    counted_in: bool = False
    outside: tuple[str, ...] = ()
    grade_wrong: bool = False
    ran: bool = False
    looked: bool = False
    present: frozenset[str] = frozenset()
    notes: frozenset[str] = frozenset()
    events: tuple[Event, ...] = ()
    findings: tuple[str, ...] = ()
    prepared: Mapping[str, str] = field(default_factory=dict)
    lay: str = ""
    entry: Mapping[str, str] = field(default_factory=dict)
    ended: str | None = None
    what: MachineKind = field(repr=False, default=None)  # type: ignore[assignment]

    def but(self, **change: object) -> Machine:
        """The same with something changed."""
        return replace(self, **change)  # type: ignore[arg-type]

    def joint(self, name: str, **change: object) -> Machine:
        """The same with something changed at a joint."""
        return self.but(joints={**self.joints, name: replace(self.joints[name], **change)})  # type: ignore[arg-type]

    def part(self, name: str, place: Place) -> Machine:
        """The same with a part somewhere else."""
        return self.but(parts={**self.parts, name: place})

    def told(self, text: str, harm: Harm = "none") -> Machine:
        """The same with something that happened."""
        return self.but(events=(*self.events, Event(text, harm)))

    def found(self, text: str) -> Machine:
        """The same with a finding, told once."""
        return self if text in self.findings else self.but(findings=(*self.findings, text))

    def noted(self, *words: str) -> Machine:
        """The same with something done that moves no part."""
        return self.but(notes=self.notes | set(words))

    def poured(self, litres: float, out_of: str, into: str) -> Machine:
        """The same with oil somewhere else; never more than is there."""
        moved = min(litres, self.oil_l[out_of])
        oil = dict(self.oil_l)
        oil[out_of] -= moved
        oil[into] = oil.get(into, 0.0) + moved
        return self.but(oil_l=oil)

    def kind_of(self, joint: str) -> JointKind:
        """Data of a joint."""
        return machines_data().joints[joint]

    @property
    def open_joints(self) -> tuple[str, ...]:
        """Joints that are open now."""
        return tuple(name for name, joint in self.joints.items() if not joint.closed)

    @property
    def hurt(self) -> tuple[str, ...]:
        """What hurt a person, the machine, or lost its oil."""
        return tuple(e.text for e in self.events if e.harm != "none")


def machine_before(kind: str, begins: str = "stopped", present: frozenset[str] = frozenset()) -> Machine:
    """A machine before the work.

    Args:
        kind: "can", "cartridge", "disc" or "hydraulic".
        begins: "stopped", "running", "charged" (pressure stands in it) or "bench" (nothing but the part).
        present: states that are there, of those in the conditions file.

    Raises:
        KeyError: no such machine.
    """
    data = machines_data()
    what = data.machines[kind]
    joints = {name: Joint(torque_nm=data.joints[name].right_nm) for name in what.joints}
    off: Place = "bench" if begins == "bench" else "machine"
    parts: dict[str, Place] = {
        name: "box" if name.startswith("new-") else off if name.startswith("old-") else "machine"
        for name in what.parts
    }
    oil = {
        "sump": what.sump_l - (0.0 if kind == "disc" else 0.4), "filter": what.filter_l, "drum": 0.0,
        "floor": 0.0, "tin": 2.0 * what.sump_l,
    }  # fmt: skip
    charged = begins in ("running", "charged")
    return Machine(
        kind, joints, parts, oil, running=begins == "running", safe=begins == "bench",
        pressure_kpa=PRESSURE_KPA[what.drive] if charged else 0.0, present=present, what=what,
    )  # fmt: skip
