"""To a moment of a lesson without the frames between: coarse steps while nothing is moved, fine ones after.

A night at rest takes as many steps as a minute of running. The trace keeps a row of every step.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from glasscan.rig.records import Snapshot
from glasscan.window.presenter.notes import DOES

FINE_S = 0.25  # step near a change of the timeline and near the moment asked for
FINE_FOR_S = 30.0  # model time after a change in which steps stay fine
SHARE = 0.05  # a coarse step is this share of the time since the last change
COARSEST = 1 / 2000  # of the whole way


class Jumping(Protocol):
    """What a jump asks of a session."""

    snapshot: Snapshot

    @property
    def facts(self) -> Any:
        """With the lines of the timeline."""

    def run_to(self, t_s: float, step_s: float) -> None:
        """Step the rig to a moment, s, in steps of at most `step_s`."""


def jump(session: Jumping, t_s: float, tell: Callable[[float], None] = lambda _: None) -> None:
    """Bring a session to a moment, s, by the rig's own steps; a rig that fails stays where it failed.

    `tell` gets the model time before every step.
    """
    marks = sorted({0.0, *(line.t_s for line in session.facts.lines if line.kind == DOES)})
    coarsest = max((t_s - session.snapshot.t_s) * COARSEST, FINE_S)
    while session.snapshot.t_s < t_s - 1e-9:
        before = session.snapshot.t_s
        tell(before)
        ahead = min((mark for mark in marks if mark > before), default=t_s)
        since = before - max(mark for mark in marks if mark <= before)
        step = min(max(SHARE * (since - FINE_FOR_S), FINE_S), coarsest)
        session.run_to(min(before + step, max(ahead, before + FINE_S), t_s), step)
        if session.snapshot.t_s <= before:
            return
