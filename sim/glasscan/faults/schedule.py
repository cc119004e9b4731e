"""Faults that come while the rig runs: at a moment, on a pulse of pressure, at once or growing.

How far each has come is part of the rig's frozen state, so a rewind takes it back, and the future after it
is the same bit by bit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from math import inf

from glasscan.contaminant.element import Element
from glasscan.faults.apply import apply
from glasscan.faults.fault_data import Fault
from glasscan.faults.interpolation import interpolate_setup
from glasscan.faults.scheduled_fault import STAGES, ScheduledFault
from glasscan.rig.controls import Controls
from glasscan.rig.plant_data import PlantData
from glasscan.rig.setup import RigSetup

BOOKED = frozenset({"sump.volume_l"})
"""Numbers that the books of a run begin with: they cannot move while it runs."""
BEGINS, GROWN = "fault-begins", "fault-grown"


@dataclass(frozen=True, slots=True)
class FaultProgress:
    """How far a fault has come: when it began, s, and its share of the full size."""

    begun_s: float | None = None
    share: float = 0.0


Courses = tuple[FaultProgress, ...]


def next_stage_s(coming: Sequence[ScheduledFault], courses: Courses) -> float:
    """Next moment at which a fault begins or grows, s; infinite where only a pulse can bring one."""
    return min((_next(c, course) for c, course in zip(coming, courses, strict=True)), default=inf)


def _next(coming: ScheduledFault, course: FaultProgress) -> float:
    if course.begun_s is None:
        return inf if coming.on_pulse else coming.at_s
    if course.share >= 1.0:
        return inf
    stage = round(course.share * STAGES) + 1
    return course.begun_s + stage * coming.over_s / STAGES


def waits_for_pulse(coming: Sequence[ScheduledFault], courses: Courses, t_s: float) -> bool:
    """Whether the pressures have to be looked at."""
    pairs = zip(coming, courses, strict=True)
    return any(c.on_pulse and course.begun_s is None and t_s >= c.at_s for c, course in pairs)


def moved_on(
    coming: Sequence[ScheduledFault], courses: Courses, t_s: float, inlet_pa: float, dp_pa: float
) -> tuple[Courses, list[str]]:
    """Courses at a moment, the same object where nothing has moved, and words of what has happened.

    Args:
        coming: the faults.
        courses: before.
        t_s: the moment, s.
        inlet_pa: pressure before the filter, Pa gauge.
        dp_pa: difference over it, Pa.
    """
    after = tuple(
        _gone_on(c, course, t_s, inlet_pa, dp_pa) for c, course in zip(coming, courses, strict=True)
    )
    if after == courses:
        return courses, []
    trios = list(zip(coming, courses, after, strict=True))
    words = [BEGINS for _, a, b in trios if a.begun_s is None and b.begun_s is not None]
    return after, words + [GROWN for c, a, b in trios if c.over_s > 0.0 and a.share < 1.0 <= b.share]


def _gone_on(
    coming: ScheduledFault, course: FaultProgress, t_s: float, inlet_pa: float, dp_pa: float
) -> FaultProgress:
    begun = course.begun_s
    if begun is None and t_s >= coming.at_s:
        begun = t_s if not coming.on_pulse or pulse_reached(coming.fault, inlet_pa, dp_pa) else None
    return course if begun is None else FaultProgress(begun, max(coming.share(begun, t_s), course.share))


def pulse_reached(fault: Fault, inlet_pa: float, dp_pa: float) -> bool:
    """Whether pressure before the filter, or difference over it, is what lets a fault loose."""
    inlet, across = fault.pulse_kpa, fault.pulse_dp_kpa
    return (inlet is not None and inlet_pa >= inlet * 1e3) or (across is not None and dp_pa >= across * 1e3)


def at_start_only(fault: Fault) -> bool:
    """Whether a fault cannot come while the rig runs: it lies in what the run or its books begin with."""
    names = [change.set for change in fault.changes]
    return all(name.startswith("start.") for name in names) or any(name in BOOKED for name in names)


@dataclass(frozen=True)
class Condition:
    """A rig as far as its faults have come: its setup, and its element as a catcher of dirt."""

    setup: RigSetup
    element: Element


class FaultedRigCache:
    """Makes and remembers the conditions that a rig passes through.

    Args:
        setup: at the start, with the faults to come.
    """

    def __init__(self, setup: RigSetup) -> None:
        self._base = setup
        self._made: dict[tuple[float, ...], Condition] = {}

    def at(self, courses: Courses) -> Condition:
        """The condition where the faults have come so far."""
        shares = tuple(course.share for course in courses)
        if shares not in self._made:
            self._made[shares] = self._make(shares)
        return self._made[shares]

    def _make(self, shares: tuple[float, ...]) -> Condition:
        pairs = [(c, s) for c, s in zip(self._base.coming, shares, strict=True) if s > 0.0]
        setup = reduce(_apply_partially, pairs, self._base)
        return Condition(setup, Element(setup.network, setup.network.dirt_side.catcher))


def _apply_partially(setup: RigSetup, come: tuple[ScheduledFault, float]) -> RigSetup:
    coming, share = come
    full = apply(coming.fault, coming.severity, setup)
    return full if share == 1.0 else interpolate_setup(setup, full, share)


def carried_over(controls: Controls, before: RigSetup, after: RigSetup) -> Controls:
    """The settings where a fault has come further: what it moves is moved, what was set by hand stays.

    An oil filled in by hand stays as it came out of its can.
    """
    same_oil = controls.fluid == before.fluid
    return replace(
        controls,
        plant=_plant(controls.plant, before.plant, after.plant),
        fluid=after.fluid if same_oil else controls.fluid,
    )


def _plant(now: PlantData, before: PlantData, after: PlantData) -> PlantData:
    if before == after:
        return now
    data, old, new = now.model_dump(), before.model_dump(), after.model_dump()
    for block, numbers in new.items():
        if isinstance(numbers, dict):
            moved = {name: value for name, value in numbers.items() if value != old[block][name]}
            data[block].update(moved)
    return PlantData.model_validate(data)
