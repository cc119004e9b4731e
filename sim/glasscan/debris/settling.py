"""Drag, buoyancy and relaxation of many bodies at once, each as a sphere of its volume with a shape factor.

Left out, because the bodies are large and the oil slow: added mass, history force, lift in shear, walls near
by, and the crowd (hindered settling).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from glasscan.laws.drag import CD_NEWTON, GRAVITY_M_S2, RE_NEWTON

Floats = NDArray[np.float64]
HALVINGS = 45  # of the interval 0..1: the share of the Stokes speed to 3e-14


def over_stokes(re: Floats) -> Floats:
    """Drag over Stokes' drag for an array of Reynolds numbers (`glasscan.laws.drag.over_stokes`)."""
    creeping = 1.0 + 0.15 * np.minimum(re, RE_NEWTON) ** 0.687
    return np.where(re <= RE_NEWTON, creeping, CD_NEWTON * re / 24.0)


def plate_factor(flatness: float) -> float:
    """Stokes drag of a plate-like body over that of a sphere of its volume, all directions alike likely.

    Args:
        flatness: longest side over thickness, 1 or more.

    Source: Perrin 1936, oblate spheroid (recalled); its limits are the sphere, 1, and the thin disc, where
    the mean drag is 12 mu a U.
    """
    if flatness <= 1.0:
        return 1.0
    root = math.sqrt(flatness**2 - 1.0)
    return float(root / (math.pow(flatness, 2 / 3) * math.atan(root)))


def needle_factor(slenderness: float) -> float:
    """Stokes drag of a needle over that of a sphere of its volume, all directions alike likely.

    Args:
        slenderness: length over thickness, 1 or more.

    Source: Perrin 1936, prolate spheroid (recalled).
    """
    if slenderness <= 1.0:
        return 1.0
    root = math.sqrt(slenderness**2 - 1.0)
    return float(root / (math.pow(slenderness, 1 / 3) * math.log(slenderness + root)))


def relaxation_s(size_m: Floats, density_kg_m3: Floats, factor: Floats, mu_pa_s: float) -> Floats:
    """Time in which creeping drag takes up a difference of speed, `rho_p d^2/(18 mu K)`, s."""
    return density_kg_m3 * size_m**2 / (18.0 * mu_pa_s * factor)


def settling_m_s(
    size_m: Floats, density_kg_m3: Floats, factor: Floats, rho_kg_m3: float, mu_pa_s: float
) -> Floats:
    """Terminal speed of each body, m/s, downward positive.

    Args:
        size_m: diameter of the sphere of its volume.
        density_kg_m3: of the body.
        factor: its Stokes drag over that sphere's.
        rho_kg_m3, mu_pa_s: of the oil.
    """
    weight = GRAVITY_M_S2 * size_m**2 * (density_kg_m3 - rho_kg_m3)
    stokes = weight / (18.0 * mu_pa_s * factor)
    creeping_re = np.abs(stokes) * rho_kg_m3 * size_m / mu_pa_s
    low, high = np.zeros_like(stokes), np.ones_like(stokes)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        fast = middle * over_stokes(middle * creeping_re) > 1.0
        low, high = np.where(fast, low, middle), np.where(fast, middle, high)
    return stokes * (low + high) / 2
