"""Flow through and beside porous bodies: Darcy, Brinkman, Beavers-Joseph. SI units throughout."""

from __future__ import annotations

import numpy as np

SLIP_COEFFICIENTS = {
    "foam-0.016": 0.78,
    "foam-0.034": 1.45,
    "foam-0.045": 4.0,
    "alumina-0.013": 0.1,
    "alumina-0.027": 0.1,
}
"""Measured slip coefficients by body and mean pore, inch: metal foams, fused alumina (recalled; MEMORY)."""


def darcy_speed_m_s(k_m2: float, dp_pa: float, mu_pa_s: float, thickness_m: float) -> float:
    """Face velocity through a flat layer, `k dp/(mu t)`, m/s."""
    return k_m2 * dp_pa / (mu_pa_s * thickness_m)


def darcy_shell_flow_m3s(
    length_m: float, k_m2: float, dp_pa: float, mu_pa_s: float, ro_m: float, ri_m: float
) -> float:
    """Radial flow through a porous cylinder wall, `2 pi L k dp/(mu ln(ro/ri))`, m3/s."""
    if not 0.0 < ri_m < ro_m:
        raise ValueError(f"the inner radius must lie between zero and the outer one: {ri_m:g}, {ro_m:g}")
    return float(2.0 * np.pi * length_m * k_m2 * dp_pa / (mu_pa_s * np.log(ro_m / ri_m)))


def brinkman_mean_ratio(lam: float) -> float:
    """Porous-filled plane channel: mean velocity over the Darcy velocity, `1 - tanh(l)/l`.

    Args:
        lam: half height over sqrt(k), dimensionless (effective viscosity = viscosity).
    """
    if lam < 0.02:  # the two terms cancel: use the series
        return lam**2 / 3.0 - 2.0 * lam**4 / 15.0
    return float(1.0 - np.tanh(lam) / lam)


def brinkman_centre_ratio(lam: float) -> float:
    """Porous-filled plane channel: centre-line velocity over the Darcy velocity, `1 - 1/cosh(l)`."""
    return float(2.0 * np.sinh(0.5 * lam) ** 2 / np.cosh(lam)) if lam < 300.0 else 1.0


def beavers_joseph_increase(alpha: float, sigma: float) -> float:
    """Fractional increase of the flow of a plane channel when one wall is a porous block.

    `3 (s + 2 a)/(s (1 + a s))`. Source: Beavers & Joseph 1967, J. Fluid Mech. 30, 197.

    Args:
        alpha: slip coefficient of the block's face, dimensionless.
        sigma: channel height over sqrt(k), dimensionless.
    """
    return 3.0 * (sigma + 2.0 * alpha) / (sigma * (1.0 + alpha * sigma))


def beavers_joseph_slip_ratio(alpha: float, sigma: float) -> float:
    """Slip velocity at the face over the mean velocity of the channel with both walls solid, dimensionless.

    `6 (s + 2 a)/(s (1 + a s))`: the slip below over `h^2 G/12`.
    """
    return 6.0 * (sigma + 2.0 * alpha) / (sigma * (1.0 + alpha * sigma))


def beavers_joseph_slip_m_s(
    alpha: float, sigma: float, k_m2: float, gradient_pa_m: float, mu_pa_s: float
) -> float:
    """Slip velocity at the face of the block, `(k G/2)(s^2 + 2 a s)/(1 + a s)`, m/s, G = -dp/dx/mu."""
    return 0.5 * k_m2 * gradient_pa_m / mu_pa_s * (sigma**2 + 2.0 * alpha * sigma) / (1.0 + alpha * sigma)
