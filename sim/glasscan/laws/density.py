"""Density of a lubricating oil against temperature: the expansion form of ASTM D1250 / API MPMS 11.1."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

BASE_C = 15.0
RANGE_C = (-50.0, 150.0)
"""Temperatures the standard covers, degC (API MPMS 11.1, 2004, recalled; status: MEMORY)."""
LUBE_K0 = 0.0
LUBE_K1 = 0.6278
"""Constants of the lubricating-oil group, rho in kg/m3 (recalled; status: MEMORY)."""
WATER_15C6_KG_M3 = 999.016
"""Density of water at 15.56 degC (60 degF), the base of specific gravity, kg/m3."""


def expansion_per_k(rho15_kg_m3: float, k0: float = LUBE_K0, k1: float = LUBE_K1) -> float:
    """Thermal expansion coefficient at 15 degC, `(K0 + K1 rho)/rho^2`, 1/K."""
    return (k0 + k1 * rho15_kg_m3) / rho15_kg_m3**2


def density_kg_m3(rho15_kg_m3: float, t_c: ArrayLike, expansion: float | None = None) -> Floats:
    """Density at `t_c` (degC, any shape), `rho15 exp(-a dT (1 + 0.8 a dT))`, kg/m3.

    Args:
        rho15_kg_m3: density at 15 degC.
        t_c: temperature, degC.
        expansion: coefficient a at 15 degC, 1/K; None takes that of a lubricating oil of this density.

    Raises:
        ValueError: where `rho15_kg_m3` is not above zero.
    """
    if not rho15_kg_m3 > 0:
        raise ValueError(f"density at 15 degC must be above zero, got {rho15_kg_m3:g} kg/m3")
    alpha = expansion_per_k(rho15_kg_m3) if expansion is None else expansion
    grown = alpha * (np.asarray(t_c, dtype=float) - BASE_C)
    return np.asarray(rho15_kg_m3 * np.exp(-grown * (1.0 + 0.8 * grown)))


def specific_gravity(rho15_kg_m3: float) -> float:
    """Density relative to water at 60 degF, dimensionless."""
    return rho15_kg_m3 / WATER_15C6_KG_M3
