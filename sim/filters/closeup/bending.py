"""A panel of folded medium under the pressure across it: a clamped strip of plate that may touch its twin.

Model: Euler-Bernoulli bending of a strip clamped at both folds (Timoshenko's plate strip), small deflections,
no stretching (the folds may come nearer each other). Both panels of a clean channel bend alike, so they meet
on its middle plane; there a contact pressure, never a pull, keeps them from passing. Status: textbook law,
COMPUTED; the stiffness of the medium is data with its own status.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import nnls

from sim.physics.grid import Floats


def compliance(places_m: Floats, widths_m: Floats, length_m: float, rigidity_n_m: float) -> Floats:
    """Deflection at each place for a pressure of 1 Pa on each piece, (K, K), m/Pa.

    Load P at a on a clamped strip: `w = P b^2 x^2 (3 a L - x (3 a + b))/(6 D L^3)` for x <= a, with
    b = L - a (Roark's Formulas for Stress and Strain, both ends fixed, recalled; status MEMORY, checked
    against `p L^4/(384 D)`). Between its two arguments it is symmetric (Maxwell's reciprocity).
    """
    x, a = np.minimum.outer(places_m, places_m), np.maximum.outer(places_m, places_m)
    b = length_m - a
    per_load = b**2 * x**2 * (3 * a * length_m - x * (3 * a + b)) / (6 * rigidity_n_m * length_m**3)
    return np.asarray(per_load * widths_m[None, :])


def bent(compliance_m_pa: Floats, pressure_pa: Floats, room_m: float) -> tuple[Floats, Floats]:
    """Deflection (K,), m, and contact pressure (K,), Pa, of panels with `room_m` to the middle plane.

    Contact: `w <= room`, `f >= 0`, `f (room - w) = 0`; the least-squares problem with positive unknowns that
    has these as its conditions (Lawson & Hanson).
    """
    free = compliance_m_pa @ pressure_pa
    over = free - room_m
    if over.max() <= 0:
        return free, np.zeros_like(free)
    half = np.linalg.cholesky((compliance_m_pa + compliance_m_pa.T) / 2)
    contact, _ = nnls(half.T, np.linalg.solve(half, over))
    return np.minimum(free - compliance_m_pa @ contact, room_m), contact
