"""How a fault comes in a run: there at the start, grown over hours, or let loose by a pulse of pressure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.filters.network import ElementHole, FilterNetwork
from sim.plant.data import PlantData
from sim.plant.faults.apply import apply
from sim.plant.faults.data import Fault
from sim.plant.faults.ghost import mended
from sim.plant.records import Snapshot
from sim.plant.rig import Rig
from sim.plant.setup import RigSetup

Floats = NDArray[np.float64]
STAGES = 20
"""Steps in which a fault grows over its hours."""
WATCH_S = 0.1
"""How often a run is looked at for a pulse, s."""
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
        self._ill, self._sound, self._scale = tuple(ill), sound, hours_scale
        self._share = [1.0 if fault.onset == "at-start" else 0.0 for fault, _ in ill]
        self.rig = Rig(self._setup())
        self.came: dict[str, float] = {f.fault: 0.0 for f, _ in ill if f.onset == "at-start"}
        """When each fault was fully there, s; those still to come are missing."""

    def advance_to(self, t_s: float) -> Snapshot:
        """Run on to a moment; the snapshot then."""
        while self.rig.t_s < t_s:
            self.rig.advance_to(min(t_s, self._next_look()))
            self._look()
        return self.rig.snapshot()

    def _waiting_for_a_pulse(self) -> bool:
        return any(f.onset == "on-pulse" and not s for (f, _), s in zip(self._ill, self._share, strict=True))

    def _next_look(self) -> float:
        """The next moment at which a fault may come or grow, s."""
        now = self.rig.t_s
        if self._waiting_for_a_pulse():
            return now + WATCH_S
        stages = [self._hours_s(f) / STAGES for f, _ in self._ill if f.onset == "after-hours"]
        return min((step * (int(now / step + 1e-9) + 1) for step in stages), default=np.inf)

    def _hours_s(self, fault: Fault) -> float:
        return (fault.hours or 0.0) * SECONDS * self._scale

    def _look(self) -> None:
        now = self.rig.snapshot()
        shares = [
            self._come(fault, share, now) for (fault, _), share in zip(self._ill, self._share, strict=True)
        ]
        if shares == self._share:
            return
        self._share = shares
        self.rig = mended(self.rig.state, self._setup())
        for (fault, _), share in zip(self._ill, shares, strict=True):
            if share == 1.0:
                self.came.setdefault(fault.fault, now.t_s)

    def _come(self, fault: Fault, share: float, now: Snapshot) -> float:
        """Share of its full size that a fault has reached."""
        if fault.onset == "after-hours":
            return min(round(now.t_s / self._hours_s(fault) * STAGES) / STAGES, 1.0)
        if fault.onset == "on-pulse" and not share:
            return float(pulse_reached(fault, now))
        return share

    def _setup(self) -> RigSetup:
        setup = self._sound
        for (fault, severity), share in zip(self._ill, self._share, strict=True):
            if share > 0.0:
                full = apply(fault, severity, setup)
                setup = full if share == 1.0 else between(setup, full, share)
        return setup


def pulse_reached(fault: Fault, now: Snapshot) -> bool:
    """Whether pressure before the filter, or difference over it, is what lets a fault loose."""
    inlet, across = fault.pulse_kpa, fault.pulse_dp_kpa
    return (inlet is not None and now.inlet_pa >= inlet * 1e3) or (
        across is not None and now.dp_pa >= across * 1e3
    )


def between(sound: RigSetup, full: RigSetup, share: float) -> RigSetup:
    """A setup on the way from one to another: even in the logarithm where both ends are above nought."""
    (cold_c, cold), (hot_c, hot) = full.fluid.kv_points
    (_, cold_before), (_, hot_before) = sound.fluid.kv_points
    points = ((cold_c, _number(cold_before, cold, share)), (hot_c, _number(hot_before, hot, share)))
    same = points == sound.fluid.kv_points
    thinned = replace(full.fluid, name=f"{full.fluid.name} ({share:.0%})", kv_points=points)
    return replace(
        full,
        fluid=sound.fluid if same else thinned,
        network=_network(sound.network, full.network, share),
        plant=_plant(sound.plant, full.plant, share),
    )


def _number(before: float, after: float, share: float) -> float:
    if before == after:
        return after
    if min(before, after) > 0.0:
        return float(before * (after / before) ** share)
    return before + share * (after - before)


def _plant(before: PlantData, after: PlantData, share: float) -> PlantData:
    a, b = before.model_dump(), after.model_dump()
    for block, numbers in b.items():
        if isinstance(numbers, dict):
            for name, value in numbers.items():
                old = a[block][name]
                if isinstance(value, float) and isinstance(old, float):
                    numbers[name] = _number(old, value, share)
    return PlantData.model_validate(b)


def _network(before: FilterNetwork, after: FilterNetwork, share: float) -> FilterNetwork:
    valve = after.valve
    if before.valve is not None and valve is not None:
        names = ("preload_n", "rate_n_m", "friction_n", "jam_lift_m")
        moved = {n: _number(getattr(before.valve, n), getattr(valve, n), share) for n in names}
        valve = replace(valve, **moved)
    r = before.segment_r * (after.segment_r / before.segment_r) ** share
    return replace(after, segment_r=r, valve=valve, hole=_hole(before.hole, after.hole, share))


def _hole(before: ElementHole | None, after: ElementHole | None, share: float) -> ElementHole | None:
    if after is None:
        return None
    first = before.area_m2 if before is not None else 0.0
    return replace(after, area_m2=first + share * (after.area_m2 - first))
