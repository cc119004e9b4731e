"""A fault put into a rig: the setup with numbers moved, nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from glasscan.faults.fault_data import Fault, NumberChange
from glasscan.filters.network import ElementHole, FilterNetwork
from glasscan.laws.disc_pack import SHUT_SHARE, DiscPack
from glasscan.rig.plant_data import PlantData
from glasscan.rig.setup import RigSetup

MM2 = 1e-6


def apply(fault: Fault, severity: float, setup: RigSetup) -> RigSetup:
    """The same rig with a fault in it.

    Args:
        fault: which.
        severity: 0 mildest, 1 gravest.
        setup: the rig before.

    Raises:
        ValueError: the fault waits for a part of the model, the severity is out of range, or the rig has no
            such number.
    """
    if fault.waits_for:
        raise ValueError(f"{fault.fault} does not act yet: {fault.waits_for}")
    if not 0.0 <= severity <= 1.0:
        raise ValueError(f"severity: expected 0 to 1, got {severity!r}")
    for change in fault.changes:
        setup = _changed(setup, change, change.at(severity))
    return setup


def combined(faults: Iterable[tuple[Fault, float]], setup: RigSetup) -> RigSetup:
    """Several faults in one rig, in the order given."""
    for fault, severity in faults:
        setup = apply(fault, severity, setup)
    return setup


def _changed(setup: RigSetup, change: NumberChange, value: float) -> RigSetup:
    group, _, name = change.set.partition(".")
    if group in _GROUPS:
        return _GROUPS[group](setup, name, change, value)
    return replace(setup, plant=_plant(setup.plant, group, name, change, value))


def _new(old: float, change: NumberChange, value: float) -> float:
    return old * value if change.how == "times" else value


def _valve(setup: RigSetup, name: str, change: NumberChange, value: float) -> RigSetup:
    valve = setup.network.valve
    if valve is None:
        raise ValueError(f"{change.set}: this filter has no bypass valve")
    if name == "jam_share":
        moved = replace(valve, jam_lift_m=value * valve.max_lift_m)
    elif name == "cracking":
        moved = replace(valve, preload_n=value * (valve.preload_n + valve.friction_n) - valve.friction_n)
    else:
        moved = replace(valve, **{name: _new(getattr(valve, name), change, value)})
    return replace(setup, network=replace(setup.network, valve=moved))


def _element(setup: RigSetup, name: str, _change: NumberChange, value: float) -> RigSetup:
    return replace(setup, network=_ELEMENT[name](setup.network, value))


def _resistance(network: FilterNetwork, factor: float) -> FilterNetwork:
    return replace(network, segment_r=network.segment_r * factor)


def _packed(network: FilterNetwork, change: Callable[[DiscPack, int], DiscPack]) -> FilterNetwork:
    """The stack with other parts on its rod: gaps, what they sieve and what the handle feels follow."""
    pack = network.dirt_side.pack
    if pack is None:
        raise ValueError("element: this filter has no stack of discs")
    made = change(pack, network.segments // 2)
    flow = np.array(made.conductance()) / np.array(pack.conductance())
    r = np.divide(network.segment_r, flow, out=np.full(network.segments, np.inf), where=flow > 0.0)
    wider = np.maximum(np.array(made.widest_m) / np.array(pack.widest_m), SHUT_SHARE)
    side = replace(network.dirt_side, pack=made)
    if side.scraper is not None:
        comb = replace(side.scraper.comb, pinched=made.pinched)
        side = replace(side, scraper=replace(side.scraper, comb=comb))
    return _catching(replace(network, segment_r=r, dirt=side), opening_m=side.catcher.opening_m * wider)


def _spacers_missing(network: FilterNetwork, number: float) -> FilterNetwork:
    """Spacers left out, from the middle upwards: clamped discs touch there."""

    def change(pack: DiscPack, place: int) -> DiscPack:
        for k in range(round(number)):
            pack = pack.changed(place + 2 * k, spacers=0)
        return pack

    return _packed(network, change)


def _catching(network: FilterNetwork, **change: object) -> FilterNetwork:
    """Another element as a catcher of dirt."""
    side = network.dirt_side
    return replace(network, dirt=replace(side, catcher=replace(side.catcher, **change)))  # type: ignore[arg-type]


def _pores(network: FilterNetwork, factor: float) -> FilterNetwork:
    return _catching(network, opening_m=network.dirt_side.catcher.opening_m * factor)


def _hole(network: FilterNetwork, area_mm2: float, place: float) -> FilterNetwork:
    segment = round(place * (network.segments - 1))
    return replace(network, hole=ElementHole(segment, area_mm2 * MM2))


def _inlet(network: FilterNetwork, factor: float) -> FilterNetwork:
    """Inlet holes covered: less area in their inertial loss; their creeping loss is left out."""
    losses = tuple(
        replace(loss, area_m2=loss.area_m2 * factor) if loss.where == "inlet" else loss
        for loss in network.losses
    )
    return replace(network, losses=losses)


_ELEMENT: dict[str, Callable[[FilterNetwork, float], FilterNetwork]] = {
    "resistance": _resistance,
    "spacers_missing": _spacers_missing,
    "spacers_doubled": lambda network, number: _packed(
        network, lambda pack, place: pack.changed(place, spacers=round(number))
    ),
    "burr_um": lambda network, um: _packed(
        network, lambda pack, place: pack.changed(place, lifted_m=um * 1e-6)
    ),
    "slack_um": lambda network, um: _packed(network, lambda pack, _: replace(pack, slack_m=um * 1e-6)),
    "tear_mm2": lambda network, area: _hole(network, area, 0.5),
    "end_gap_mm2": lambda network, area: _hole(network, area, 1.0),
    "foot_gap_mm2": lambda network, area: _hole(network, area, 0.0),
    "inlet_area": _inlet,
    "pores": _pores,
    "beta": lambda network, beta: _catching(network, beta=beta),
}


def _oil(setup: RigSetup, name: str, change: NumberChange, value: float) -> RigSetup:
    """Viscosity times a factor at both points of the curve."""
    if name != "viscosity" or change.how != "times":
        raise ValueError(f"{change.set}: only the viscosity of the oil can be changed, by a factor")
    (cold_c, cold), (hot_c, hot) = setup.fluid.kv_points
    # diluting oil thins it less when hot: both ends by one factor keeps the slope of the Walther line nearly
    points = ((cold_c, cold * value), (hot_c, hot * value**0.7))
    return replace(setup, fluid=replace(setup.fluid, name=f"{setup.fluid.name} x{value:g}", kv_points=points))


def _start(setup: RigSetup, name: str, change: NumberChange, value: float) -> RigSetup:
    return replace(setup, **{name: _new(getattr(setup, name), change, value)})  # type: ignore[arg-type]


_GROUPS: dict[str, Callable[[RigSetup, str, NumberChange, float], RigSetup]] = {
    "valve": _valve,
    "element": _element,
    "oil": _oil,
    "start": _start,
}


def _plant(plant: PlantData, group: str, name: str, change: NumberChange, value: float) -> PlantData:
    data = plant.model_dump()
    if group not in data or name not in data[group]:
        raise ValueError(f"{change.set}: not a number of this rig")
    old = data[group][name]
    new = tuple(_new(x, change, value) for x in old) if isinstance(old, tuple) else _new(old, change, value)
    data[group][name] = new
    return PlantData.model_validate(data)
