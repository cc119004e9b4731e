"""Permeability of fibre and grain media, and what else a medium's structure decides. SI units throughout.

The fibre laws give k/a^2 (a = fibre radius) against the solid fraction, both dimensionless.
"""

from __future__ import annotations

import math
from collections.abc import Callable


def kuwabara(phi: float) -> float:
    """Kuwabara 1959 cell, flow across parallel fibres: `(-ln p/2 - 3/4 + p - p^2/4)/(4 p)`."""
    return kuwabara_factor(phi) / (4.0 * phi)


def kuwabara_factor(phi: float) -> float:
    """Kuwabara's hydrodynamic factor `Ku = -ln p/2 - 3/4 + p - p^2/4`."""
    return -0.5 * math.log(phi) - 0.75 + phi - 0.25 * phi**2


def happel(phi: float) -> float:
    """Happel 1959 cell, flow across parallel fibres: `(-ln p - (1 - p^2)/(1 + p^2))/(8 p)`."""
    return (-math.log(phi) - (1.0 - phi**2) / (1.0 + phi**2)) / (8.0 * phi)


def davies(phi: float) -> float:
    """Davies 1952, real fibre mats: `4/(64 p^1.5 (1 + 56 p^3))`; empirical, p < 0.3, within some 20 %."""
    return 1.0 / (16.0 * math.pow(phi, 1.5) * (1.0 + 56.0 * phi**3))


def jackson_james(phi: float) -> float:
    """Jackson & James 1986, random fibres in space: `3/(20 p) (-ln p - 0.931)`; only below p = 0.394."""
    return 3.0 / (20.0 * phi) * (-math.log(phi) - 0.931)


def drummond_tahir(phi: float) -> float:
    """Drummond & Tahir 1984, square array, flow across: dilute expansion, good to 0.4 % at p = 0.2."""
    bracket = -math.log(phi) - 1.476 + (2.0 * phi - 0.796 * phi**2) / (1.0 + 0.489 * phi - 1.605 * phi**2)
    return bracket / (8.0 * phi)


def happel_along(phi: float) -> float:
    """Happel 1959 cell, flow along parallel fibres: `(-ln p - 3/2 + 2 p - p^2/2)/(4 p)`."""
    return (-math.log(phi) - 1.5 + 2.0 * phi - 0.5 * phi**2) / (4.0 * phi)


def drummond_tahir_along(phi: float) -> float:
    """Drummond & Tahir 1984, square array, flow along: `(-ln p - 1.476 + 2 p - p^2/2)/(4 p)`, to p = 0.4."""
    return (-math.log(phi) - 1.476 + 2.0 * phi - 0.5 * phi**2) / (4.0 * phi)


FIBRE_LAWS: dict[str, Callable[[float], float]] = {
    "kuwabara": kuwabara,
    "happel": happel,
    "davies": davies,
    "jackson-james": jackson_james,
    "drummond-tahir": drummond_tahir,
    "happel-along": happel_along,
    "drummond-tahir-along": drummond_tahir_along,
}


TRUSTED_TO: dict[str, float] = {
    "kuwabara": 0.2,
    "happel": 0.4,
    "davies": 0.3,
    "jackson-james": 0.25,
    "drummond-tahir": 0.2,
    "happel-along": 0.4,
    "drummond-tahir-along": 0.4,
}
"""Solid fraction to which each law is taken: measured range (Davies, Jackson & James, recalled), within 1.5 %
of the solved square array (Kuwabara, Drummond & Tahir, COMPUTED), or as usually taken (Happel; no source)."""


def fibre_permeability_m2(law: str, fibre_m: float, phi: float) -> float:
    """Permeability of a mat of fibres of diameter `fibre_m` and solid fraction `phi`, m2.

    Raises:
        ValueError: where the law is unknown, or negative at this solid fraction.
    """
    if law not in FIBRE_LAWS:
        raise ValueError(f"no fibre law {law!r} (known: {', '.join(FIBRE_LAWS)})")
    if not 0.0 < phi < 1.0:
        raise ValueError(f"the solid fraction lies between 0 and 1, got {phi:g}")
    ratio = FIBRE_LAWS[law](phi)
    if ratio <= 0.0:
        raise ValueError(f"{law} does not hold at a solid fraction of {phi:g}")
    return ratio * (fibre_m / 2.0) ** 2


def square_array_series(phi: float) -> float:
    """Drag F/(mu U) per length on a square array, dilute series of Sangani & Acrivos 1982 (recalled)."""
    return 8.0 * math.pi / (-math.log(phi) - 1.476 + 2.0 * phi - 1.774 * phi**2 + 4.076 * phi**3)


def square_array_dense(phi: float) -> float:
    """Drag F/(mu U) per length on a square array near touching: lubrication limit, Sangani & Acrivos 1982."""
    return 9.0 * math.pi / (2.0 * math.sqrt(2.0)) * math.pow(1.0 - math.sqrt(4.0 * phi / math.pi), -2.5)


def kozeny_carman_m2(porosity: float, grain_m: float, constant: float = 180.0) -> float:
    """Packed grains: `e^3 d^2/(180 (1 - e)^2)`, m2 (150 instead of 180 is Ergun's constant)."""
    return porosity**3 * grain_m**2 / (constant * (1.0 - porosity) ** 2)


def cake_resistance_m_kg(
    porosity: float, grain_m: float, solid_kg_m3: float, constant: float = 180.0
) -> float:
    """Specific resistance of a cake of such grains, `180 (1 - e)/(rho e^3 d^2)`, m/kg."""
    return 1.0 / (solid_kg_m3 * (1.0 - porosity) * kozeny_carman_m2(porosity, grain_m, constant))


def bubble_pressure_pa(pore_m: float, tension_n_m: float, contact_deg: float = 0.0) -> float:
    """Pressure that first pushes gas through the largest pore, `4 gamma cos(theta)/d` (Washburn), Pa."""
    return 4.0 * tension_n_m * math.cos(math.radians(contact_deg)) / pore_m


def largest_pore_m(bubble_pa: float, tension_n_m: float, contact_deg: float = 0.0) -> float:
    """Largest pore that a bubble pressure shows, m: the same law the other way round."""
    return bubble_pressure_pa(bubble_pa, tension_n_m, contact_deg)
