"""Creeping flow through holes and slits, and the discharge coefficients that follow. SI units throughout."""

from __future__ import annotations

import numpy as np


def sampson_flow_m3s(radius_m: float, dp_pa: float, mu_pa_s: float) -> float:
    """Round hole in a thin wall, creeping: `a^3 dp/(3 mu)`, m3/s. Source: Sampson 1891."""
    return radius_m**3 * dp_pa / (3.0 * mu_pa_s)


def dagan_drop_pa(radius_m: float, thickness_m: float, mu_pa_s: float, flow_m3s: float) -> float:
    """Round hole in a wall of any thickness: `mu Q (8 t/(pi a^4) + 3/a^3)`, Pa.

    Source: Dagan, Weinbaum & Pfeffer 1982 (recalled): within 1 % of their exact series.
    """
    return float(mu_pa_s * flow_m3s * (8.0 * thickness_m / (np.pi * radius_m**4) + 3.0 / radius_m**3))


def slit_flow_m2_s(half_width_m: float, dp_pa: float, mu_pa_s: float) -> float:
    """Slit in a thin wall between wide spaces, creeping, per unit length: `pi a^2 dp/(8 mu)`, m2/s.

    Source: Hasimoto 1958.
    """
    return float(np.pi * half_width_m**2 * dp_pa / (8.0 * mu_pa_s))


def slit_centre_speed_m_s(half_width_m: float, dp_pa: float, mu_pa_s: float) -> float:
    """Velocity in the middle of that slit, `dp a/(4 mu)`, m/s."""
    return dp_pa * half_width_m / (4.0 * mu_pa_s)


def thick_slit_drop_pa(width_m: float, thickness_m: float, mu_pa_s: float, flow_m2_s: float) -> float:
    """Slit through a wall of any thickness: `mu q (12 t/w^3 + 32/(pi w^2))`, Pa, within about 5 %.

    Sum of the two exact limits, the plane analogue of Dagan et al.
    """
    return float(mu_pa_s * flow_m2_s * (12.0 * thickness_m / width_m**3 + 32.0 / (np.pi * width_m**2)))
