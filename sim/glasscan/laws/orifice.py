"""Discharge coefficient of sharp-edged restrictions from creeping to turbulent flow. SI units throughout."""

from __future__ import annotations

import math

import numpy as np

from glasscan.laws.plate_table import PLATE_CD, PLATE_RE

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


TAPS = ("corner", "flange", "d-and-half")
"""Places of the pressure taps: at the plate, one inch either side, one bore before and half behind."""


def plate_coefficient(beta: float, re_pipe: float, pipe_m: float, taps: str = "corner") -> float:
    """Orifice plate in a pipe: ISO 5167 (Reader-Harris/Gallagher), dimensionless.

    Args:
        beta: orifice over pipe diameter, 0.1 to 0.75.
        re_pipe: Reynolds number on the pipe diameter, 5000 upward.
        pipe_m: pipe bore, m.
        taps: one of `TAPS`.
    """
    a = math.pow(19000.0 * beta / re_pipe, 0.8)
    cd = 0.5961 + 0.0261 * beta**2 - 0.216 * beta**8 + 0.000521 * math.pow(1e6 * beta / re_pipe, 0.7)
    cd += (0.0188 + 0.0063 * a) * math.pow(beta, 3.5) * math.pow(1e6 / re_pipe, 0.3)
    cd += _tap_terms(beta, a, *_tap_distances(taps, pipe_m))
    if pipe_m < 0.07112:
        cd += 0.011 * (0.75 - beta) * (2.8 - pipe_m / 0.0254)
    return cd


def plate_in_scope(beta: float, re_pipe: float, pipe_m: float, taps: str = "corner") -> bool:
    """Whether ISO 5167-2 covers this plate: bore 50 mm to 1 m, hole 12.5 mm or more, Reynolds number."""
    if not (0.05 <= pipe_m <= 1.0 and beta * pipe_m >= 0.0125 and 0.1 <= beta <= 0.75):
        return False
    if taps == "flange":
        return re_pipe >= max(5000.0, 170.0 * beta**2 * 1e3 * pipe_m)
    return re_pipe >= (5000.0 if beta <= 0.56 else 16000.0 * beta**2)


def _tap_distances(taps: str, pipe_m: float) -> tuple[float, float]:
    """Distances of the taps before and behind the plate, over the bore."""
    inch = 0.0254 / pipe_m
    return {"corner": (0.0, 0.0), "flange": (inch, inch), "d-and-half": (1.0, 0.47)}[taps]


def _tap_terms(beta: float, a: float, before: float, behind: float) -> float:
    dam = 2.0 * behind / (1.0 - beta)
    upstream = (0.043 + 0.080 * math.exp(-10.0 * before) - 0.123 * math.exp(-7.0 * before)) * (1.0 - 0.11 * a)
    downstream = 0.031 * (dam - 0.8 * math.pow(dam, 1.1)) * math.pow(beta, 1.3)
    return upstream * beta**4 / (1.0 - beta**4) - downstream


FREE_JET_HEAD_FT = (1.0, 4.0, 10.0, 20.0)
FREE_JET_CD = (0.62, 0.608, 0.605, 0.603)
"""Water through a sharp-edged hole into the air, against the head: handbook table (status: FOUND)."""


def free_jet_coefficient(head_ft: float) -> float:
    """Discharge coefficient of a sharp-edged hole that water leaves into the air, linear in ln(head).

    Raises:
        ValueError: outside the table, 1 to 20 ft of head.
    """
    if not FREE_JET_HEAD_FT[0] <= head_ft <= FREE_JET_HEAD_FT[-1]:
        raise ValueError(f"the table covers heads of 1 to 20 ft, got {head_ft:g}")
    return float(np.interp(math.log(head_ft), np.log(FREE_JET_HEAD_FT), FREE_JET_CD))


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
