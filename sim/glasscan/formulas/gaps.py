"""Figures of laminar flow through holes, slits, disc gaps and pleats."""

from __future__ import annotations

from typing import Any

from glasscan.formulas.flows import DP_PA, MU, RHO0
from glasscan.formulas.registry import Input, figure, positive
from glasscan.laws import discs, holes, pleats

FLOW = Input("flow_m3_s", "m3/s")


@figure(
    "thin-hole",
    positive("radius_mm", "mm"),
    DP_PA,
    MU,
    unit="m3/s",
    method="creeping flow through a round hole in a thin wall, a^3 dp/(3 mu)",
    source="Sampson 1891",
)
def _hole(radius_mm: float, dp_pa: float, mu_pa_s: float) -> float:
    return holes.sampson_flow_m3s(1e-3 * radius_mm, dp_pa, mu_pa_s)


@figure(
    "thick-hole",
    positive("radius_mm", "mm"),
    Input("thickness_mm", "mm", low=0.0),
    MU,
    FLOW,
    unit="Pa",
    method="mu Q (8 t/(pi a^4) + 3/a^3), within 1 %",
    source="Dagan, Weinbaum & Pfeffer 1982, recalled (status: MEMORY)",
)
def _thick_hole(radius_mm: float, thickness_mm: float, mu_pa_s: float, flow_m3_s: float) -> float:
    return holes.dagan_drop_pa(1e-3 * radius_mm, 1e-3 * thickness_mm, mu_pa_s, flow_m3_s)


@figure(
    "thin-slit",
    positive("half_width_mm", "mm"),
    DP_PA,
    MU,
    unit="m2/s",
    method="creeping flow per length, slit in a thin wall, pi a^2 dp/(8 mu); `centre_m_s` dp a/(4 mu)",
    source="Hasimoto 1958, re-derived",
)
def _slit(half_width_mm: float, dp_pa: float, mu_pa_s: float) -> dict[str, float]:
    a = 1e-3 * half_width_mm
    centre = holes.slit_centre_speed_m_s(a, dp_pa, mu_pa_s)
    return {"value": holes.slit_flow_m2_s(a, dp_pa, mu_pa_s), "centre_m_s": centre}


@figure(
    "thick-slit",
    positive("width_mm", "mm"),
    Input("thickness_mm", "mm", low=0.0),
    MU,
    Input("flow_m2_s", "m2/s"),
    unit="Pa",
    method="mu q (12 t/w^3 + 32/(pi w^2)), within about 5 %",
    source="sum of the exact limits",
)
def _thick_slit(width_mm: float, thickness_mm: float, mu_pa_s: float, flow_m2_s: float) -> float:
    return holes.thick_slit_drop_pa(1e-3 * width_mm, 1e-3 * thickness_mm, mu_pa_s, flow_m2_s)


GAP = (positive("gap_um", "um"), positive("ro_mm", "mm"), positive("ri_mm", "mm"), MU)


@figure(
    "disc-gap",
    *GAP,
    RHO0,
    FLOW,
    unit="Pa",
    method="6 mu Q ln(ro/ri)/(pi h^3) + (27/140) rho Q^2 (1/ri^2 - 1/ro^2)/(pi h)^2, inward flow positive",
    source="lubrication theory; inertia as Savage 1964, Peube 1963 (recalled)",
    rising=(("ri_mm", "ro_mm"),),
)
def _disc_gap(
    gap_um: float, ro_mm: float, ri_mm: float, mu_pa_s: float, rho: float, flow_m3_s: float
) -> dict[str, float]:
    size = (1e-6 * gap_um, 1e-3 * ro_mm, 1e-3 * ri_mm)
    viscous = discs.gap_viscous_drop_pa(*size, mu_pa_s, flow_m3_s)
    inertia = discs.gap_inertia_drop_pa(*size, rho, flow_m3_s)
    return {"value": viscous + inertia, "viscous_pa": viscous, "inertia_pa": inertia}


