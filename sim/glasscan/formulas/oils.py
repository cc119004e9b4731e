"""Figures of the oil itself: viscosity, index, density."""

from __future__ import annotations

from typing import Any

from glasscan.formulas.registry import FigureError, Input, figure, positive, word
from glasscan.laws.density import LUBE_K0, LUBE_K1, RANGE_C, density_kg_m3, expansion_per_k
from glasscan.laws.viscosity import (
    NU_MAX_MM2_S,
    NU_MIN_MM2_S,
    ViscosityLaw,
    law_through,
    nu_from_z,
    z_from_nu,
    z_older,
    z_simple,
)
from glasscan.laws.viscosity_index import (
    KV100_MIN_MM2_S,
    reference_oils_mm2_s,
    rounded_index,
    viscosity_index,
)

D341 = "ASTM D341 form, constants recalled (status: MEMORY)"
Z_FORMS = {"full": z_from_nu, "simple": z_simple, "older": z_older}
D2270 = "ASTM D2270"
D1250 = "ASTM D1250 / API MPMS 11.1 lubricating-oil constants K0 = 0, K1 = 0.6278, recalled (status: MEMORY)"

NU_RANGE = {"unit": "mm2/s", "low": NU_MIN_MM2_S, "high": NU_MAX_MM2_S}
THINS = (("kv100", "kv40"),)
KV40 = Input("kv40", **NU_RANGE)  # type: ignore[arg-type]
KV100 = Input("kv100", **NU_RANGE)  # type: ignore[arg-type]
AT_C = Input("at_c", "degC", low=-100.0, high=350.0)
RHO15 = Input("rho15", "kg/m3", low=400.0, high=2000.0)


@figure(
    "kinematic-viscosity",
    KV40,
    KV100,
    AT_C,
    unit="mm2/s",
    method="log10 log10 Z = A - B log10 T through 40 and 100 degC, with the low-viscosity term, inverted by "
    "Newton's method; `beyond` marks an answer outside the 0.21 to 2e7 mm2/s of the standard",
    source=D341,
    rising=THINS,
)
def _kinematic_viscosity(kv40: float, kv100: float, at_c: float) -> dict[str, Any]:
    return at_temperature(law_through((40.0, kv40), (100.0, kv100)), at_c)


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
    return at_temperature(law_of(t1_c, nu1, t2_c, nu2), at_c)


def law_of(
    t1_c: float, nu1: float, t2_c: float, nu2: float, keys: tuple[str, str] = ("nu1", "nu2")
) -> ViscosityLaw:
    """The law through two points, in either order; `keys` are what a message calls the viscosities.

    Raises:
        FigureError: at one temperature, or where the oil does not thin when warmed.
    """
    if t1_c == t2_c:
        raise FigureError(f"t2_c: expected another temperature than t1_c, got {t2_c:g} degC")
    (_, thick), (_, thin) = points = sorted([(t1_c, nu1), (t2_c, nu2)])
    if thick <= thin:
        colder, hotter = keys if t2_c > t1_c else keys[::-1]
        raise FigureError(f"{hotter}: expected less than {colder}, since oil thins when warmed")
    return law_through(*points)


def at_temperature(law: ViscosityLaw, at_c: float) -> dict[str, Any]:
    """The bare law at a temperature, marked where it is beyond what the standard covers."""
    nu = float(law.extrapolated_mm2_s(at_c))
    return {"value": nu, "beyond": not NU_MIN_MM2_S <= nu <= NU_MAX_MM2_S}


@figure(
    "viscosity-constants",
    KV40,
    KV100,
    unit="-, -",
    method="A and B of log10 log10 Z = A - B log10 T",
    source=D341,
    rising=THINS,
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
    rising=THINS,
)
def _temperature(kv40: float, kv100: float, nu: float) -> float:
    return float(law_through((40.0, kv40), (100.0, kv100)).temperature_c(nu))


@figure(
    "d341-z",
    positive("nu", "mm2/s", high=1e9),
    word("form", Z_FORMS, default="full"),
    unit="-",
    method="Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2); `simple` without the exponential, `older` with "
    "the six exponentials of older issues (from 0.21 mm2/s up)",
    source=D341,
)
def _z(nu: float, form: str) -> float:
    if form == "older" and nu < NU_MIN_MM2_S:
        raise FigureError(f"nu: expected {NU_MIN_MM2_S:g} mm2/s or more with form=older, got {nu:g}")
    return float(Z_FORMS[form](nu))


@figure(
    "d341-nu",
    Input("z", low=1.0, high=1e9),
    unit="mm2/s",
    method="viscosity whose Z is z, by Newton's method",
    source=D341,
)
def _nu(z: float) -> float:
    return float(nu_from_z(z))


VI_KV100 = Input("kv100", "mm2/s", low=KV100_MIN_MM2_S, high=NU_MAX_MM2_S)


@figure(
    "viscosity-index",
    KV40,
    VI_KV100,
    unit="-",
    method="procedure A up to 100, procedure B above; value unrounded",
    source=D2270,
    rising=THINS,
)
def _viscosity_index(kv40: float, kv100: float) -> dict[str, Any]:
    index = viscosity_index(kv40, kv100)
    return {"value": index, "rounded": rounded_index(index)}


@figure(
    "viscosity-index-basis",
    VI_KV100,
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
    method="kinematic viscosity times density at the same temperature; `beyond` as there",
    source=f"{D341}; {D1250}",
    rising=THINS,
)
def _dynamic(kv40: float, kv100: float, rho15: float, at_c: float) -> dict[str, Any]:
    found = at_temperature(law_through((40.0, kv40), (100.0, kv100)), at_c)
    return {**found, "value": 1e-6 * found["value"] * float(density_kg_m3(rho15, at_c))}


K0 = Input("k0", "kg2/(m6.K)", low=-1e4, high=1e4, default=LUBE_K0)
K1 = Input("k1", "kg/(m3.K)", low=-10.0, high=10.0, default=LUBE_K1)


@figure(
    "density",
    RHO15,
    AT_C,
    K0,
    K1,
    Input("alpha_per_k", "1/K", low=0.0, high=0.01, optional=True),
    unit="kg/m3",
    method="rho15 exp(-a dT (1 + 0.8 a dT)), a = `alpha_per_k`, or else (K0 + K1 rho15)/rho15^2, dT from 15 "
    "degC; K0 and K1 left out are those of lubricating oils; `beyond` marks what lies outside the "
    "standard's -50 to 150 degC",
    source=D1250,
)
def _density(
    rho15: float, at_c: float, k0: float, k1: float, alpha_per_k: float | None = None
) -> dict[str, Any]:
    alpha = expansion_per_k(rho15, k0, k1) if alpha_per_k is None else alpha_per_k
    value = float(density_kg_m3(rho15, at_c, alpha))
    low, high = RANGE_C
    return {"value": value, "over_rho15": value / rho15, "beyond": not low <= at_c <= high}


@figure(
    "expansion",
    RHO15,
    K0,
    K1,
    unit="1/K",
    method="a = (K0 + K1 rho15)/rho15^2 at 15 degC; K0 and K1 left out are those of lubricating oils",
    source=D1250,
)
def _expansion(rho15: float, k0: float, k1: float) -> float:
    return expansion_per_k(rho15, k0, k1)
