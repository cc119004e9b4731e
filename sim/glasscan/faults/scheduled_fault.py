"""A fault still to come in a run: which, how grave, when it begins and how long it grows."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from glasscan.faults.fault_data import Fault

STAGES = 50
"""Steps in which a fault grows: two per cent of the way each."""


@dataclass(frozen=True)
class ScheduledFault:
    """A fault still to come.

    Attributes:
        fault, severity: which, and how grave it becomes.
        at_s: when it begins; with `on_pulse` the earliest moment, s.
        over_s: how long it grows, s; 0 = at once.
        on_pulse: it waits for the pressure that its data name.
    """

    fault: Fault
    severity: float
    at_s: float = 0.0
    over_s: float = 0.0
    on_pulse: bool = False

    def share(self, begun_s: float, t_s: float) -> float:
        """Share of its full size at a moment, s, in whole stages."""
        if self.over_s <= 0.0:
            return 1.0
        return min(floor((t_s - begun_s) / self.over_s * STAGES + 1e-9) / STAGES, 1.0)
