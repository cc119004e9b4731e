"""One figure for the trade's units."""

from __future__ import annotations

from sim.figures.registry import Input, figure, word
from sim.units import UNITS, convert


@figure(
    "convert",
    Input("value"),
    word("old", UNITS),
    word("new", UNITS),
    unit="as new",
    method="through the SI unit of the quantity",
    source="definitions of the units; NIST SP 811",
)
def _convert(value: float, old: str, new: str) -> float:
    return convert(value, old, new)
