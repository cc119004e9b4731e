"""Drag on small spheres, settling and diffusion. SI units throughout."""

from __future__ import annotations

import math

from scipy.optimize import brentq

GRAVITY_M_S2 = 9.81
"""Gravity as the handbooks' settling tables round it, m/s2 (standard gravity is 9.80665)."""
BOLTZMANN_J_K = 1.380649e-23
"""Boltzmann constant, J/K (SI 2019, exact)."""
RE_NEWTON = 1000.0
CD_NEWTON = 0.44
"""Above Re 1000 the drag coefficient of a sphere is about constant."""
RE_CRISIS = 2e5
"""Above this the boundary layer turns turbulent and the drag falls (textbook)."""


def schiller_naumann(re: float) -> float:
    """Drag coefficient of a sphere, `24/Re (1 + 0.15 Re^0.687)` to Re 1000, 0.44 above."""
    return 24.0 / re * over_stokes(re) if re > 0.0 else math.inf


def over_stokes(re: float) -> float:
    """Drag of a sphere over Stokes' drag at the same speed, `1 + 0.15 Re^0.687` to Re 1000."""
    return 1.0 + 0.15 * math.pow(re, 0.687) if re <= RE_NEWTON else CD_NEWTON * re / 24.0


def stokes_speed_m_s(
    size_m: float, solid_kg_m3: float, rho_kg_m3: float, mu_pa_s: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Stokes settling speed, `g d^2 (rho_p - rho)/(18 mu)`, m/s, downward positive."""
    return gravity_m_s2 * size_m**2 * (solid_kg_m3 - rho_kg_m3) / (18.0 * mu_pa_s)


def terminal_speed_m_s(
    size_m: float, solid_kg_m3: float, rho_kg_m3: float, mu_pa_s: float, gravity_m_s2: float = GRAVITY_M_S2
) -> float:
    """Terminal speed of a sphere with Schiller-Naumann drag, m/s, downward positive.

    Solved for its share of the Stokes speed, which lies between 0 and 1 whatever the scale.
    """
    stokes = stokes_speed_m_s(size_m, solid_kg_m3, rho_kg_m3, mu_pa_s, gravity_m_s2)
    if stokes == 0.0:
        return 0.0
    creeping_re = abs(stokes) * rho_kg_m3 * size_m / mu_pa_s
    if not math.isfinite(creeping_re):
        raise OverflowError("a Reynolds number beyond all numbers")
    return stokes * float(
        brentq(lambda slow: slow * over_stokes(slow * creeping_re) - 1.0, 0.0, 1.0, xtol=1e-16, rtol=1e-14)
    )


def hindered_speed_m_s(
    size_m: float, solid_kg_m3: float, rho_kg_m3: float, mu_pa_s: float, liquid_fraction: float
) -> float:
    """Settling speed of spheres in a crowd, m/s: Stokes times `e^2 10^(-1.82 (1 - e))`.

    Source: Steinour 1944 as used in Geankoplis, Transport Processes and Unit Operations, section 14.3.
    """
    crowd = liquid_fraction**2 * math.pow(10.0, -1.82 * (1.0 - liquid_fraction))
    return stokes_speed_m_s(size_m, solid_kg_m3, rho_kg_m3, mu_pa_s) * crowd


def richardson_zaki(liquid_fraction: float, re: float = 0.0) -> float:
    """Hindered over single settling speed, `e^n`: n = 4.65 in creeping flow, falling to 2.4 above Re 500.

    Source: Richardson & Zaki 1954 (recalled), wide vessel.
    """
    return math.pow(liquid_fraction, _zaki_exponent(re))


def liquid_fraction(solid_mass_fraction: float, solid_kg_m3: float, rho_kg_m3: float) -> float:
    """Volume share of the liquid in a slurry given by mass, dimensionless."""
    liquid = (1.0 - solid_mass_fraction) / rho_kg_m3
    return liquid / (liquid + solid_mass_fraction / solid_kg_m3)


def diffusivity_m2_s(t_k: float, mu_pa_s: float, size_m: float) -> float:
    """Brownian diffusivity of a sphere (Stokes-Einstein), `kB T/(3 pi mu d)`, m2/s."""
    return BOLTZMANN_J_K * t_k / (3.0 * math.pi * mu_pa_s * size_m)


def sphere_mass_kg(size_m: float, solid_kg_m3: float) -> float:
    """Mass of a sphere of diameter `size_m`, kg."""
    return solid_kg_m3 * math.pi * size_m**3 / 6.0


def _zaki_exponent(re: float) -> float:
    if re < 0.2:
        return 4.65
    if re < 1.0:
        return 4.35 * math.pow(re, -0.03)
    return 4.45 * math.pow(re, -0.1) if re < 500.0 else 2.39
