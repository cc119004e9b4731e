"""Figures of the grades of oils: what a number on a can promises."""

from __future__ import annotations

from typing import Any

from sim.figures.registry import Input, figure
from sim.physics import grades
from sim.physics.transport import channel_dispersion, plates_nusselt
from sim.physics.viscosity import NU_MAX_MM2_S, NU_MIN_MM2_S

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
    return list(grades.iso_limits(grade))


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
    "plates-nusselt",
    unit="-",
    method="slowest mode of Graetz's problem between plates of one temperature, on the hydraulic diameter; "
    "for scale: the plant mixes each lump of oil fully",
    source="textbook (Graetz); Kummer's function by scipy (status: COMPUTED)",
)
def _plates_nusselt() -> float:
    return plates_nusselt()


@figure(
    "channel-dispersion",
    Input("peclet", low=0.0, high=1e6),
    unit="-",
    method="smearing along a plane channel over molecular diffusion, 1 + Pe^2/210 on full height and mean "
    "velocity; for scale: the plant mixes each lump of oil fully",
    source="Taylor and Aris, textbook (status: COMPUTED)",
)
def _channel_dispersion(peclet: float) -> float:
    return channel_dispersion(peclet)