@figure(
    "disc-gap-ratio",
    positive("gap_um", "um"),
    positive("other_gap_um", "um"),
    unit="-",
    method="viscous drop of the first gap over that of the other at one flow and one size of disc, (h2/h1)^3",
    source="lubrication theory",
)
def _gap_ratio(gap_um: float, other_gap_um: float) -> float:
    one, other = (discs.gap_viscous_drop_pa(1e-6 * gap, 2.0, 1.0, 1.0, 1.0) for gap in (gap_um, other_gap_um))
    return one / other


@figure(
    "disc-pack",
    Input("gaps", low=1.0, high=1e6, whole=True),
    Input("flow_lpm", "L/min"),
    *GAP,
    RHO0,
    Input("open_fraction", low=0.0, high=1.0, open_low=True, default=1.0),
    unit="Pa",
    method="equal gaps in parallel, each open over part of the circle: the drop of one gap at its share",
    source="lubrication theory; radial barriers are exact",
    rising=(("ri_mm", "ro_mm"),),
)
def _disc_pack(
    gaps: int,
    flow_lpm: float,
    gap_um: float,
    ro_mm: float,
    ri_mm: float,
    mu_pa_s: float,
    rho: float,
    open_fraction: float,
) -> float:
    size = (1e-6 * gap_um, 1e-3 * ro_mm, 1e-3 * ri_mm)
    return discs.pack_drop_pa(gaps, flow_lpm / 6e4, *size, mu_pa_s, rho, open_fraction)


THICKNESS = positive("thickness_mm", "mm")
PERMEABILITY = positive("k_m2", "m2")


@figure(
    "pleat-closed-form",
    positive("spacing_mm", "mm"),
    positive("length_mm", "mm"),
    THICKNESS,
    PERMEABILITY,
    MU,
    positive("flow_m2_s", "m2/s"),
    unit="Pa",
    method="mu Q Rm kk coth(kk L/2)/4 + 6 mu Q L/s^3, kk = sqrt(48/(s^3 Rm)), Rm = t/k",
    source="Poiseuille channels with a Darcy wall, solved exactly",
)
def _pleat(
    spacing_mm: float, length_mm: float, thickness_mm: float, k_m2: float, mu_pa_s: float, flow_m2_s: float
) -> float:
    wall = 1e-3 * thickness_mm / k_m2
    return pleats.pair_drop_pa(1e-3 * spacing_mm, 1e-3 * length_mm, wall, mu_pa_s, flow_m2_s)


@figure(
    "pleat-optimum",
    positive("medium_mm", "mm", default=0.5),
    positive("permeability_m2", "m2", default=1e-11),
    positive("length_mm", "mm", default=20.0),
    positive("mu_pa_s", "Pa.s", default=0.05),
    positive("face_m_s", "m/s", default=0.01),
    unit="mm, -, Pa",
    method="channel width of least drop at a face velocity, pleats per 100 mm = 0.1/(2 (s + t)), drop "
    "there; `trend_per_100mm` for a permeability ten times larger, as given, ten times smaller",
    source="minimum of the pleat closed form; trend as Chen, Pui & Liu 1995",
)
def _optimum(
    medium_mm: float, permeability_m2: float, length_mm: float, mu_pa_s: float, face_m_s: float
) -> dict[str, Any]:
    medium, length = 1e-3 * medium_mm, 1e-3 * length_mm
    looser, best, tighter = (
        pleats.optimum(medium, factor * permeability_m2, length, mu_pa_s, face_m_s)
        for factor in (10.0, 1.0, 0.1)
    )
    spacing_mm, per_100_mm = 1e3 * best.spacing_m, 0.1 * best.pleats_per_m
    words = {"spacing_mm": spacing_mm, "pleats_per_100mm": per_100_mm, "dp_pa": best.dp_pa}
    trend = [0.1 * found.pleats_per_m for found in (looser, best, tighter)]
    return {"values": list(words.values()), **words, "trend_per_100mm": trend}
