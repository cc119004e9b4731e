"""How a fault comes in a run: there at the start, grown over hours, or let loose by a pulse of pressure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from glasscan.faults.apply import combined
from glasscan.faults.fault_data import Fault
from glasscan.faults.scheduled_fault import ScheduledFault
from glasscan.rig.records import Snapshot
from glasscan.rig.rig import Rig
from glasscan.rig.setup import RigSetup

SECONDS = 3600.0

Ill = Sequence[tuple[Fault, float]]


class FaultyRun:
    """A run in which faults come as their data say; what they change then stays changed.

    Args:
        ill: faults with severities.
        sound: the rig without them.
        hours_scale: factor on the hours of growth, for runs that shall not last so long.
    """

    def __init__(self, ill: Ill, sound: RigSetup, hours_scale: float = 1.0) -> None:
        there = [(fault, severity) for fault, severity in ill if fault.onset == "at-start"]
        coming = tuple(
            ScheduledFault(
                fault,
                severity,
                over_s=(fault.hours or 0.0) * SECONDS * hours_scale,
                on_pulse=fault.onset == "on-pulse",
            )
            for fault, severity in ill
            if fault.onset != "at-start"
        )
        self._there = [fault.fault for fault, _ in there]
        self.rig = Rig(replace(combined(there, sound), coming=coming))

    @property
    def came(self) -> dict[str, float]:
        """When each fault was fully there, s; those still to come are missing."""
        found = dict.fromkeys(self._there, 0.0)
        for coming, course in zip(self.rig.setup.coming, self.rig.state.courses, strict=True):
            if course.share == 1.0 and course.begun_s is not None:
                found[coming.fault.fault] = course.begun_s + coming.over_s
        return found

    def advance_to(self, t_s: float) -> Snapshot:
        """Run on to a moment; the snapshot then."""
        self.rig.advance_to(t_s)
        return self.rig.snapshot()
