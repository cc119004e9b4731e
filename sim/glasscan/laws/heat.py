"""Heat in oil: specific heat, conductivity, and what throttling adds."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def specific_heat_j_kgk(sg: float, t_c: ArrayLike) -> Floats:
    """Specific heat of a petroleum oil, `(1685 + 3.4 t)/sqrt(sg)`, J/(kg K), `t_c` in degC (any shape).

    Source: Cragoe, NBS Misc. Publ. 97 (1929); coefficients recalled.
    """
    return np.asarray((1685.0 + 3.4 * np.asarray(t_c, dtype=float)) / np.sqrt(sg))


def conductivity_w_mk(sg: float, t_c: ArrayLike) -> Floats:
    """Thermal conductivity of a petroleum oil, `0.1172 (1 - 0.00054 t)/sg`, W/(m K), `t_c` in degC.

    Source: Cragoe, NBS Misc. Publ. 97 (1929); coefficients recalled.
    """
    return np.asarray(0.1172 * (1.0 - 0.00054 * np.asarray(t_c, dtype=float)) / sg)


def throttling_rise_k(dp_pa: ArrayLike, rho_kg_m3: float, cp_j_kgk: float) -> Floats:
    """Temperature rise of oil that loses `dp_pa` with no heat leaving and no work taken, `dp/(rho cp)`, K."""
    return np.asarray(np.asarray(dp_pa, dtype=float) / (rho_kg_m3 * cp_j_kgk))
