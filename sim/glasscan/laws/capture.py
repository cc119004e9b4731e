"""How a bed of fibres catches particles: single-fibre efficiencies and the penetration of a mat."""

from __future__ import annotations

import math

from glasscan.laws.media import kuwabara_factor


def diffusion_efficiency(phi: float, peclet: float) -> float:
    """Single fibre, diffusion: `1.6 ((1 - a)/Ku)^(1/3) Pe^(-2/3)`. Source: Lee & Liu 1982."""
    return 1.6 * math.cbrt((1.0 - phi) / kuwabara_factor(phi)) / math.cbrt(peclet) ** 2


def interception_efficiency(phi: float, size_ratio: float) -> float:
    """Single fibre, interception: `0.6 (1 - a)/Ku R^2/(1 + R)`. Source: Lee & Liu 1982.

    Args:
        phi: solid fraction of the mat.
        size_ratio: particle over fibre diameter.
    """
    return 0.6 * (1.0 - phi) / kuwabara_factor(phi) * size_ratio**2 / (1.0 + size_ratio)


def single_fibre_efficiency(phi: float, peclet: float, size_ratio: float) -> float:
    """Both mechanisms together, at most 1."""
    return min(1.0, diffusion_efficiency(phi, peclet) + interception_efficiency(phi, size_ratio))


def penetration(phi: float, efficiency: float, thickness_m: float, fibre_m: float) -> float:
    """Fraction that passes a mat, `exp(-4 a E t/(pi d (1 - a)))`, dimensionless."""
    return math.exp(-4.0 * phi * efficiency * thickness_m / (math.pi * fibre_m * (1.0 - phi)))


def beta_of_mat(phi: float, efficiency: float, thickness_m: float, fibre_m: float) -> float:
    """Filtration ratio of a mat, upstream over downstream count: one over the penetration."""
    return 1.0 / penetration(phi, efficiency, thickness_m, fibre_m)
