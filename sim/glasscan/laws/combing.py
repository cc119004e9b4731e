"""Blades that comb a turning stack of discs: which sectors they have passed, what they leave, what resists.

The disc is divided into sectors that turn with it; the blade stands still. All laws are functions of the
angle alone, so a turn made in many small steps takes off what one long step takes off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SECTORS = 180
TURN = 2 * np.pi
STEP = TURN / SECTORS
PLOUGH = 2 + np.pi  # bearing factor of a narrow blade in a cohesive bed: Prandtl's 5.14
_FIRST = TURN - STEP * (np.arange(SECTORS) + 1.0)  # turn of the disc at which the blade enters each sector


@dataclass(frozen=True)
class Comb:
    """What a handle turns, SI. The defaults are chosen round numbers of common practice, no source.

    Attributes:
        blades: number of blades, one in each gap.
        rim_m: radius at which the cake lies, m.
        ring_m: height of the ring of cake before one gap, m.
        bulk_kg_m3: density of the cake, dirt per space.
        shaft_m: radius of the shaft in its gland, m.
        gland_m: length of the packing, m.
        arm_m: from the axis to the grip of the handle, m.
        packing_mu: friction of oiled packing on steel; from memory 0.05 to 0.15.
        packing_pa: squeeze of the packing by its nut, Pa.
        rub_n: drag of one sound blade in its gap, N.
        pinch_n: drag of one bent blade that rubs on both discs, N.
        shut_n: drag of one blade that two touching discs pinch, N: 150 N on each side, friction 0.15.
        pinched: blades whose gap has shut on them.
        cohesion_pa: shear strength of cake that no pressure has packed, Pa.
        friction: rise of that strength with the pressure that packs it; tan 31 degrees, as silt, from memory.
    """

    blades: int = 60
    rim_m: float = 0.020
    ring_m: float = 0.8e-3
    bulk_kg_m3: float = 1190.0
    shaft_m: float = 0.004
    gland_m: float = 0.006
    arm_m: float = 0.030
    packing_mu: float = 0.1
    packing_pa: float = 3e5
    rub_n: float = 0.05
    pinch_n: float = 0.8
    shut_n: float = 45.0
    pinched: int = 0
    cohesion_pa: float = 5e3
    friction: float = 0.6


def passes(from_rad: float, to_rad: float) -> Floats:
    """(SECTORS,) how often the blade passes each sector while the disc turns on from one angle to another."""
    return _passed(to_rad) - _passed(from_rad)


def _passed(angle_rad: float) -> Floats:
    whole, rest = divmod(angle_rad, TURN)
    return np.asarray(whole + np.clip((rest - _FIRST) / STEP, 0.0, 1.0))


def combed(rim: Floats, cleared: float, passed: Floats) -> tuple[float, Floats]:
    """What the blade leaves of a deposit.

    Args:
        rim: (SECTORS,) load of each sector over the mean of all.
        cleared: share that one passage takes off.
        passed: (SECTORS,) passages, parts of one included.

    Returns:
        Share of the whole that stays, and the loads over their new mean.
    """
    left = rim * (1.0 - cleared) ** passed
    share = float(left.mean())
    return share, left / share if share > 0.0 else np.ones(SECTORS)


def laid(rim: Floats, held_kg: float, more_kg: float, times: float) -> Floats:
    """(SECTORS,) loads over their mean after more deposit, which goes where the oil flows.

    Args:
        rim: before.
        held_kg, more_kg: deposit before, and what came.
        times: resistance of the loaded gap over the clean one, in proportion to the load.
    """
    if more_kg <= 0.0 or held_kg + more_kg <= 0.0:
        return rim
    open_ = 1.0 / (1.0 + max(times - 1.0, 0.0) * rim)
    return np.asarray((rim * held_kg + more_kg * open_ / open_.mean()) / (held_kg + more_kg))


def at_blade(rim: Floats, disc_rad: float) -> float:
    """Load over the mean in the sector that the blade meets next."""
    return float(rim[int((-disc_rad % TURN) / STEP - 1e-9) % SECTORS])


def torque_n_m(
    comb: Comb, load_kg: float, dp_pa: float, inlet_pa: float, bite: float, drive: float, missed: float
) -> float:
    """What resists the handle, N m: gland, sound blades, bent ones, and the cake that they plough.

    The cake is as strong as the pressure across it has packed it (Coulomb); a blade ploughs it as a narrow
    punch does (Prandtl). A drive that slips carries its share of the stack only; the gland is always felt.

    Args:
        comb: the stack.
        load_kg: deposit that one gap would hold if all its rim were as the sector before the blade.
        dp_pa, inlet_pa: pressure across the cake, and at the gland, gauge.
        bite: share of its clearing that a worn blade still does.
        drive: share of the turn that reaches the stack.
        missed: share of the blades that are bent.
    """
    packing = TURN * comb.shaft_m * comb.gland_m * (comb.packing_pa + max(inlet_pa, 0.0))
    gland = comb.packing_mu * packing * comb.shaft_m
    thick_m = load_kg / (TURN * comb.rim_m * comb.ring_m * comb.bulk_kg_m3)
    strength = comb.cohesion_pa + comb.friction * max(dp_pa, 0.0)
    plough = PLOUGH * strength * thick_m * comb.ring_m * bite * (1.0 - missed)
    blade = plough + comb.rub_n + comb.pinch_n * missed
    shut = comb.pinched * comb.shut_n
    return float(gland + drive * (comb.blades * blade + shut) * comb.rim_m)
