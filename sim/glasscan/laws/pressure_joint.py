"""Strength of what holds a filter shut: thrust p A, wall, cover, bolts, thread. Lengths in m, stress in Pa.

Statics of thin shells and plates as in every text on machine design; no fatigue, no stress concentration. It
tells how large things must be, not that a part is airworthy.
"""

from __future__ import annotations

from math import ceil, inf, pi, sqrt

PROOF = 1.5
"""Proof pressure over working pressure of aircraft hydraulics (MEMORY)."""
CLASS_88_PA = 580e6
"""Proof stress of a bolt of property class 8.8 up to M16, ISO 898-1 (MEMORY)."""
USED = 0.7
"""Share of the bolts' proof load that the pressure may use; the rest keeps the joint clamped (PRACTICE)."""
SHEAR_OVER_TENSION = 0.577
"""Yield in shear over yield in tension (von Mises)."""


def thrust_n(pressure_pa: float, across_m: float) -> float:
    """End thrust of a pressure on a circle, `p pi d^2/4`, N."""
    return pressure_pa * pi * across_m**2 / 4.0


def hoop_pa(pressure_pa: float, inner_radius_m: float, wall_m: float) -> float:
    """Hoop stress at the bore of a thick cylinder (Lame), `p (ro^2 + ri^2)/(ro^2 - ri^2)`, Pa."""
    outer = inner_radius_m + wall_m
    return pressure_pa * (outer**2 + inner_radius_m**2) / (outer**2 - inner_radius_m**2)


def wall_for_m(pressure_pa: float, inner_radius_m: float, allowed_pa: float) -> float:
    """Wall at which the hoop stress reaches what is allowed, m; infinite where no wall is enough."""
    if allowed_pa <= pressure_pa:
        return inf
    return inner_radius_m * (sqrt((allowed_pa + pressure_pa) / (allowed_pa - pressure_pa)) - 1.0)


def cover_pa(pressure_pa: float, radius_m: float, thick_m: float, clamped: bool = True) -> float:
    """Largest bending stress of a round plate under pressure, Pa.

    `0.75 p r^2/t^2` clamped at its rim, `1.24 p r^2/t^2` laid on it (Timoshenko; Poisson's ratio 0.3).
    """
    factor = 0.75 if clamped else 3.0 * 3.3 / 8.0
    return factor * pressure_pa * (radius_m / thick_m) ** 2


def stress_area_m2(nominal_m: float, pitch_m: float) -> float:
    """Tensile stress area of a metric thread, `pi/4 (d - 0.9382 P)^2`, m2 (ISO 898-1, MEMORY)."""
    return pi / 4.0 * (nominal_m - 0.9382 * pitch_m) ** 2


def bolts_for(
    pressure_pa: float,
    across_m: float,
    nominal_m: float,
    pitch_m: float,
    proof_stress_pa: float = CLASS_88_PA,
    used: float = USED,
    proof: float = PROOF,
) -> int:
    """Least number of bolts that hold a cover at proof pressure.

    Args:
        pressure_pa: working pressure, gauge.
        across_m: diameter that the pressure acts on, the seal's.
        nominal_m, pitch_m: thread of a bolt.
        proof_stress_pa: of its material.
        used: share of the proof load that the thrust may take.
        proof: proof pressure over working pressure.
    """
    one_n = used * proof_stress_pa * stress_area_m2(nominal_m, pitch_m)
    return max(ceil(thrust_n(proof * pressure_pa, across_m) / one_n - 1e-9), 1)


def thread_shear_pa(force_n: float, minor_m: float, engaged_m: float) -> float:
    """Shear stress in the root of a thread, `F/(pi d L/2)`, Pa: half of the length is taken as metal."""
    return force_n / (pi * minor_m * engaged_m / 2.0)
