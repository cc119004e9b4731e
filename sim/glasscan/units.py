"""Units at the edges: everything inside is SI; this turns the trade's units into SI and back."""

from __future__ import annotations

import difflib
import math
from dataclasses import dataclass

PSI_PA = 6894.757293168361
"""Pound-force per square inch, Pa (from 0.45359237 kg, 9.80665 m/s2, 0.0254 m; exact by definition)."""
LBF_N = 4.4482216152605
"""Pound-force, N (exact by definition)."""
POUND_KG = 0.45359237
"""Pound, kg (exact by definition)."""
GALLON_US_M3 = 3.785411784e-3
"""US gallon, 231 cubic inches, m3 (exact by definition)."""
INCH_M = 0.0254
IN_H2O_PA = 249.08891
"""Inch of water at 4 degC, Pa (NIST SP 811)."""
MM_HG_PA = 133.322387415


@dataclass(frozen=True)
class Unit:
    """One unit: `si = value * scale + shift`.

    Attributes:
        kind: quantity it measures; only units of one kind convert into each other.
        scale, shift: factors to the SI unit of that kind.
    """

    kind: str
    scale: float
    shift: float = 0.0


def _group(kind: str, **scales: float) -> dict[str, Unit]:
    return {name: Unit(kind, scale) for name, scale in scales.items()}


UNITS: dict[str, Unit] = {
    **_group("pressure", Pa=1.0, kPa=1e3, MPa=1e6, bar=1e5, mbar=1e2, psi=PSI_PA),
    "inH2O": Unit("pressure", IN_H2O_PA),
    "mmHg": Unit("pressure", MM_HG_PA),
    "inHg": Unit("pressure", 25.4 * MM_HG_PA),
    "atm": Unit("pressure", 101325.0),
    "kgf/cm2": Unit("pressure", 98066.5),
    "m3/s": Unit("flow", 1.0),
    "L/s": Unit("flow", 1e-3),
    "L/min": Unit("flow", 1e-3 / 60.0),
    "mL/s": Unit("flow", 1e-6),
    "gal/min": Unit("flow", GALLON_US_M3 / 60.0),
    "gal/h": Unit("flow", GALLON_US_M3 / 3600.0),
    "L/h": Unit("flow", 1e-3 / 3600.0),
    "m3/h": Unit("flow", 1.0 / 3600.0),
    **_group("volume", m3=1.0, L=1e-3, mL=1e-6, gal=GALLON_US_M3, qt=GALLON_US_M3 / 4.0, in3=INCH_M**3),
    **_group("length", m=1.0, cm=1e-2, mm=1e-3, um=1e-6, inch=INCH_M, ft=12.0 * INCH_M, mil=1e-3 * INCH_M),
    "m2": Unit("area", 1.0),
    "cm2": Unit("area", 1e-4),
    "mm2": Unit("area", 1e-6),
    "in2": Unit("area", INCH_M**2),
    "ft2": Unit("area", (12.0 * INCH_M) ** 2),
    "m2/s": Unit("kinematic viscosity", 1.0),
    "mm2/s": Unit("kinematic viscosity", 1e-6),
    "cSt": Unit("kinematic viscosity", 1e-6),
    "St": Unit("kinematic viscosity", 1e-4),
    "Pa.s": Unit("viscosity", 1.0),
    "mPa.s": Unit("viscosity", 1e-3),
    "cP": Unit("viscosity", 1e-3),
    "P": Unit("viscosity", 0.1),
    **_group("force", N=1.0, kN=1e3, lbf=LBF_N, kgf=9.80665),
    "N/m": Unit("spring rate", 1.0),
    "N/mm": Unit("spring rate", 1e3),
    "lbf/in": Unit("spring rate", LBF_N / INCH_M),
    "m/s": Unit("speed", 1.0),
    "mm/s": Unit("speed", 1e-3),
    "ft/s": Unit("speed", 12.0 * INCH_M),
    "ft/min": Unit("speed", 0.2 * INCH_M),
    "W": Unit("power", 1.0),
    "kW": Unit("power", 1e3),
    "hp": Unit("power", 550.0 * 12.0 * INCH_M * LBF_N),
    "N.m": Unit("torque", 1.0),
    "ft.lbf": Unit("torque", LBF_N * 12.0 * INCH_M),
    "in.lbf": Unit("torque", LBF_N * INCH_M),
    **_group("mass", kg=1.0, g=1e-3, mg=1e-6, lb=POUND_KG, oz=POUND_KG / 16.0),
    "kg/m3": Unit("density", 1.0),
    "g/mL": Unit("density", 1e3),
    "lb/ft3": Unit("density", POUND_KG / (12.0 * INCH_M) ** 3),
    "lb/gal": Unit("density", POUND_KG / GALLON_US_M3),
    "mg/L": Unit("density", 1e-3),
    **_group("time", s=1.0, min=60.0, h=3600.0),
    "degC": Unit("temperature", 1.0, 273.15),
    "degF": Unit("temperature", 5.0 / 9.0, 273.15 - 160.0 / 9.0),
    "K": Unit("temperature", 1.0),
    "rpm": Unit("speed of rotation", 2.0 * math.pi / 60.0),
    "rad/s": Unit("speed of rotation", 1.0),
    "deg": Unit("angle", math.pi / 180.0),
    "turn": Unit("angle", 2.0 * math.pi),
    "rad": Unit("angle", 1.0),
}


def unit(name: str) -> Unit:
    """Look a unit up by its sign, e.g. "psi" or "L/min".

    Raises:
        ValueError: where it is unknown, with the nearest known sign.
    """
    if name in UNITS:
        return UNITS[name]
    near = difflib.get_close_matches(name, UNITS, n=1, cutoff=0.4)
    hint = f" (did you mean {near[0]!r}?)" if near else ""
    raise ValueError(f"no unit {name!r}{hint}")


def to_si(value: float, name: str) -> float:
    """`value` of the named unit in SI (temperatures in K)."""
    found = unit(name)
    return value * found.scale + found.shift


def from_si(value: float, name: str) -> float:
    """SI `value` in the named unit."""
    found = unit(name)
    return (value - found.shift) / found.scale


def convert(value: float, old: str, new: str) -> float:
    """`value` from one unit to another of the same kind.

    Raises:
        ValueError: where a unit is unknown or the kinds differ.
    """
    if unit(old).kind != unit(new).kind:
        raise ValueError(f"{old} measures {unit(old).kind}, {new} measures {unit(new).kind}")
    return value if old == new else from_si(to_si(value, old), new)


def counted(n: int, one: str, many: str = "") -> str:
    """So many of something in words: "1 file", "2 files"; `many` where the plural is no bare s."""
    return f"{n} {one if n == 1 else many or one + 's'}"
