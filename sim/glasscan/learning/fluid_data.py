"""Shape of the oil data files in `assets/fluids`."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from glasscan.learning.record_base import Id, Number, Prose, Record, Text


class ViscosityPoint(Record):
    """A measured kinematic viscosity."""

    t_c: float = Field(ge=-80, le=250)
    nu_mm2_s: float = Field(gt=0.2, le=2e7, description="within the range of ASTM D341")


class FluidData(Record):
    """One oil; generic grades only."""

    name: Id
    title: Text
    family: Literal["mineral", "multigrade", "hydraulic", "synthetic"]
    kv_points: tuple[ViscosityPoint, ...] = Field(min_length=2, max_length=2)
    rho15_kg_m3: float = Field(ge=400, le=2000)
    pour_point_c: Number | None = None
    base_share: float = Field(
        default=1.0,
        gt=0,
        le=1,
        description="share of the viscosity left however fast it is sheared; 1 = no polymers",
    )
    knee_stress_pa: float = Field(
        default=3000.0,
        gt=0,
        le=1e7,
        description="viscosity times shear rate where the polymers' share falls",
    )
    source: Prose
    status: Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE"]
    note: Prose = ""
