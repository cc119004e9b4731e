"""Flow through a valve opening or an orifice: Cd(Re) from creeping to turbulent, and its inverse.

With `Cd^-2 = Cd_turbulent^-2 + 1/(delta^2 Re)` (Re on the hydraulic diameter of the gap) the drop is a sum of a
viscous and an inertial part, `dp = a q |q| + b q`, so both directions are explicit.
Source: creeping limit `Cd = delta sqrt(Re)`, H. E. Merritt, Hydraulic Control Systems (1967) ch. 3; delta from memory.
"""

from __future__ import annotations

from math import cos, pi, radians, sin, sqrt

DELTA2 = 0.157**2  # slit orifice, Merritt 1967, MEMORY


def opening_m2(lift_m: float, seat_d_m: float, half_angle_deg: float) -> float:
    """Smallest area between a cone (90 degrees: disc) and its seat, m2; never more than the seat bore."""
    alpha = radians(half_angle_deg)
    gap = lift_m * sin(alpha)
    area = pi * gap * max(seat_d_m - gap * cos(alpha), 0.5 * seat_d_m)
    bore = pi * seat_d_m**2 / 4
    return area / sqrt(1.0 + (area / bore) ** 2)


def gap_coefficients(
    area_m2: float, hydraulic_d_m: float, cd: float, mu_pa_s: float, rho_kg_m3: float
) -> tuple[float, float]:
    """The pair (a, b) of `dp = a q |q| + b q` for one opening, Pa s2/m6 and Pa s/m3."""
    return (
        0.5 * rho_kg_m3 / (cd * area_m2) ** 2,
        0.5 * mu_pa_s / (DELTA2 * hydraulic_d_m * area_m2),
    )


def flow_m3s(dp_pa: float, a: float, b: float) -> float:
    """Flow that a drop drives through `dp = a q |q| + b q`, signed, m3/s."""
    return 2.0 * dp_pa / (b + sqrt(b * b + 4.0 * a * abs(dp_pa)))


def orifice_m3s(dp_pa: float, area_m2: float, cd: float, mu_pa_s: float, rho_kg_m3: float) -> float:
    """Flow through a round orifice, m3/s."""
    if area_m2 <= 0.0:
        return 0.0
    a, b = gap_coefficients(area_m2, sqrt(4 * area_m2 / pi), cd, mu_pa_s, rho_kg_m3)
    return flow_m3s(dp_pa, a, b)
