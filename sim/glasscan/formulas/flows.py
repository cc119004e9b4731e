"""Figures of laminar flow: ducts and porous bodies."""

from __future__ import annotations

import math

from glasscan.formulas.registry import FigureError, Input, figure, positive
from glasscan.laws import berman, channels, porous
from glasscan.units import to_si

EXACT = "exact solution, textbook"
DP_PA = Input("dp_pa", "Pa", low=0.0)
MU = positive("mu_pa_s", "Pa.s")
RHO0 = Input("rho", "kg/m3", low=0.0, default=0.0)
LENGTH = positive("length_mm", "mm")


@figure(
    "plane-channel",
    positive("gap_mm", "mm"),
    DP_PA,
    MU,
    LENGTH,
    unit="m2/s",
    method="flow per unit width h^3 dp/(12 mu L); wall shear h dp/(2 L); peak speed 1.5 times the mean",
    source=EXACT,
)
def _plane(gap_mm: float, dp_pa: float, mu_pa_s: float, length_mm: float) -> dict[str, float]:
    gap, length = 1e-3 * gap_mm, 1e-3 * length_mm
    shear = channels.plane_wall_shear_pa(gap, dp_pa, length)
    flow = channels.plane_flow_m2_s(gap, dp_pa, mu_pa_s, length)
    return {"value": flow, "wall_shear_pa": shear, "mean_m_s": flow / gap, "peak_m_s": 1.5 * flow / gap}


@figure(
    "pipe",
    positive("radius_mm", "mm"),
    DP_PA,
    MU,
    LENGTH,
    unit="m3/s",
    method="pi R^4 dp/(8 mu L); wall shear R dp/(2 L); peak speed twice the mean",
    source="Hagen-Poiseuille, textbook",
)
def _pipe(radius_mm: float, dp_pa: float, mu_pa_s: float, length_mm: float) -> dict[str, float]:
    radius, length = 1e-3 * radius_mm, 1e-3 * length_mm
    flow = channels.pipe_flow_m3s(radius, dp_pa, mu_pa_s, length)
    mean = radius * (radius * dp_pa) / (8.0 * mu_pa_s * length)
    shear = channels.plane_wall_shear_pa(radius, dp_pa, length)
    return {"value": flow, "wall_shear_pa": shear, "mean_m_s": mean, "peak_m_s": 2.0 * mean}


@figure(
    "annulus",
    positive("ro_mm", "mm"),
    positive("ri_mm", "mm"),
    DP_PA,
    MU,
    LENGTH,
    unit="m3/s",
    method="concentric annulus, pi dp/(8 mu L) (ro^4 - ri^4 - (ro^2 - ri^2)^2/ln(ro/ri))",
    source=EXACT,
    rising=(("ri_mm", "ro_mm"),),
)
def _annulus(ro_mm: float, ri_mm: float, dp_pa: float, mu_pa_s: float, length_mm: float) -> float:
    return channels.annulus_flow_m3s(1e-3 * ro_mm, 1e-3 * ri_mm, dp_pa, mu_pa_s, 1e-3 * length_mm)


@figure(
    "annulus-f-re",
    Input("ri_over_ro", low=0.0, high=1.0),
    unit="-",
    method="Darcy friction factor times Reynolds number, both on the hydraulic diameter; 0 is a pipe (64), "
    "1 parallel plates (96)",
    source=EXACT,
)
def _annulus_f_re(ri_over_ro: float) -> float:
    return channels.annulus_f_re(ri_over_ro)


@figure(
    "rectangle",
    positive("width_mm", "mm"),
    positive("height_mm", "mm"),
    DP_PA,
    MU,
    LENGTH,
    unit="m3/s",
    method="series solution",
    source="Shah & London 1978",
)
def _rectangle(width_mm: float, height_mm: float, dp_pa: float, mu_pa_s: float, length_mm: float) -> float:
    return channels.rectangle_flow_m3s(1e-3 * width_mm, 1e-3 * height_mm, dp_pa, mu_pa_s, 1e-3 * length_mm)


@figure(
    "rectangle-f-re",
    Input("aspect", low=0.0),
    unit="-",
    method="Darcy friction factor times Reynolds number on the hydraulic diameter, series solution; either "
    "ratio of the sides, 0 is parallel plates (96)",
    source="Shah & London 1978",
)
def _rectangle_f_re(aspect: float) -> float:
    return channels.rectangle_f_re(aspect)


