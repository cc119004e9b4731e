"""The run that is shown after the verdict: with the fault, and the same without it, cold and hot."""

from __future__ import annotations

from dataclasses import dataclass, replace

from glasscan.faults.counterfactual import Ghost, ghost_run
from glasscan.learning.cases.case_play import Case
from glasscan.learning.cases.debrief import ghost_rigs
from glasscan.rig.rig import RigFailedError
from glasscan.rig.setup import Ramp, RigSetup

END_S, START_S, SPOOL_S, CRUISE_S = 60.0, 1.0, 2.0, 30.0
FAST_IDLE, IDLE, CRUISE = 900.0, 700.0, 2400.0  # rev/min, those of faults/observables.py
HOT_C = 85.0


@dataclass(frozen=True)
class Morning:
    """One run: a title, and the two setups that differ by the fault alone."""

    title: str
    faulty: RigSetup
    sound: RigSetup

    def ghost(self, from_s: float = 0.0) -> Ghost | None:
        """Both runs side by side; None where one of the rigs cannot go on.

        It steps two rigs through a minute: about a second.

        Args:
            from_s: moment at which the fault is taken away in the second run, s; 0 = it was never there.
        """
        try:
            return ghost_run(self.faulty, self.sound, from_s, END_S)
        except RigFailedError:
            return None


def mornings(case: Case) -> tuple[Morning, Morning]:
    """A cold start at fast idle, and hot oil at idle and then at cruise; only after the verdict.

    Raises:
        RefusedError: the case is not over yet.
    """
    faulty, sound = ghost_rigs(case)
    cold = (Ramp(START_S, "rpm", FAST_IDLE, SPOOL_S),)
    hot = (Ramp(START_S, "rpm", IDLE, SPOOL_S), Ramp(CRUISE_S, "rpm", CRUISE, 2 * SPOOL_S))

    def run(title: str, **change: object) -> Morning:
        return Morning(title, *(replace(rig, end_s=END_S, **change) for rig in (faulty, sound)))  # type: ignore[arg-type]

    return (
        run("Cold start, −5 °C, 900 rpm", timeline=cold),
        run("Hot oil, 85 °C: idle, at 30 s cruise", timeline=hot, oil_c=HOT_C),
    )
