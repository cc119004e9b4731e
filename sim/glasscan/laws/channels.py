"""Fully developed laminar flow in plain ducts: exact solutions, no-slip walls, Newtonian oil.

Lengths in m, pressures in Pa (drop over the length), viscosity in Pa s. Inputs must be above zero.
"""

from __future__ import annotations

import numpy as np
from scipy.special import spherical_in

F_RE_LIMITS = {0.0: 64.0, 1.0: 96.0}
"""Darcy friction factor times Reynolds number of a pipe and of parallel plates, by the ratio of radii."""
FAR_APART = 0.05
_ODD = np.arange(1, 401, 2)


def plane_flow_m2_s(gap_m: float, dp_pa: float, mu_pa_s: float, length_m: float) -> float:
    """Plane channel: flow per unit width, `h^3 dp/(12 mu L)`, m2/s."""
    return gap_m**3 * dp_pa / (12.0 * mu_pa_s * length_m)


def plane_wall_shear_pa(gap_m: float, dp_pa: float, length_m: float) -> float:
    """Plane channel: shear stress on each wall, `h dp/(2 L)`, Pa."""
    return gap_m * dp_pa / (2.0 * length_m)


def pipe_flow_m3s(radius_m: float, dp_pa: float, mu_pa_s: float, length_m: float) -> float:
    """Round pipe (Hagen-Poiseuille), `pi R^4 dp/(8 mu L)`, m3/s."""
    return float(np.pi * radius_m**4 * dp_pa / (8.0 * mu_pa_s * length_m))


def annulus_flow_m3s(ro_m: float, ri_m: float, dp_pa: float, mu_pa_s: float, length_m: float) -> float:
    """Concentric annulus, axial flow, m3/s; the exact law, well conditioned down to a vanishing gap."""
    _check_radii(ro_m, ri_m)
    return float(np.pi * dp_pa * ro_m**4 * _annulus_bracket(ri_m / ro_m) / (8.0 * mu_pa_s * length_m))


def annulus_f_re(radius_ratio: float) -> float:
    """Concentric annulus: Darcy friction factor times Reynolds number on the hydraulic diameter."""
    if radius_ratio in F_RE_LIMITS:
        return F_RE_LIMITS[radius_ratio]
    _check_radii(1.0, radius_ratio)
    area_over_pi = (1.0 - radius_ratio) * (1.0 + radius_ratio)
    return float(64.0 * (1.0 - radius_ratio) ** 2 * area_over_pi / _annulus_bracket(radius_ratio))


def rectangle_flow_m3s(
    width_m: float, height_m: float, dp_pa: float, mu_pa_s: float, length_m: float
) -> float:
    """Rectangular duct, m3/s; series of Boussinesq as in Shah & London 1978."""
    long, short = max(width_m, height_m), min(width_m, height_m)
    parallel = plane_flow_m2_s(short, dp_pa, mu_pa_s, length_m) * long
    return parallel * _end_wall_factor(short / long)


def rectangle_f_re(aspect: float) -> float:
    """Rectangular duct: Darcy friction factor times Reynolds number on the hydraulic diameter.

    Args:
        aspect: ratio of the sides, either way round; 0 is parallel plates.
    """
    if aspect == 0.0:
        return F_RE_LIMITS[1.0]
    ratio = min(aspect, 1.0 / aspect)
    return 96.0 / ((1.0 + ratio) ** 2 * _end_wall_factor(ratio))


def couette_torque_n(mu_pa_s: float, ri_m: float, ro_m: float, omega_rad_s: float) -> float:
    """Torque per unit length on a cylinder turning inside another, laminar, N m per m."""
    _check_radii(ro_m, ri_m)
    return float(4.0 * np.pi * mu_pa_s * omega_rad_s * (ri_m * ro_m) ** 2 / ((ro_m - ri_m) * (ro_m + ri_m)))


def hydraulic_reynolds(rho_kg_m3: float, speed_m_s: float, diameter_m: float, mu_pa_s: float) -> float:
    """Reynolds number on the hydraulic diameter, dimensionless (laminar below about 2000 to 2300)."""
    return rho_kg_m3 * speed_m_s * diameter_m / mu_pa_s


def _check_radii(ro_m: float, ri_m: float) -> None:
    if not 0.0 < ri_m < ro_m:
        raise ValueError(f"the inner radius must lie between zero and the outer one: {ri_m:g}, {ro_m:g}")


def _annulus_bracket(x: float) -> float:
    """`1 - x^4 - (1 - x^2)^2/ln(1/x)`, written with x = exp(-s) so that no digits cancel as x -> 1."""
    if x < FAR_APART:  # nothing cancels here, and the form below underflows
        return float(1.0 - x**4 - (1.0 - x**2) ** 2 / -np.log(x))
    s = -np.log(x)
    return float(4.0 * x**2 * np.sinh(s) * s * spherical_in(1, s))


def _end_wall_factor(ratio: float) -> float:
    """Flow of a rectangle over that of an equal piece of an endless plane channel; ratio = short/long."""
    series = np.sum(np.tanh(0.5 * np.pi * _ODD / ratio) / _ODD**5.0)
    return float(1.0 - 192.0 * ratio / np.pi**5 * series)
