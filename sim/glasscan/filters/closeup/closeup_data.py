"""Shape of the data files in `assets/closeups`, in trade units, checked on loading."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.content import load
from glasscan.laws.media import cake_resistance_m_kg
from glasscan.paths import asset

Status = Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE"]


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class _Sourced(_Frozen):
    status: Status
    source: str


class CakeData(_Sourced):
    """Packed grains of a deposit."""

    porosity: float = Field(gt=0.05, lt=0.98)
    grain_um: float = Field(gt=0.05, le=2000)
    solid_kg_m3: float = Field(gt=500, le=20000)

    @property
    def alpha_m_kg(self) -> float:
        """Specific resistance by Kozeny-Carman, m/kg."""
        return cake_resistance_m_kg(self.porosity, self.grain_um * 1e-6, self.solid_kg_m3)

    @property
    def bulk_kg_m3(self) -> float:
        """Dry mass in a volume of cake, kg/m3."""
        return (1.0 - self.porosity) * self.solid_kg_m3


class StrengthData(_Sourced):
    """Differential pressures that an element stands, and the opening for each kPa beyond the second."""

    collapse_kpa: float = Field(gt=10, le=50_000)  # beyond it the pleats stay bent
    tear_kpa: float = Field(gt=10, le=50_000)  # beyond it the medium parts
    tear_mm2_kpa: float = Field(ge=0, le=10)

    @model_validator(mode="after")
    def _rises(self) -> Self:
        if self.tear_kpa <= self.collapse_kpa:
            raise ValueError("tear_kpa must lie above collapse_kpa: pleats fold before the medium parts")
        return self


class PaperData(_Sourced):
    """Stiffness of a panel of folded medium."""

    modulus_gpa: float = Field(gt=1e-3, le=500)
    poisson: float = Field(ge=0, lt=0.5)
    groove_mm: float = Field(default=0.0, ge=0, le=5)  # amplitude of the grooves that run along the depth
    least_channel_um: float = Field(gt=1, le=1000)
    strength: StrengthData

    def rigidity_n_m(self, thickness_m: float) -> float:
        """Bending stiffness along the grooves, N m.

        A flat strip of plate has `E t^3/(12 (1 - nu^2))` (Timoshenko's plate theory). Grooves in waves of
        amplitude f add `E f^2 t/2`: area times mean square distance from the middle plane.
        """
        flat = thickness_m**3 / (12.0 * (1.0 - self.poisson**2))
        return self.modulus_gpa * 1e9 * (flat + (self.groove_mm * 1e-3) ** 2 * thickness_m / 2.0)


class PleatsFile(_Frozen):
    """`assets/closeups/pleats.yaml`."""

    about: str
    world: Literal["invented"]
    cake: CakeData
    paper: PaperData


class SeparatorData(_Sourced):
    """Arms that hold two discs apart."""

    arms: int = Field(ge=1, le=36)
    arm_outer_mm: float = Field(gt=1, le=200)


class BladeFit(_Sourced):
    """How near the blade comes to the arms."""

    clearance_mm: float = Field(ge=0, le=5)


class DiscsFile(_Frozen):
    """`assets/closeups/discs.yaml`."""

    about: str
    world: Literal["invented"]
    cake: CakeData
    separator: SeparatorData
    blade: BladeFit


def pleats_file() -> PleatsFile:
    """The shipped data of the pleat row.

    Raises:
        BadInput: the file is bad.
    """
    return load(asset("closeups", "pleats.yaml"), PleatsFile)


def discs_file() -> DiscsFile:
    """The shipped data of the disc face.

    Raises:
        BadInput: the file is bad.
    """
    return load(asset("closeups", "discs.yaml"), DiscsFile)
