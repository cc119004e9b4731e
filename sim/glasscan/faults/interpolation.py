"""A rig on the way from sound to ill: every number between its two ends."""

from __future__ import annotations

from dataclasses import replace

from glasscan.filters.network import ElementHole, FilterNetwork
from glasscan.rig.plant_data import PlantData
from glasscan.rig.setup import RigSetup


def interpolate_setup(sound: RigSetup, full: RigSetup, share: float) -> RigSetup:
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
