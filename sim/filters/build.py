"""From a filter's data to its solved section, whatever its kind."""

from __future__ import annotations

from sim.filters import can, cartridge, disc_stack
from sim.filters.data import CanData, CartridgeData, FilterData
from sim.filters.section import Section


def build(data: FilterData, *, fineness: float = 1.0) -> Section:
    """Solve a filter (see the `build` of its kind)."""
    kind = data.root
    if isinstance(kind, CanData):
        return can.build(kind, fineness=fineness)
    if isinstance(kind, CartridgeData):
        return cartridge.build(kind, fineness=fineness)
    return disc_stack.build(kind, fineness=fineness)
