"""More figures of viscosity: other points, other units, cold against hot."""

from __future__ import annotations

from typing import Any

from glasscan.formulas.oils import AT_C, D341, D1250, KV40, KV100, NU_RANGE, RHO15, THINS, law_of
from glasscan.formulas.registry import Input, figure, positive
from glasscan.laws.density import BASE_C, density_kg_m3
from glasscan.laws.viscosity import law_through, saybolt_s

POINTS = (
    Input("t1_c", "degC", low=-100.0, high=350.0),
    Input("nu1", **NU_RANGE),  # type: ignore[arg-type]
    Input("t2_c", "degC", low=-100.0, high=350.0),
    Input("nu2", **NU_RANGE),  # type: ignore[arg-type]
)


@figure(
    "viscosity-constants-through",
    *POINTS,
    unit="-, -",
    method="A and B of log10 log10 Z = A - B log10 T through any two points",
    source=D341,
)
def _constants(t1_c: float, nu1: float, t2_c: float, nu2: float) -> list[float]:
    law = law_of(t1_c, nu1, t2_c, nu2)
    return [law.a, law.b]


@figure(
    "viscosity-temperature-through",
    *POINTS,
    Input("nu", **NU_RANGE),  # type: ignore[arg-type]
    unit="degC",
    method="temperature at which the oil of those two points has the viscosity nu",
    source=D341,
)
def _temperature(t1_c: float, nu1: float, t2_c: float, nu2: float, nu: float) -> float:
    return float(law_of(t1_c, nu1, t2_c, nu2).temperature_c(nu))


@figure(
    "dynamic-viscosity-through",
    Input("t1_c", "degC", low=-100.0, high=350.0),
    positive("mu1_pa_s", "Pa.s"),
    Input("t2_c", "degC", low=-100.0, high=350.0),
    positive("mu2_pa_s", "Pa.s"),
    RHO15,
    AT_C,
    Input("alpha_per_k", "1/K", low=0.0, high=2e-3, optional=True),
    unit="Pa.s",
    method="each dynamic viscosity over the density there, the law through the two, times the density at "
    "at_c; with `alpha_per_k` the density is rho15 (1 - alpha (t - 15)), else that of `density`",
    source=f"{D341}; {D1250}",
)
def _dynamic_through(
    t1_c: float,
    mu1_pa_s: float,
    t2_c: float,
    mu2_pa_s: float,
    rho15: float,
    at_c: float,
    alpha_per_k: float | None = None,
) -> float:
    def rho(t_c: float) -> float:
        if alpha_per_k is None:
            return float(density_kg_m3(rho15, t_c))
        return rho15 * (1.0 - alpha_per_k * (t_c - BASE_C))

    nu1, nu2 = 1e6 * mu1_pa_s / rho(t1_c), 1e6 * mu2_pa_s / rho(t2_c)
    nu = float(law_of(t1_c, nu1, t2_c, nu2, ("mu1_pa_s", "mu2_pa_s")).extrapolated_mm2_s(at_c))
    return 1e-6 * nu * rho(at_c)


@figure(
    "viscosity-ratio",
    KV40,
    KV100,
    RHO15,
    Input("cold_c", "degC", low=-100.0, high=350.0),
    Input("hot_c", "degC", low=-100.0, high=350.0),
    unit="-",
    method="dynamic viscosity cold over hot: so many times the drop of a clean laminar element",
    source=f"{D341}; {D1250}",
    rising=(*THINS, ("cold_c", "hot_c")),
)
def _ratio(kv40: float, kv100: float, rho15: float, cold_c: float, hot_c: float) -> float:
    law = law_through((40.0, kv40), (100.0, kv100))
    thick, thin = (law.extrapolated_mm2_s(t) * density_kg_m3(rho15, t) for t in (cold_c, hot_c))
    return float(thick / thin)


@figure(
    "saybolt",
    Input("nu", "mm2/s", low=1.8, high=1e6),
    Input("at_f", "degF", low=0.0, high=350.0, default=100.0),
    unit="SUS",
    method="Saybolt universal seconds of a kinematic viscosity at the same temperature; `at_210f` of the "
    "same viscosity read at 210 degF, where old grades of aircraft oil have their number",
    source="ASTM D2161, constants recalled (status: MEMORY)",
)
def _saybolt(nu: float, at_f: float) -> dict[str, Any]:
    return {"value": float(saybolt_s(nu, at_f)), "at_210f": float(saybolt_s(nu, 210.0))}
