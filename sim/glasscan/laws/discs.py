"""Gaps of a stacked-disc filter: flow inward between flat rings. SI units throughout."""

from __future__ import annotations

import math


def gap_viscous_drop_pa(gap_m: float, ro_m: float, ri_m: float, mu_pa_s: float, flow_m3s: float) -> float:
    """One gap, creeping flow between the rim and the hole: `6 mu Q ln(ro/ri)/(pi h^3)`, Pa."""
    _check_radii(ro_m, ri_m)
    return 6.0 * mu_pa_s * flow_m3s * math.log(ro_m / ri_m) / (math.pi * gap_m**3)


def mouth_drop_pa(gap_m: float, ro_m: float, ri_m: float, mu_pa_s: float, flow_m3s: float) -> float:
    """What both mouths of a gap add to its creeping drop: `16 mu Q/(pi h^2)` per length of each rim, Pa.

    Half of the drop through a slit in a thin wall at each end, from open oil into the gap (Hasimoto 1958).
    """
    _check_radii(ro_m, ri_m)
    rims = (1.0 / ri_m + 1.0 / ro_m) / (2.0 * math.pi)
    return 16.0 * mu_pa_s * flow_m3s * rims / (math.pi * gap_m**2)


def gap_inertia_drop_pa(gap_m: float, ro_m: float, ri_m: float, rho_kg_m3: float, flow_m3s: float) -> float:
    """First-order inertia of that gap, inward flow positive, Pa.

    `(27/140) rho Q^2 (1/ri^2 - 1/ro^2)/(pi h)^2`, added whichever way the oil flows: inward it raises the
    drop, outward (viscous drop negative) it is pressure won back as the oil slows. Source: Savage 1964, Peube
    1963 (recalled); 54/35 of what Bernoulli's law would give for a flat velocity profile.
    """
    _check_radii(ro_m, ri_m)
    return 27.0 / 140.0 * rho_kg_m3 * (flow_m3s / (math.pi * gap_m)) ** 2 * (ri_m**-2 - ro_m**-2)


def pack_drop_pa(
    gaps: int,
    flow_m3s: float,
    gap_m: float,
    ro_m: float,
    ri_m: float,
    mu_pa_s: float,
    rho_kg_m3: float = 0.0,
    open_fraction: float = 1.0,
) -> float:
    """Equal gaps in parallel, part of each rim shut by blades, spacers or dirt, Pa.

    Args:
        gaps: number of gaps sharing the flow.
        flow_m3s: whole flow, inward positive, m3/s.
        gap_m, ro_m, ri_m: gap height, rim and hole radius, m.
        mu_pa_s: viscosity, Pa s.
        rho_kg_m3: density, or 0 to leave inertia out.
        open_fraction: open part of the circle, 0..1; radial barriers only narrow the sector, so the
            drop is that of the whole gap at `flow / open_fraction`.
    """
    per_gap = flow_m3s / (gaps * open_fraction)
    inertia = gap_inertia_drop_pa(gap_m, ro_m, ri_m, rho_kg_m3, per_gap)
    return gap_viscous_drop_pa(gap_m, ro_m, ri_m, mu_pa_s, per_gap) + inertia


def _check_radii(ro_m: float, ri_m: float) -> None:
    if not 0.0 < ri_m < ro_m:
        raise ValueError(f"the hole must be smaller than the rim: {ri_m:g}, {ro_m:g} m")
