"""Heat and smearing across plain ducts, closed forms: for scale only, the plant mixes each lump fully."""

from __future__ import annotations

from scipy.optimize import brentq
from scipy.special import hyp1f1

NUSSELT_OF_FLUX = {"plates": 140.0 / 17.0, "pipe": 48.0 / 11.0}
"""Developed Nusselt numbers of an even heat flux through the wall, on the hydraulic diameter (exact)."""
REYNOLDS_LAMINAR_TO, REYNOLDS_TURNING_TO = 2000.0, 2300.0
"""Usual upper limits of laminar flow in a pipe, on the diameter (recalled; status: MEMORY)."""


def regime(reynolds: float) -> str:
    """`laminar`, `turning` (either may be met) or `turbulent`, by a Reynolds number on the diameter."""
    if reynolds <= REYNOLDS_LAMINAR_TO:
        return "laminar"
    return "turning" if reynolds <= REYNOLDS_TURNING_TO else "turbulent"


def pipe_nusselt() -> float:
    """Developed Nusselt number in a pipe of one wall temperature, on the diameter, dimensionless.

    The slowest mode of (r F')' + s^2 r (1 - r^2) F = 0 is exp(-s r^2 / 2) M(1/2 - s/4, 1, s r^2) with
    Kummer's M; then Nu = s^2 / 2 (Graetz's problem; textbook).
    """
    root: float = brentq(lambda s: hyp1f1(0.5 - 0.25 * s, 1.0, s), 2.0, 3.5, xtol=1e-14)
    return 0.5 * root**2


def plates_nusselt() -> float:
    """Developed Nusselt number between plates of one temperature, on the hydraulic diameter, dimensionless.

    The slowest mode of F'' + s^2 (1 - y^2) F = 0, F'(0) = F(1) = 0, is exp(-s y^2 / 2) M((1 - s)/4, 1/2,
    s y^2) with Kummer's M; then Nu = 8 s^2 / 3 (Graetz's problem; textbook).
    """
    root: float = brentq(lambda s: hyp1f1(0.25 * (1.0 - s), 0.5, s), 1.0, 2.0, xtol=1e-14)
    return 8.0 / 3.0 * root**2


def channel_dispersion(peclet: float) -> float:
    """Smearing along a plane channel over molecular diffusion, 1 + Pe^2 / 210, dimensionless.

    Args:
        peclet: on the full height and the mean velocity.
    """
    return 1.0 + peclet**2 / 210.0


def pipe_dispersion(peclet: float) -> float:
    """Smearing along a pipe over molecular diffusion, 1 + Pe^2 / 192, Pe on the diameter and mean speed."""
    return 1.0 + peclet**2 / 192.0
