"""One oil as the rest of the model sees it: properties in SI units at any temperature."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from glasscan.laws.cold_oil import sheared_pa_s, yield_pa
from glasscan.laws.density import density_kg_m3, specific_gravity
from glasscan.laws.heat import conductivity_w_mk, specific_heat_j_kgk
from glasscan.laws.viscosity import ViscosityLaw, law_through

T = TypeVar("T", float, NDArray[np.float64])
Point = tuple[float, float]

STATUSES = ("FOUND", "COMPUTED", "MEMORY", "PRACTICE")
_TEXTS = ("name", "title", "family", "source", "status", "note")
_SHEAR = ("base_share", "knee_stress_pa")
_NEEDED = ("name", "kv_points", "rho15_kg_m3")


@dataclass(frozen=True)
class Fluid:
    """A lubricating oil or hydraulic fluid.

    Every method takes a temperature in degC, scalar or array, and gives the same kind back. All are finite
    from -60 to 200 degC: viscosity stays within what ASTM D341 covers (0.21 to 2e7 mm2/s).

    Attributes:
        name: identifier, e.g. "sae-50-mineral".
        kv_points: two (temperature degC, kinematic viscosity mm2/s) points, the colder first. A thickened
            (polymer-containing) hydraulic fluid needs points that bracket the range it is used in.
        rho15_kg_m3: density at 15 degC, kg/m3.
        title: name for people.
        family: "mineral", "multigrade", "hydraulic" or "synthetic".
        pour_point_c: temperature below which it no longer pours, degC, or None where unknown.
        base_share: share of the viscosity that stays however fast the oil is sheared; 1 = no polymers.
        knee_stress_pa: viscosity times shear rate from which on the polymers' share falls, Pa.
        source: where the numbers come from.
        status: FOUND, COMPUTED, MEMORY or PRACTICE.
        note: anything a reader should know.
    """

    name: str
    kv_points: tuple[Point, Point]
    rho15_kg_m3: float
    title: str = ""
    family: str = "mineral"
    pour_point_c: float | None = None
    base_share: float = 1.0
    knee_stress_pa: float = 3000.0
    source: str = ""
    status: str = "MEMORY"
    note: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        if not 400.0 <= self.rho15_kg_m3 <= 2000.0:
            raise ValueError(f"rho15_kg_m3: expected 400 to 2000 kg/m3, got {self.rho15_kg_m3:g}")
        if not 0.0 < self.base_share <= 1.0:
            raise ValueError(f"base_share: expected more than 0 and at most 1, got {self.base_share:g}")
        if not self.knee_stress_pa > 0.0:
            raise ValueError(f"knee_stress_pa: expected more than 0 Pa, got {self.knee_stress_pa:g}")
        if self.status not in STATUSES:
            raise ValueError(f"status: expected one of {', '.join(STATUSES)}, got {self.status!r}")
        _ = self.law

    @cached_property
    def law(self) -> ViscosityLaw:
        """The D341 line through the two points."""
        return law_through(*self.kv_points)

    @classmethod
    def from_mapping(cls, data: Mapping[str, Any]) -> Fluid:
        """Build a fluid from a parsed data file; keys as in `assets/fluids`.

        Raises:
            ValueError: one clear line where a key is missing, unknown or wrong.
        """
        _check_keys(data, known=tuple(cls.__dataclass_fields__))
        pour = data.get("pour_point_c")
        more: dict[str, Any] = {key: _number(data[key], key) for key in _SHEAR if key in data}
        more |= {key: _text(data[key], key) for key in _TEXTS if key in data}
        return cls(
            kv_points=_points(data["kv_points"]),
            rho15_kg_m3=_number(data["rho15_kg_m3"], "rho15_kg_m3"),
            pour_point_c=None if pour is None else _number(pour, "pour_point_c"),
            **more,
        )

    def nu_m2_s(self, t_c: T) -> T:
        """Kinematic viscosity, m2/s."""
        return _like(t_c, 1e-6 * self.law.nu_mm2_s(t_c))

    def yield_pa(self, t_c: float) -> float:
        """Stress below which oil that has stood at a temperature does not move, Pa."""
        return yield_pa(t_c, self.pour_point_c)

    def sheared_pa_s(self, mu_pa_s: float, shear_1_s: float) -> float:
        """Viscosity at a rate of shear of oil that has `mu_pa_s` at rest, Pa s."""
        if self.base_share == 1.0:
            return mu_pa_s
        return sheared_pa_s(mu_pa_s, shear_1_s, self.base_share, self.knee_stress_pa)

    def rho_kg_m3(self, t_c: T) -> T:
        """Density, kg/m3."""
        return _like(t_c, density_kg_m3(self.rho15_kg_m3, t_c))

    def mu_pa_s(self, t_c: T) -> T:
        """Dynamic viscosity, Pa s."""
        return _like(t_c, np.asarray(self.nu_m2_s(t_c) * self.rho_kg_m3(t_c)))

    def cp_j_kgk(self, t_c: T) -> T:
        """Specific heat, J/(kg K)."""
        return _like(t_c, specific_heat_j_kgk(specific_gravity(self.rho15_kg_m3), t_c))

    def k_w_mk(self, t_c: T) -> T:
        """Thermal conductivity, W/(m K)."""
        return _like(t_c, conductivity_w_mk(specific_gravity(self.rho15_kg_m3), t_c))

    def temperature_c(self, nu_m2_s: float) -> float:
        """Temperature at which the kinematic viscosity is `nu_m2_s` (m2/s), degC."""
        return float(self.law.temperature_c(1e6 * nu_m2_s))


def _like(t_c: T, values: NDArray[np.float64]) -> T:
    """`values` as a plain float where the temperature was a scalar, else as an array."""
    return values if np.ndim(t_c) else float(values)  # type: ignore[return-value]


def _check_keys(data: Mapping[str, Any], known: tuple[str, ...]) -> None:
    missing = [key for key in _NEEDED if key not in data]
    unknown = [key for key in data if key not in known]
    if missing:
        raise ValueError(f"{missing[0]}: missing from the fluid")
    if unknown:
        raise ValueError(f"{unknown[0]}: not a key of a fluid (known: {', '.join(known)})")


def _points(raw: Any) -> tuple[Point, Point]:
    if not isinstance(raw, list | tuple) or len(raw) != 2:
        raise ValueError("kv_points: expected two points, each {t_c: ..., nu_mm2_s: ...}")
    first, second = sorted(_point(item) for item in raw)
    return first, second


def _point(item: Any) -> Point:
    if isinstance(item, Mapping):
        if set(item) != {"t_c", "nu_mm2_s"}:
            raise ValueError("kv_points: each point needs exactly t_c and nu_mm2_s")
        item = (item["t_c"], item["nu_mm2_s"])
    if not isinstance(item, list | tuple) or len(item) != 2:
        raise ValueError("kv_points: expected {t_c: ..., nu_mm2_s: ...}")
    return _number(item[0], "t_c"), _number(item[1], "nu_mm2_s")


def _text(value: Any, key: str) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{key}: expected text, got {value!r}")
    return value


def _number(value: Any, key: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not np.isfinite(value):
        raise ValueError(f"{key}: expected a finite number, got {value!r}")
    return float(value)
