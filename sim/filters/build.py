"""From a filter's data to its solved section, whatever its kind."""

from __future__ import annotations

from sim.filters import can, cartridge, disc_stack
from sim.filters.can_parts import can_parts
from sim.filters.cartridge_parts import cartridge_parts
from sim.filters.data import CanData, CartridgeData, FilterData
from sim.filters.disc_parts import disc_parts
from sim.filters.parts import Part
from sim.filters.section import Section


def build(data: FilterData, *, fineness: float = 1.0) -> Section:
    """Solve a filter (see the `build` of its kind)."""
    kind = data.root
    if isinstance(kind, CanData):
        return can.build(kind, fineness=fineness)
    if isinstance(kind, CartridgeData):
        return cartridge.build(kind, fineness=fineness)
    return disc_stack.build(kind, fineness=fineness)


def parts_of(data: FilterData) -> tuple[Part, ...]:
    """The named parts of a filter, without solving its flow."""
    kind = data.root
    if isinstance(kind, CanData):
        return can_parts(kind)
    return cartridge_parts(kind) if isinstance(kind, CartridgeData) else disc_parts(kind)
