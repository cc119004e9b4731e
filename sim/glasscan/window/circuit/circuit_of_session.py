"""The numbers of a session's rig, as its circuit is drawn from them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from glasscan.window.circuit.circuit_flows import FULL_RPM, RigNumbers

if TYPE_CHECKING:
    from glasscan.window.lesson.lesson_session import LessonSession


def rig_numbers(session: LessonSession) -> RigNumbers | None:
    """Numbers of the rig as it is now and as it would be sound; None where the engine does not tell."""
    rig = getattr(session.engine, "rig", None)
    if rig is None:
        return None
    now = rig.parts().params
    return RigNumbers(now, session.facts.sound or now, session.facts.top_rpm or FULL_RPM)
