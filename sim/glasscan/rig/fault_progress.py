"""A rig's state when faults that come while it runs begin or grow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from glasscan.faults.schedule import FaultedRigCache, carried_over, moved_on, next_stage_s, waits_for_pulse
from glasscan.faults.scheduled_fault import ScheduledFault
from glasscan.rig import state_index as at
from glasscan.rig.algebraic import Parts, can_pressure
from glasscan.rig.records import Event
from glasscan.rig.snapshot import event_signals
from glasscan.rig.state import State


def is_due(coming: Sequence[ScheduledFault], state: State) -> bool:
    """Whether a fault may begin or grow now."""
    late = next_stage_s(coming, state.courses) <= state.t_s
    return late or waits_for_pulse(coming, state.courses, state.t_s)


def advance_faults(
    coming: Sequence[ScheduledFault], state: State, parts: Parts, conditions: FaultedRigCache
) -> State:
    """The state once faults have begun or grown; the same object where none has.

    Args:
        coming: faults of the rig.
        state: now.
        parts: of the rig now, for the pressures.
        conditions: of the rig.
    """
    look = event_signals(parts, state.t_s, state.y)
    inlet_pa = can_pressure(parts, float(state.y[at.CAN]))
    courses, words = moved_on(coming, state.courses, state.t_s, inlet_pa, look.dp_pa)
    if courses is state.courses:
        return state
    before, after = conditions.at(state.courses), conditions.at(courses)
    events = tuple(Event(state.t_s, word, look.dp_pa, look.oil_c) for word in words)
    return replace(
        state,
        courses=courses,
        controls=carried_over(state.controls, before.setup, after.setup),
        segment_r=after.element.resistance(state.dirt.held, state.dirt.sludge, state.pleats.across_pa),
        events=state.events + events,
    )
