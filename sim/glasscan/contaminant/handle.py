"""What the hand at the scraper's handle feels: the torque of the stack as it is in the running rig."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.actions import missed_gaps
from glasscan.filters.element_capture import DirtSide, Faults
from glasscan.laws.disc_pack import scraper_torque_nm as torque_of_pack

Floats = NDArray[np.float64]


def caked_share(side: DirtSide, held_kg: Floats) -> Floats:
    """(K,) share of each gap's ring that its deposit fills, 0..1.

    Args:
        side: the filter.
        held_kg: (C, K) what the gaps hold.
    """
    pack, catcher = side.pack, side.catcher
    if pack is None:
        return np.zeros(held_kg.shape[1])
    bulk = catcher.solid_kg_m3 * (1.0 - catcher.porosity)
    room = 2.0 * np.pi * pack.disc_m * pack.ring_m * np.maximum(pack.widest_m, 1e-9) * bulk
    return np.asarray(np.minimum(held_kg.sum(axis=0) / room, 1.0))


def scraper_torque_nm(
    side: DirtSide, held_kg: Floats, faults: Faults, pressure_pa: float = 0.0
) -> dict[str, float]:
    """Torque at the handle and what it is made of, N m: `gland`, `thrust`, `blades`, `cake`, `pinched`, `total`.

    A drive that slips turns the shaft only: nothing of the stack is felt beyond its share.

    Args:
        side: the filter.
        held_kg: (C, K) what the gaps hold.
        faults: of blades and drive.
        pressure_pa: in the bowl, gauge.

    Raises:
        ValueError: the filter has no stack.
    """
    if side.pack is None:
        raise ValueError("this filter has no stack of discs to turn")
    gaps = held_kg.shape[1]
    reach = np.where(missed_gaps(gaps, faults.missed), 0.0, faults.bite)
    parts = torque_of_pack(side.pack, caked_share(side, held_kg).tolist(), pressure_pa, reach.tolist())
    for name in ("blades", "cake", "pinched"):
        parts[name] *= faults.drive
    parts["total"] = sum(value for name, value in parts.items() if name != "total")
    return parts