@figure(
    "couette-torque",
    MU,
    positive("ri_mm", "mm"),
    positive("ro_mm", "mm"),
    Input("rpm", "rev/min", optional=True),
    Input("rad_s", "rad/s", optional=True),
    unit="N.m/m",
    method="torque per length 4 pi mu W ri^2 ro^2/(ro^2 - ri^2), inner cylinder turning, laminar; W by rpm "
    "or rad_s",
    source=EXACT,
    rising=(("ri_mm", "ro_mm"),),
)
def _couette(
    mu_pa_s: float, ri_mm: float, ro_mm: float, rpm: float | None = None, rad_s: float | None = None
) -> float:
    if (rpm is None) == (rad_s is None):
        raise FigureError("couette-torque: expected one of rpm and rad_s")
    omega = rad_s if rpm is None else to_si(rpm, "rpm")
    return channels.couette_torque_n(mu_pa_s, 1e-3 * ri_mm, 1e-3 * ro_mm, float(omega or 0.0))


@figure(
    "darcy-shell",
    LENGTH,
    positive("k_m2", "m2"),
    DP_PA,
    MU,
    positive("ro_mm", "mm"),
    positive("ri_mm", "mm"),
    unit="m3/s",
    method="radial flow through a porous cylinder wall, 2 pi L k dp/(mu ln(ro/ri))",
    source="Darcy's law",
    rising=(("ri_mm", "ro_mm"),),
)
def _shell(length_mm: float, k_m2: float, dp_pa: float, mu_pa_s: float, ro_mm: float, ri_mm: float) -> float:
    lengths = {"length_m": 1e-3 * length_mm, "ro_m": 1e-3 * ro_mm, "ri_m": 1e-3 * ri_mm}
    return porous.darcy_shell_flow_m3s(k_m2=k_m2, dp_pa=dp_pa, mu_pa_s=mu_pa_s, **lengths)


@figure(
    "brinkman-closed-form",
    positive("lam"),
    positive("mu_ratio", default=1.0),
    unit="-",
    method="mean over Darcy velocity 1 - tanh(l)/l, porous-filled plane channel, l = half height/sqrt(k "
    "mu_ratio), mu_ratio effective over plain viscosity, lam = half height/sqrt(k); `centre` is 1 - "
    "1/cosh(l)",
    source="exact solution of Brinkman's equation",
)
def _brinkman(lam: float, mu_ratio: float) -> dict[str, float]:
    lam = lam / math.sqrt(mu_ratio)
    return {"value": porous.brinkman_mean_ratio(lam), "centre": porous.brinkman_centre_ratio(lam)}


@figure(
    "beavers-joseph",
    positive("alpha"),
    positive("sigma"),
    unit="-",
    method="fractional gain of flow 3 (s + 2 a)/(s (1 + a s)), s = height/sqrt(k); `slip_over_mean` slip "
    "velocity over the mean one between solid walls, 6 (s + 2 a)/(s (1 + a s))",
    source="Beavers & Joseph 1967, J. Fluid Mech. 30, 197; re-derived",
)
def _beavers_joseph(alpha: float, sigma: float) -> dict[str, float]:
    slip = porous.beavers_joseph_slip_ratio(alpha, sigma)
    return {"value": porous.beavers_joseph_increase(alpha, sigma), "slip_over_mean": slip}


@figure(
    "berman",
    Input("r_wall", low=berman.R_MIN, high=berman.R_MAX),
    unit="-, -",
    method="k and f'(0) of f''' + R (f'^2 - f f'') = k, porous-wall channel; suction positive",
    source="Berman 1953, J. Appl. Phys. 24, solved numerically",
)
def _berman(r_wall: float) -> list[float]:
    flow = berman.berman(r_wall)
    return [flow.k, flow.centre]


@figure(
    "porous-wall-drop",
    positive("u0_m_s", "m/s"),
    Input("wall_m_s", "m/s"),
    positive("half_height_mm", "mm"),
    Input("x_mm", "mm", low=0.0),
    MU,
    RHO0,
    unit="Pa",
    method="-(mu k/h^2)(u0 x - v x^2/(2 h)), k from Berman's equation (rho = 0: creeping, k = -3)",
    source="Berman 1953",
)
def _porous_drop(
    u0_m_s: float, wall_m_s: float, half_height_mm: float, x_mm: float, mu_pa_s: float, rho: float
) -> float:
    return berman.porous_wall_drop_pa(u0_m_s, wall_m_s, 1e-3 * half_height_mm, 1e-3 * x_mm, mu_pa_s, rho)
