"""Figures of the oil itself: viscosity, index, density, heat."""

from __future__ import annotations

from typing import Any

from sim.figures.registry import Input, figure, positive
from sim.physics.density import density_kg_m3, expansion_per_k
from sim.physics.fluid import Fluid
from sim.physics.heat import conductivity_w_mk, specific_heat_j_kgk, throttling_rise_k
from sim.physics.viscosity import (
    NU_MAX_MM2_S,
    NU_MIN_MM2_S,
    ViscosityLaw,
    law_through,
    nu_from_z,
    z_from_nu,
)
from sim.physics.viscosity_index import reference_oils_mm2_s, rounded_index, viscosity_index

D341 = "ASTM D341 form, constants recalled (status: MEMORY)"
D2270 = "ASTM D2270"
D1250 = "ASTM D1250 / API MPMS 11.1 lubricating-oil constants K0 = 0, K1 = 0.6278, recalled (status: MEMORY)"
CRAGOE = "Cragoe, NBS Misc. Publ. 97 (1929), coefficients recalled (status: MEMORY)"

NU_RANGE = {"unit": "mm2/s", "low": NU_MIN_MM2_S, "high": NU_MAX_MM2_S}
KV40 = Input("kv40", **NU_RANGE)  # type: ignore[arg-type]
KV100 = Input("kv100", **NU_RANGE)  # type: ignore[arg-type]
AT_C = Input("at_c", "degC", low=-100.0, high=350.0)
RHO15 = Input("rho15", "kg/m3", low=400.0, high=2000.0)
SG = Input("sg", low=0.4, high=2.0)


@figure(
    "kinematic-viscosity",
    KV40,
    KV100,
    AT_C,
    unit="mm2/s",
    method="log10 log10 Z = A - B log10 T through 40 and 100 degC, with the low-viscosity term, inverted by "
    "Newton's method; `beyond` marks an answer outside the 0.21 to 2e7 mm2/s of the standard",
    source=D341,
)
def _kinematic_viscosity(kv40: float, kv100: float, at_c: float) -> dict[str, Any]:
    return _at(law_through((40.0, kv40), (100.0, kv100)), at_c)


@figure(
    "kinematic-viscosity-through",
    Input("t1_c", "degC", low=-100.0, high=350.0),
    Input("nu1", **NU_RANGE),  # type: ignore[arg-type]
    Input("t2_c", "degC", low=-100.0, high=350.0),
    Input("nu2", **NU_RANGE),  # type: ignore[arg-type]
    AT_C,
    unit="mm2/s",
    method="the same law through any two points (for thickened fluids take points that bracket the range)",
    source=D341,
)
def _through(t1_c: float, nu1: float, t2_c: float, nu2: float, at_c: float) -> dict[str, Any]:
    cold, hot = sorted([(t1_c, nu1), (t2_c, nu2)])
    return _at(law_through(cold, hot), at_c)


def _at(law: ViscosityLaw, at_c: float) -> dict[str, Any]:
    nu = float(law.extrapolated_mm2_s(at_c))
    return {"value": nu, "beyond": not NU_MIN_MM2_S <= nu <= NU_MAX_MM2_S}


@figure(
    "viscosity-constants",
    KV40,
    KV100,
    unit="-, -",
    method="A and B of log10 log10 Z = A - B log10 T",
    source=D341,
)
def _constants(kv40: float, kv100: float) -> list[float]:
    law = law_through((40.0, kv40), (100.0, kv100))
    return [law.a, law.b]


@figure(
    "viscosity-temperature",
    KV40,
    KV100,
    Input("nu", **NU_RANGE),  # type: ignore[arg-type]
    unit="degC",
    method="temperature at which the oil of those two points has the viscosity nu",
    source=D341,
)
def _temperature(kv40: float, kv100: float, nu: float) -> float:
    return float(law_through((40.0, kv40), (100.0, kv100)).temperature_c(nu))


@figure(
    "d341-z",
    positive("nu", "mm2/s", high=1e9),
    unit="-",
    method="Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2)",
    source=D341,
)
def _z(nu: float) -> float:
    return float(z_from_nu(nu))


@figure(
    "d341-nu",
    Input("z", low=1.0, high=1e9),
    unit="mm2/s",
    method="viscosity whose Z is z, by Newton's method",
    source=D341,
)
def _nu(z: float) -> float:
    return float(nu_from_z(z))


@figure(
    "viscosity-index",
    KV40,
    KV100,
    unit="-",
    method="procedure A up to 100, procedure B above; value unrounded",
    source=D2270,
)
def _viscosity_index(kv40: float, kv100: float) -> dict[str, Any]:
    index = viscosity_index(kv40, kv100)
    return {"value": index, "rounded": rounded_index(index)}


@figure(
    "viscosity-index-basis",
    KV100,
    unit="mm2/s, mm2/s",
    method="L and H: viscosity at 40 degC of the oils of index 0 and 100 with this viscosity at 100 degC",
    source=D2270,
)
def _basis(kv100: float) -> list[float]:
    return list(reference_oils_mm2_s(kv100))


@figure(
    "dynamic-viscosity",
    KV40,
    KV100,
    RHO15,
    AT_C,
    unit="Pa.s",
    method="kinematic viscosity times density at the same temperature",
    source=f"{D341}; {D1250}",
)
def _dynamic(kv40: float, kv100: float, rho15: float, at_c: float) -> float:
    return Fluid("asked", ((40.0, kv40), (100.0, kv100)), rho15).mu_pa_s(at_c)


@figure(
    "density",
    RHO15,
    AT_C,
    unit="kg/m3",
    method="rho15 exp(-a dT (1 + 0.8 a dT)), a = (K0 + K1 rho15)/rho15^2, dT from 15 degC",
    source=D1250,
)
def _density(rho15: float, at_c: float) -> float:
    return float(density_kg_m3(rho15, at_c))


@figure("expansion", RHO15, unit="1/K", method="a = (K0 + K1 rho15)/rho15^2 at 15 degC", source=D1250)
def _expansion(rho15: float) -> float:
    return expansion_per_k(rho15)


@figure(
    "specific-heat", SG, AT_C, unit="J/(kg.K)", method="(1685 + 3.4 t)/sqrt(sg), t in degC", source=CRAGOE
)
def _specific_heat(sg: float, at_c: float) -> float:
    return float(specific_heat_j_kgk(sg, at_c))


@figure(
    "conductivity", SG, AT_C, unit="W/(m.K)", method="0.1172 (1 - 0.00054 t)/sg, t in degC", source=CRAGOE
)
def _conductivity(sg: float, at_c: float) -> float:
    return float(conductivity_w_mk(sg, at_c))


@figure(
    "throttling-rise",
    Input("dp_kpa", "kPa", low=0.0),
    positive("rho", "kg/m3"),
    positive("cp", "J/(kg.K)"),
    unit="K",
    method="dp/(rho cp), no heat leaving and no work taken",
    source="energy balance",
)
def _throttling(dp_kpa: float, rho: float, cp: float) -> float:
    return float(throttling_rise_k(1e3 * dp_kpa, rho, cp))
