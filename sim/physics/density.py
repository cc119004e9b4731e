"""Density of a lubricating oil against temperature: the expansion form of ASTM D1250 / API MPMS 11.1."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

BASE_C = 15.0
LUBE_K0 = 0.0
LUBE_K1 = 0.6278
"""Constants of the lubricating-oil group, rho in kg/m3 (recalled; status: MEMORY)."""
WATER_15C6_KG_M3 = 999.016
"""Density of water at 15.56 degC (60 degF), the base of specific gravity, kg/m3."""


def expansion_per_k(rho15_kg_m3: float) -> float:
    """Thermal expansion coefficient at 15 degC, `(K0 + K1 rho)/rho^2`, 1/K."""
    return (LUBE_K0 + LUBE_K1 * rho15_kg_m3) / rho15_kg_m3**2


def density_kg_m3(rho15_kg_m3: float, t_c: ArrayLike) -> Floats:
    """Density at `t_c` (degC, any shape), `rho15 exp(-a dT (1 + 0.8 a dT))`, kg/m3.

    Raises:
        ValueError: where `rho15_kg_m3` is not above zero.
    """
    if not rho15_kg_m3 > 0:
        raise ValueError(f"density at 15 degC must be above zero, got {rho15_kg_m3:g} kg/m3")
    grown = expansion_per_k(rho15_kg_m3) * (np.asarray(t_c, dtype=float) - BASE_C)
    return np.asarray(rho15_kg_m3 * np.exp(-grown * (1.0 + 0.8 * grown)))


def specific_gravity(rho15_kg_m3: float) -> float:
    """Density relative to water at 60 degF, dimensionless."""
    return rho15_kg_m3 / WATER_15C6_KG_M3
