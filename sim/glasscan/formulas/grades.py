"""Figures of the grades of oils: what a number on a can promises."""

from __future__ import annotations

from typing import Any

from glasscan.formulas.registry import FigureError, Input, figure, word
from glasscan.laws import grades
from glasscan.laws.viscosity import NU_MAX_MM2_S, NU_MIN_MM2_S

J300 = "SAE J300 (2015) as reproduced on public pages (status: FOUND)"
ISO3448 = "ISO 3448 as reproduced in public texts (status: FOUND)"
BEYOND = "none"


@figure(
    "iso-grade-limits",
    Input("grade", low=2, high=grades.LARGEST_ISO, whole=True),
    unit="mm2/s",
    method="least, middle and most viscosity at 40 degC: the mid-point less and plus a tenth",
    source=ISO3448,
)
def _iso_limits(grade: int) -> list[float]:
    try:
        return list(grades.iso_limits(grade))
    except ValueError as fault:
        raise FigureError(f"grade: {fault}") from fault


@figure(
    "iso-grade",
    Input("kv40", "mm2/s", low=NU_MIN_MM2_S, high=NU_MAX_MM2_S),
    unit="grade",
    method=f"the class whose band holds the viscosity at 40 degC; '{BEYOND}' between two bands",
    source=ISO3448,
)
def _iso_grade(kv40: float) -> str:
    found = grades.iso_class(kv40)
    return BEYOND if found is None else str(found)


@figure(
    "sae-grade-limits",
    Input("grade", choices=tuple(grades.SAE_KV100)),
    unit="mm2/s",
    method="least and below-most viscosity at 100 degC; least `high_shear_mpa_s` at 150 degC; `piston_name` "
    "is the commercial and military number of piston-engine aircraft oils",
    source=f"{J300}; piston names: SAE J1966, MIL-L-22851D (status: FOUND)",
)
def _sae_limits(grade: str) -> dict[str, Any]:
    told: dict[str, Any] = {"values": list(grades.SAE_KV100[grade])}
    shear = [grades.HIGH_SHEAR[key] for key in grades.HIGH_SHEAR if key.partition("_")[0] == grade]
    told["high_shear_mpa_s"] = shear[0] if len(shear) == 1 else shear
    if grade in grades.PISTON_NAMES:
        told["piston_name"] = grades.PISTON_NAMES[grade]
    return told


@figure(
    "sae-grade",
    Input("kv100", "mm2/s", low=NU_MIN_MM2_S, high=NU_MAX_MM2_S),
    unit="grade",
    method=f"grades whose range at 100 degC holds the viscosity (thin ones overlap); '{BEYOND}' outside all",
    source=J300,
)
def _sae_grade(kv100: float) -> str:
    return ", ".join(grades.sae_grades(kv100)) or BEYOND


@figure(
    "sae-winter-limits",
    Input("grade", choices=tuple(grades.WINTER)),
    unit="mPa.s, degC, degC, mm2/s",
    method="most viscosity in the cranking test, its temperature, the temperature of the pumping test (at "
    "most 60000 mPa.s there, without yield stress), least viscosity at 100 degC",
    source=J300,
)
def _winter(grade: str) -> list[float]:
    limits = grades.WINTER[grade]
    return [limits.cranking_mpa_s, limits.cranking_c, limits.pumping_c, limits.kv100]


@figure(
    "fluid-limits",
    word("spec", grades.FLUID_LIMITS),
    unit="mm2/s",
    method="viscosity limits of a hydraulic fluid specification, in the order of `least_at_c`, then "
    "`most_at_c`; `density_kg_m3` as usual near 15 to 25 degC",
    source="MIL-PRF-5606H, 83282D, 87257, recalled (status: MEMORY)",
)
def _fluid_limits(spec: str) -> dict[str, Any]:
    limits = grades.FLUID_LIMITS[spec]
    return {
        "values": [*limits.least.values(), *limits.most.values()],
        "least_at_c": list(limits.least),
        "most_at_c": list(limits.most),
        "density_kg_m3": list(limits.density_kg_m3),
    }


@figure(
    "hydraulic-viscosity-range",
    unit="mm2/s, mm2/s",
    method="usual hydraulic fluids at 40 degC; `cold_mpa_s` is the viscosity that marks the cold end of use",
    source="scope of ASTM D6080 (status: FOUND)",
)
def _hydraulic_range() -> dict[str, Any]:
    return {"values": list(grades.HYDRAULIC_KV40), "cold_mpa_s": grades.HYDRAULIC_COLD_MPA_S}
