"""What work has left behind, put into the rig for its next run; nothing is scripted, only numbers move."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from glasscan.faults.apply import apply
from glasscan.faults.fault_data import Fault, faults
from glasscan.rig.setup import RigSetup
from glasscan.workshop.procedures.procedure_catalogue import load_conditions
from glasscan.workshop.procedures.procedure_data import Condition

MIDDLE = 0.5
"""Severity between the mildest and the gravest of the fault data."""


@dataclass(frozen=True)
class NextRun:
    """A rig after the work.

    Attributes:
        setup: of the next run.
        acting: conditions that move a number of it.
        silent: conditions that this model has no number for; they count in the debriefing only.
    """

    setup: RigSetup
    acting: tuple[str, ...]
    silent: tuple[str, ...]


def next_run(conditions: Iterable[str], setup: RigSetup, kind: str, severity: float = MIDDLE) -> NextRun:
    """Put conditions into a rig; a fault that several of them bring comes once.

    Args:
        conditions: ids, such as `Outcome.conditions`.
        setup: the rig as it would run after good work.
        kind: "can", "cartridge" or "disc".
        severity: 0 mildest, 1 gravest.

    Raises:
        KeyError: an unknown condition.
        ValueError: the severity is out of range.
    """
    known, acting, silent = load_conditions(), list[str](), list[str]()
    done: set[str] = set()
    for name in conditions:
        condition = known[name]
        fault = acting_fault(condition.fault, kind, setup)
        if condition.can_fill is not None:
            setup = replace(setup, can_fill=condition.can_fill)
        elif fault is not None and fault.fault not in done:
            setup = _worse_seal(setup, apply(fault, severity, setup))
            done.add(fault.fault)
        by_hand = _numbers(condition, _by_hand(condition, setup))
        moved = fault is not None or condition.can_fill is not None or by_hand is not setup
        setup = by_hand
        (acting if moved else silent).append(name)
    return NextRun(setup, tuple(acting), tuple(silent))


def _worse_seal(before: RigSetup, after: RigSetup) -> RigSetup:
    """Two faults of one seal: the larger opening stays, whichever came first."""
    if after.plant.seal.area_mm2 >= before.plant.seal.area_mm2:
        return after
    return replace(after, plant=after.plant.model_copy(update={"seal": before.plant.seal}))


def _numbers(condition: Condition, setup: RigSetup) -> RigSetup:
    """Numbers of the rig as the work has left them, such as what is in the sump."""
    for key, value in condition.plant.items():
        block, _, name = key.partition(".")
        changed = getattr(setup.plant, block).model_copy(update={name: value})
        setup = replace(setup, plant=setup.plant.model_copy(update={block: changed}))
    return setup


def _by_hand(condition: Condition, setup: RigSetup) -> RigSetup:
    """The run with less done by hand in it: the handle turned in part, the bowl left full."""
    ramps = tuple(
        replace(ramp, to=condition.actions[ramp.key]) if ramp.key in condition.actions else ramp
        for ramp in setup.timeline
    )
    return replace(setup, timeline=ramps) if ramps != setup.timeline else setup


def acting_fault(code: str | None, kind: str, setup: RigSetup) -> Fault | None:
    """The fault of a code, where it acts on such a filter in such a layout."""
    found = faults().get(code or "")
    if found is None or not found.changes:
        return None
    return found if kind in found.filters and setup.regulator in found.layouts else None
