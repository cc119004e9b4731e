"""Heat and smearing across a plane channel, closed forms: for scale only, the plant mixes each lump fully."""

from __future__ import annotations

from scipy.optimize import brentq
from scipy.special import hyp1f1


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
