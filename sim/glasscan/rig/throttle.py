"""Drop over a restriction as `dp = a q |q| + b q`: the valve law made explicit both ways.

With the exponent 2 of `laws.orifice.discharge_coefficient` the inertial and the viscous drops add, so
flow from drop and drop from flow both have a closed form: what the plant's inner loop needs.
"""

from __future__ import annotations

from math import pi, sqrt

from glasscan.laws.orifice import HOLE_DELTA, SLIT_DELTA, orifice_drop_pa


def gap_coefficients(
    area_m2: float, rim_m: float, cd: float, mu_pa_s: float, rho_kg_m3: float
) -> tuple[float, float]:
    """The pair (a, b) for the narrow gap between a valve and its seat, Pa s2/m6 and Pa s/m3.

    Args:
        area_m2: flow area.
        rim_m: length of the gap along the seat; its width is area over rim.
        cd: turbulent discharge coefficient.
        mu_pa_s, rho_kg_m3: oil.
    """
    return _coefficients(area_m2, 2.0 * area_m2 / rim_m, SLIT_DELTA, cd, mu_pa_s, rho_kg_m3)


def hole_coefficients(area_m2: float, cd: float, mu_pa_s: float, rho_kg_m3: float) -> tuple[float, float]:
    """The pair (a, b) for a round hole, as `gap_coefficients`."""
    return _coefficients(area_m2, sqrt(4 * area_m2 / pi), HOLE_DELTA, cd, mu_pa_s, rho_kg_m3)


def _coefficients(
    area_m2: float, hydraulic_d_m: float, delta: float, cd: float, mu: float, rho: float
) -> tuple[float, float]:
    """`Cd = delta sqrt(Re)` turned into a viscous drop `mu q / (2 delta^2 D A)`."""
    return orifice_drop_pa(cd, area_m2, 1.0, rho), 0.5 * mu / (delta * delta * hydraulic_d_m * area_m2)


def flow_m3s(dp_pa: float, a: float, b: float) -> float:
    """Flow that a drop drives through `dp = a q |q| + b q`, signed, m3/s."""
    return 2.0 * dp_pa / (b + sqrt(b * b + 4.0 * a * abs(dp_pa)))


def hole_m3s(dp_pa: float, area_m2: float, cd: float, mu_pa_s: float, rho_kg_m3: float) -> float:
    """Flow through a round hole, m3/s; inverse of `glasscan.laws.orifice.hole_drop_pa`."""
    if area_m2 <= 0.0:
        return 0.0
    return flow_m3s(dp_pa, *hole_coefficients(area_m2, cd, mu_pa_s, rho_kg_m3))
