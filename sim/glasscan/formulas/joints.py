"""Figures of strength: what the pressure asks of bowl, cover, bolts and thread."""

from __future__ import annotations

from glasscan.formulas.registry import FigureError, Input, figure, positive
from glasscan.laws import pressure_joint as joint

STATICS = "statics of shells and plates; teaching only, no design data"
PRESSURE = positive("pressure_kpa", "kPa")
ACROSS = positive("across_mm", "mm")
KPA, MM = 1e3, 1e-3


@figure(
    "end-thrust",
    PRESSURE,
    ACROSS,
    unit="N",
    method="p pi d^2/4 on the diameter that the seal encloses",
    source=STATICS,
)
def _thrust(pressure_kpa: float, across_mm: float) -> float:
    return joint.thrust_n(pressure_kpa * KPA, across_mm * MM)


@figure(
    "bolt-count",
    PRESSURE,
    ACROSS,
    positive("bolt_mm", "mm"),
    positive("pitch_mm", "mm"),
    Input("proof_mpa", "MPa", low=0.0, open_low=True, default=joint.CLASS_88_PA * 1e-6),
    Input("used", low=0.0, high=1.0, open_low=True, default=joint.USED),
    Input("proof", low=1.0, high=10.0, default=joint.PROOF),
    unit="bolts",
    method="thrust at `proof` times the pressure over `used` of the bolts' proof load, rounded up",
    source="stress area and proof stress of ISO 898-1 (MEMORY); " + STATICS,
)
def _bolts(
    pressure_kpa: float,
    across_mm: float,
    bolt_mm: float,
    pitch_mm: float,
    proof_mpa: float,
    used: float,
    proof: float,
) -> dict[str, float]:
    if pitch_mm >= bolt_mm:
        raise FigureError(
            f"pitch_mm: expected less than bolt_mm, which is {bolt_mm:g} mm, got {pitch_mm:g} mm"
        )
    number = joint.bolts_for(
        pressure_kpa * KPA, across_mm * MM, bolt_mm * MM, pitch_mm * MM, proof_mpa * 1e6, used, proof
    )
    thrust = joint.thrust_n(proof * pressure_kpa * KPA, across_mm * MM)
    return {"value": number, "thrust_n": thrust, "each_n": thrust / number}


@figure(
    "wall-stress",
    PRESSURE,
    positive("inner_radius_mm", "mm"),
    positive("wall_mm", "mm"),
    unit="MPa",
    method="hoop stress at the bore, p (ro^2 + ri^2)/(ro^2 - ri^2)",
    source="Lame; " + STATICS,
)
def _wall(pressure_kpa: float, inner_radius_mm: float, wall_mm: float) -> float:
    return joint.hoop_pa(pressure_kpa * KPA, inner_radius_mm * MM, wall_mm * MM) * 1e-6


@figure(
    "cover-stress",
    PRESSURE,
    positive("radius_mm", "mm"),
    positive("thick_mm", "mm"),
    Input("rim", choices=("clamped", "laid"), default="clamped"),
    unit="MPa",
    method="round plate, 0.75 p r^2/t^2 with its rim clamped, 1.24 p r^2/t^2 with its rim laid on",
    source="Timoshenko, theory of plates (MEMORY); " + STATICS,
)
def _cover(pressure_kpa: float, radius_mm: float, thick_mm: float, rim: str) -> float:
    return joint.cover_pa(pressure_kpa * KPA, radius_mm * MM, thick_mm * MM, rim == "clamped") * 1e-6
