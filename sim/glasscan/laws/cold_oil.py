"""Oil that does not flow as a Newtonian liquid: gel near the pour point, and polymers under shear.

A mineral oil near its pour point holds together by wax crystals: below a yield stress it does not move. A
multigrade keeps its polymers' share of the viscosity only where it is sheared slowly.
"""

from __future__ import annotations

from math import hypot

GEL_AT_POUR_PA = 35.0
"""Yield stress at the pour point, Pa: from this stress on the mini-rotary viscometer of ASTM D4684, by which
SAE J300 limits pumping, reports a yield stress (MEMORY); that it sets in at the pour point is a round figure
of ours (PRACTICE)."""
GEL_HALVES_K = 3.0
"""Rise in temperature that halves it, K: pour points are told in steps of 3 K (ASTM D97); a round figure."""
GEL_SEEN_K = 15.0
"""Above the pour point by this much there is no gel: it would be a thirtieth of its stress."""
GEL_MOST_PA = 1.0e4

PUMPABLE_PA_S = 60.0
"""Greatest viscosity at which an engine's pump is taken to draw oil, Pa s: SAE J300, low-temperature pumping
(MEMORY)."""


def yield_pa(t_c: float, pour_c: float | None) -> float:
    """Yield stress of an oil near its pour point, Pa; none where the pour point is unknown.

    Args:
        t_c: temperature of oil that has stood, degC.
        pour_c: its pour point, degC.
    """
    if pour_c is None or t_c >= pour_c + GEL_SEEN_K:
        return 0.0
    gel = GEL_AT_POUR_PA * 2.0 ** (-(t_c - pour_c) / GEL_HALVES_K)
    rest = 2.0 ** (-GEL_SEEN_K / GEL_HALVES_K)  # taken off, so that it fades out without a step
    return float(min(gel - GEL_AT_POUR_PA * rest, GEL_MOST_PA))


def yield_drop_pa(yield_stress_pa: float, length_over_diameter: float) -> float:
    """Pressure below which gelled oil stands still in a pipe, `4 tau L/D`, Pa (balance on its plug)."""
    return 4.0 * yield_stress_pa * length_over_diameter


def yield_drop_slit_pa(yield_stress_pa: float, length_over_gap: float) -> float:
    """The same between plates, `2 tau L/h`, Pa."""
    return 2.0 * yield_stress_pa * length_over_gap


def sheared_pa_s(mu_pa_s: float, shear_1_s: float, base_share: float, knee_stress_pa: float) -> float:
    """Viscosity of a polymer-thickened oil at a shear rate, Pa s (form of P. J. Carreau, 1972).

    Args:
        mu_pa_s: at rest.
        shear_1_s: rate of shear.
        base_share: share of it that the base oil keeps however fast it is sheared.
        knee_stress_pa: `mu x rate` at which the polymers' share has fallen to 0.71.
    """
    polymer = 1.0 / hypot(1.0, mu_pa_s * shear_1_s / knee_stress_pa)
    return mu_pa_s * (base_share + (1.0 - base_share) * polymer)
