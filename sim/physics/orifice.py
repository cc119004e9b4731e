"""Discharge coefficient of sharp-edged restrictions from creeping to turbulent flow. SI units throughout."""

from __future__ import annotations

import math

import numpy as np

from sim.physics.plate_table import PLATE_CD, PLATE_RE

HOLE_DELTA = math.sqrt(1.0 / (12.0 * math.pi))
"""Creeping limit of a round hole, Cd = delta sqrt(Re), Re on the hole diameter: exact, from Sampson 1891."""
SLIT_DELTA = math.sqrt(math.pi / 128.0)
"""The same for a slit, Re on twice the slit width: exact, from Hasimoto 1958."""
KIRCHHOFF = math.pi / (math.pi + 2.0)
"""Contraction of an inviscid plane jet leaving a slot: exact, Kirchhoff 1869."""


def discharge_coefficient(re: float, delta: float, cd_turbulent: float, sharpness: float = 2.0) -> float:
    """Cd between its two exact or measured ends, dimensionless.

    `Cd^-n = (delta sqrt(Re))^-n + cd^-n` (Churchill-Usagi). With n = 2 the viscous and the inertial pressure
    drops simply add; a sharp edge joins its limits more abruptly (n about 4 to 5 against the plate data of
    Hollingshead 2011).

    Args:
        re: Reynolds number on the hydraulic diameter of the restriction, at its mean velocity.
        delta: creeping coefficient, e.g. HOLE_DELTA.
        cd_turbulent: value at high Reynolds number.
        sharpness: exponent n, 1 or more.
    """
    if re <= 0.0:
        return 0.0
    creeping = delta * math.sqrt(re)
    small, large = sorted((creeping, cd_turbulent))
    return small / math.pow(1.0 + math.pow(small / large, sharpness), 1.0 / sharpness)


def transition_re(delta: float, cd_turbulent: float) -> float:
    """Reynolds number where the creeping and the turbulent lines cross, `(cd/delta)^2`."""
    return (cd_turbulent / delta) ** 2


def orifice_flow_m3s(cd: float, area_m2: float, dp_pa: float, rho_kg_m3: float) -> float:
    """Turbulent orifice, `Cd A sqrt(2 |dp|/rho)` with the sign of the drop, m3/s."""
    return math.copysign(cd * area_m2 * math.sqrt(2.0 * abs(dp_pa) / rho_kg_m3), dp_pa)


def orifice_drop_pa(cd: float, area_m2: float, flow_m3s: float, rho_kg_m3: float) -> float:
    """Turbulent orifice, `rho (Q/(Cd A))^2/2` with the sign of the flow, Pa."""
    return math.copysign(0.5 * rho_kg_m3 * (flow_m3s / (cd * area_m2)) ** 2, flow_m3s)


def hole_drop_pa(
    diameter_m: float, flow_m3s: float, mu_pa_s: float, rho_kg_m3: float, cd_turbulent: float
) -> float:
    """Thin round hole at any Reynolds number: Sampson's drop plus the turbulent one, Pa (n = 2 above)."""
    viscous = 24.0 * mu_pa_s * flow_m3s / diameter_m**3
    return viscous + orifice_drop_pa(cd_turbulent, math.pi * diameter_m**2 / 4.0, flow_m3s, rho_kg_m3)


def plate_coefficient(beta: float, re_pipe: float, pipe_m: float) -> float:
    """Orifice plate in a pipe, corner taps: ISO 5167 (Reader-Harris/Gallagher), dimensionless.

    Args:
        beta: orifice over pipe diameter, 0.1 to 0.75.
        re_pipe: Reynolds number on the pipe diameter, 5000 upward.
        pipe_m: pipe bore, m.
    """
    a = math.pow(19000.0 * beta / re_pipe, 0.8)
    cd = 0.5961 + 0.0261 * beta**2 - 0.216 * beta**8 + 0.000521 * math.pow(1e6 * beta / re_pipe, 0.7)
    cd += (0.0188 + 0.0063 * a) * math.pow(beta, 3.5) * math.pow(1e6 / re_pipe, 0.3)
    if pipe_m < 0.07112:
        cd += 0.011 * (0.75 - beta) * (2.8 - pipe_m / 0.0254)
    return cd


def plate_coefficient_low_re(beta: float, re_pipe: float) -> float:
    """Orifice plate at any Reynolds number from 1 upward: Hollingshead's table, linear in beta and ln(Re).

    Raises:
        ValueError: outside the table (beta 0.5 to 0.7, pipe Reynolds number 1 to 5e7).
    """
    betas = sorted(PLATE_CD)
    if not (betas[0] <= beta <= betas[-1] and PLATE_RE[0] <= re_pipe <= PLATE_RE[-1]):
        raise ValueError(f"the table covers beta 0.5 to 0.7 and Re 1 to 5e7, got {beta:g} and {re_pipe:g}")
    columns = [np.interp(math.log(re_pipe), np.log(PLATE_RE), PLATE_CD[b]) for b in betas]
    return float(np.interp(beta, betas, columns))
