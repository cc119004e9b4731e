"""A pleated medium: channels between the folds and the wall they share. SI units, per unit pleat height."""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.optimize import minimize_scalar


@dataclass(frozen=True)
class PleatOptimum:
    """Spacing of least pressure drop.

    Attributes:
        spacing_m: channel width s, m.
        pleats_per_m: number of pleats per metre of element face, 1/m.
        dp_pa: drop there, Pa.
    """

    spacing_m: float
    pleats_per_m: float
    dp_pa: float


def pair_drop_pa(
    spacing_m: float, length_m: float, wall_1_m: float, mu_pa_s: float, flow_m2_s: float
) -> float:
    """One inlet and one outlet channel with the wall between them, creeping flow, Pa.

    Two channels of width s, Poiseuille flow along them, Darcy flow through the wall; solved exactly:
    `mu Q Rm kk coth(kk L/2)/4 + 6 mu Q L/s^3`, `kk = sqrt(48/(s^3 Rm))`. Holds where s << L.

    Args:
        spacing_m: channel width s, m.
        length_m: pleat depth L, m.
        wall_1_m: resistance of the medium, thickness over permeability, 1/m.
        mu_pa_s: viscosity, Pa s.
        flow_m2_s: flow Q of the pair per unit height, m2/s.
    """
    kk = math.sqrt(48.0 / (spacing_m**3 * wall_1_m))
    wall = wall_1_m * kk / math.tanh(kk * length_m / 2.0) / 4.0
    return mu_pa_s * flow_m2_s * (wall + 6.0 * length_m / spacing_m**3)


def wide_pair_drop_pa(
    spacing_m: float, length_m: float, wall_1_m: float, mu_pa_s: float, flow_m2_s: float
) -> float:
    """The same pair to second order in `s kk`: channels so wide that the oil crosses within a few widths, Pa.

    Expansion of creeping flow in a channel whose wall draws oil unevenly: the gradient at the wall gains
    `2.4 mu q''/s`, so `kk` falls by `sqrt(1 + 0.2 (s kk)^2)`; at each mouth the mean normal stress stands
    `3.6 mu |q'|/s` off the pressure at the wall, together `0.3 (s kk)^2` of the drop there (re-derived; the
    two-dimensional solver agrees within 0.4 % up to s kk of 1). The drop counts from mouth to mouth.

    Args:
        spacing_m, length_m, wall_1_m, mu_pa_s, flow_m2_s: as `pair_drop_pa`.
    """
    squared = 48.0 / (spacing_m * wall_1_m)
    kk = math.sqrt(squared / (1.0 + 0.2 * squared)) / spacing_m
    at_mouth = wall_1_m * kk / math.tanh(kk * length_m / 2.0) / 4.0
    return mu_pa_s * flow_m2_s * (at_mouth * (1.0 + 0.3 * squared) + 6.0 * length_m / spacing_m**3)


def element_drop_pa(
    spacing_m: float, thickness_m: float, k_m2: float, length_m: float, mu_pa_s: float, face_m_s: float
) -> float:
    """Drop of an element at a face velocity, Pa.

    One pleat of the face holds an inlet and an outlet channel and two thicknesses of medium, so a pair takes
    the flow of a width `2 (s + t)`.
    """
    flow = 2.0 * face_m_s * (spacing_m + thickness_m)
    return pair_drop_pa(spacing_m, length_m, thickness_m / k_m2, mu_pa_s, flow)


def optimum(
    thickness_m: float, k_m2: float, length_m: float, mu_pa_s: float, face_m_s: float
) -> PleatOptimum:
    """Channel width of least drop at a given face velocity (few pleats: the medium; many: the channels)."""
    found = minimize_scalar(
        lambda log_s: math.log(
            element_drop_pa(math.exp(log_s), thickness_m, k_m2, length_m, mu_pa_s, face_m_s)
        ),
        bounds=(math.log(1e-6), math.log(10.0 * length_m)),
        method="bounded",
        options={"xatol": 1e-10},
    )
    spacing = math.exp(float(found.x))
    drop = element_drop_pa(spacing, thickness_m, k_m2, length_m, mu_pa_s, face_m_s)
    return PleatOptimum(spacing, 1.0 / (2.0 * (spacing + thickness_m)), drop)
