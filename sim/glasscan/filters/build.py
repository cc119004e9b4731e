"""From a filter's data to its solved section, whatever its kind."""

from __future__ import annotations

from functools import partial

from glasscan.filters.can import geometry as can
from glasscan.filters.can.parts import can_parts
from glasscan.filters.cartridge import geometry as cartridge
from glasscan.filters.cartridge.parts import cartridge_parts
from glasscan.filters.disc_stack import geometry as disc_stack
from glasscan.filters.disc_stack.parts import disc_parts
from glasscan.filters.filter_data import CanData, CartridgeData, DiscStackData, FilterData
from glasscan.filters.kept_solutions import kept_laminar
from glasscan.filters.laminar_table import laminar_table, while_running
from glasscan.filters.layout import AxialLayout
from glasscan.filters.named_parts import Part
from glasscan.filters.section import Section


def build(data: FilterData, *, fineness: float = 1.0) -> Section:
    """Solve a filter (see the `build` of its kind); its laminar flow is solved when it is asked for."""
    section, text = _built(data.root, fineness), data.root.model_dump_json()
    section.laminar_source = lambda: kept_laminar(
        text, fineness, partial(laminar_table, section.layout, while_running)
    )
    return section


def _built(kind: CanData | CartridgeData | DiscStackData, fineness: float) -> Section:
    if isinstance(kind, CanData):
        return can.build(kind, fineness=fineness)
    if isinstance(kind, CartridgeData):
        return cartridge.build(kind, fineness=fineness).hung("dome-up")  # as drawn: the bowl under its head
    return disc_stack.build(kind, fineness=fineness).hung("dome-up")


def layout_of(data: FilterData, fineness: float = 1.0, lifts_m: tuple[float, ...] = ()) -> AxialLayout:
    """Regions, grid and ports of a filter, nothing solved; the valve at the usual lifts or others."""
    kind = data.root
    if isinstance(kind, CanData):
        return can.can_layout(kind, fineness, lifts_m)
    if isinstance(kind, CartridgeData):
        return cartridge.cartridge_layout(kind, fineness)
    return disc_stack.disc_layout(kind, fineness)


def parts_of(data: FilterData) -> tuple[Part, ...]:
    """The named parts of a filter, without solving its flow."""
    kind = data.root
    if isinstance(kind, CanData):
        return can_parts(kind)
    return cartridge_parts(kind) if isinstance(kind, CartridgeData) else disc_parts(kind)
