"""What the filters share in building the network for the plant."""

from __future__ import annotations

import numpy as np

from sim.filters.data import PSI_PA, ElementData, ValveData
from sim.filters.network import FilterNetwork, MinorLoss, ValveSpec
from sim.filters.section import PER_TURN, AxialLayout
from sim.physics.basis import Basis
from sim.physics.grid import Floats
from sim.physics.pleats import pair_drop_pa

MM = 1e-3
Solved = tuple[Basis, list[Basis]]


def valve_spec(valve: ValveData) -> ValveSpec:
    """Bypass valve in SI units; the preload is what makes it crack at the stated pressure."""
    area = np.pi * (valve.seat_mm * MM) ** 2 / 4
    return ValveSpec(
        seat_d_m=valve.seat_mm * MM,
        half_angle_deg=valve.half_angle_deg,
        ball_d_m=None if valve.ball_mm is None else valve.ball_mm * MM,
        rate_n_m=valve.rate_n_mm / MM,
        preload_n=max(0.0, float(valve.cracking_psi * PSI_PA * area) - valve.friction_n),
        max_lift_m=valve.max_lift_mm * MM,
        mass_kg=valve.mass_g * 1e-3,
        cd=valve.cd,
        leak_area_m2=valve.leak_area_mm2 * MM**2,
        friction_n=valve.friction_n,
    )


def pleat_resistances(element: ElementData) -> Floats:
    """(K,) clean resistance of medium and pleat channels of each segment, 1/m3."""
    wall = element.medium_mm * MM / element.permeability_m2
    per_pair = 1 / (element.pleats * element.height_m)
    whole = pair_drop_pa(element.channel_m, element.depth_m, wall, 1.0, per_pair)
    return np.full(element.segments, whole * element.segments)


def pleated_network(
    element: ElementData,
    valve: ValveSpec | None,
    layout: AxialLayout,
    solved: Solved,
    losses: tuple[MinorLoss, ...],
    push: Floats,
) -> FilterNetwork:
    """Network of a filter with a pleated element."""
    area = np.full(element.segments, element.area_m2 / element.segments)
    return network(layout, solved, (area, pleat_resistances(element)), valve, losses, push, element.rating_um)


def network(
    layout: AxialLayout,
    solved: Solved,
    segments: tuple[Floats, Floats],
    valve: ValveSpec | None,
    losses: tuple[MinorLoss, ...],
    push: Floats,
    rating_um: float,
) -> FilterNetwork:
    """Network from solved chambers and the (area m2, resistance 1/m3) of each segment."""
    dirty, clean = solved
    area, resistance = segments
    return FilterNetwork(
        dirty=dirty.matrix / PER_TURN,
        clean=np.array([b.matrix for b in clean]) / PER_TURN,
        clean_lifts_m=np.array(layout.passage.lifts if layout.passage else (0.0,)),
        segment_area_m2=area,
        segment_r=resistance,
        valve=valve,
        losses=losses,
        dirty_volume_m3=_volume(dirty),
        clean_volume_m3=_volume(clean[0]),
        rating_um=rating_um,
        valve_push=push,
    )


def _volume(basis: Basis) -> float:
    chamber = basis.chamber
    return float(PER_TURN * chamber.open.volume.ravel()[chamber.cells].sum())
