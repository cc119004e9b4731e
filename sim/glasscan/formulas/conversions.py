"""One figure for the trade's units."""

from __future__ import annotations

from typing import Any

from glasscan.formulas.registry import FigureError, Input, figure, word
from glasscan.units import UNITS, convert

ALSO_CALLED = {
    "in": "inch",
    "gpm": "gal/min",
    "gph": "gal/h",
    "lpm": "L/min",
    "micron": "um",
    "ft-lb": "ft.lbf",
    "in-lb": "in.lbf",
    "psid": "psi",
    "psig": "psi",
    "C": "degC",
    "F": "degF",
    "sec": "s",
    "hr": "h",
    "thou": "mil",
}
"""Short names of the trade -> names of our units."""


def _unit_of(name: str) -> str:
    return ALSO_CALLED.get(name, name)


@figure(
    "convert",
    Input("value"),
    word("old", (*UNITS, *ALSO_CALLED)),
    word("new", (*UNITS, *ALSO_CALLED)),
    unit="as new",
    method="through the SI unit of the quantity",
    source="definitions of the units; NIST SP 811",
)
def _convert(value: float, old: str, new: str) -> dict[str, Any]:
    kind, other = UNITS[_unit_of(old)].kind, UNITS[_unit_of(new)].kind
    if kind != other:
        raise FigureError(f"new: expected a unit of {kind} as old, got {new!r}, which measures {other}")
    return {"value": convert(value, _unit_of(old), _unit_of(new)), "unit": _unit_of(new)}
