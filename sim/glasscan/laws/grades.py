"""Grades of oils and the limits that make them: ISO viscosity classes, SAE grades, piston-engine oils."""

from __future__ import annotations

from dataclasses import dataclass

ISO_SERIES = (2.2, 3.2, 4.6, 6.8, 10.0, 15.0, 22.0, 32.0, 46.0, 68.0)
"""Mid-points at 40 degC, mm2/s (ISO 3448); above 68 the series from 10 on repeats times 10 and 100."""
ISO_BAND = 0.10
"""Half width of an ISO class, as share of its mid-point (ISO 3448)."""
ROUNDING = 1e-9
"""A limit belongs to its class, whatever the last binary digit of a tenth of the mid-point does."""
LARGEST_ISO = 3200.0

SAE_KV100: dict[str, tuple[float, float]] = {
    "8": (4.0, 6.1),
    "12": (5.0, 7.1),
    "16": (6.1, 8.2),
    "20": (6.9, 9.3),
    "30": (9.3, 12.5),
    "40": (12.5, 16.3),
    "50": (16.3, 21.9),
    "60": (21.9, 26.1),
}
"""Grade -> least and below-most viscosity at 100 degC, mm2/s (SAE J300, 2015, public copies; FOUND)."""
HIGH_SHEAR: dict[str, float] = {
    "8": 1.7,
    "12": 2.0,
    "16": 2.3,
    "20": 2.6,
    "30": 2.9,
    "40_light": 3.5,
    "40_heavy": 3.7,
    "50": 3.7,
    "60": 3.7,
}
"""Grade -> least viscosity at 150 degC and high shear, mPa s; 40 is light with 0W, 5W, 10W (as above)."""
PUMPING_MPA_S = 60_000.0
"""Most viscosity in the pumping test of every winter grade, mPa s (as above; FOUND)."""
PISTON_NAMES = {"30": "65 (1065)", "40": "80 (1080)", "50": "100 (1100)", "60": "120 (1120)"}
"""SAE grade -> commercial and military name of aircraft piston oils (SAE J1966, MIL-L-22851D; FOUND)."""


@dataclass(frozen=True)
class Winter:
    """Limits of a winter grade (SAE J300, 2015).

    Attributes:
        cranking_mpa_s, cranking_c: most viscosity in the cranking test, mPa s, and its temperature, degC.
        pumping_c: temperature of the pumping test, degC.
        kv100: least viscosity at 100 degC, mm2/s.
    """

    cranking_mpa_s: float
    cranking_c: float
    pumping_c: float
    kv100: float


WINTER: dict[str, Winter] = {
    "0W": Winter(6200.0, -35.0, -40.0, 3.8),
    "5W": Winter(6600.0, -30.0, -35.0, 3.8),
    "10W": Winter(7000.0, -25.0, -30.0, 4.1),
    "15W": Winter(7000.0, -20.0, -25.0, 5.6),
    "20W": Winter(9500.0, -15.0, -20.0, 5.6),
    "25W": Winter(13000.0, -10.0, -15.0, 9.3),
}


def iso_mid_points() -> dict[int, float]:
    """Class number -> mid-point at 40 degC, mm2/s: the number is the mid-point, rounded below 10."""
    decades = [10.0 * mid for mid in ISO_SERIES[4:]] + [100.0 * mid for mid in ISO_SERIES[4:]]
    return {round(mid): mid for mid in (*ISO_SERIES, *decades) if mid <= LARGEST_ISO}


def iso_limits(grade: int) -> tuple[float, float, float]:
    """Least, middle and most viscosity of an ISO class at 40 degC, mm2/s.

    Raises:
        ValueError: no such class.
    """
    mids = iso_mid_points()
    if grade not in mids:
        near = min(mids, key=lambda known: abs(known - grade))
        raise ValueError(f"no ISO viscosity class {grade} (the nearest is {near})")
    mid = mids[grade]
    return (1.0 - ISO_BAND) * mid, mid, (1.0 + ISO_BAND) * mid


def iso_class(kv40: float) -> int | None:
    """The class that an oil of this viscosity at 40 degC, mm2/s, belongs to; None between two classes."""
    for grade, mid in iso_mid_points().items():
        if abs(kv40 - mid) <= ISO_BAND * mid * (1.0 + ROUNDING):
            return grade
    return None


def sae_grades(kv100: float) -> tuple[str, ...]:
    """Grades whose range at 100 degC holds this viscosity, mm2/s; the thin grades overlap."""
    return tuple(name for name, (low, below) in SAE_KV100.items() if low <= kv100 < below)


@dataclass(frozen=True)
class FluidLimits:
    """What a hydraulic fluid specification promises (recalled; status: MEMORY).

    Attributes:
        least: temperature, degC -> least kinematic viscosity, mm2/s.
        most: temperature, degC -> most kinematic viscosity, mm2/s.
        density_kg_m3: usual range near 15 to 25 degC, kg/m3.
    """

    least: dict[float, float]
    most: dict[float, float]
    density_kg_m3: tuple[float, float]


FLUID_LIMITS: dict[str, FluidLimits] = {
    "mil-prf-5606": FluidLimits({100: 4.9, 40: 13.2}, {-40: 600, -54: 2500}, (850, 880)),
    "mil-prf-83282": FluidLimits({205: 1.0, 100: 3.45, 40: 14.0}, {-40: 2200}, (840, 860)),
    "mil-prf-87257": FluidLimits({100: 2.0, 40: 6.7}, {-40: 550, -54: 2500}, (830, 860)),
}
HYDRAULIC_KV40 = (4.0, 150.0)
"""Usual hydraulic fluids at 40 degC, mm2/s (scope of ASTM D6080; status: FOUND)."""
HYDRAULIC_COLD_MPA_S = 750.0
"""Reference viscosity for the low-temperature end of use, mPa s (ASTM D6080; status: FOUND)."""
