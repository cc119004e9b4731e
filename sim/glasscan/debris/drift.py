"""What the oil does to the velocities of bodies in one step, whatever the ratio of step to relaxation time.

Drag is linearised about the slip of the moment and integrated exactly: over a step h the velocity goes the
share 1 - exp(-h/tau) of its way to the terminal velocity (oil minus settling speed). No step is too long, and
the terminal velocity itself is exact. Contacts need more: a body that the oil holds back must also resist a
push as it would over the whole step. So contacts see the inertia m (h/tau)/(1 - exp(-h/tau)), with which the
true force m (v_t - v)/tau over h gives just that change of velocity.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.crowd import Crowd, Motion
from glasscan.debris.settling import over_stokes, relaxation_s

Floats = NDArray[np.float64]
TURN_SHARE = 0.3
"""Relaxation of turning over that of moving, of a creeping sphere: rho d2/(60 mu) over rho d2/(18 mu)."""
HAIR = 1e-6  # over the reach: rounding
MOST_TURN = 0.5  # rad in one sub-step


def contact_masses_kg(crowd: Crowd, mu_pa_s: float, dt_s: float) -> Floats:
    """Inertia (n,) of each body against contacts in a step of dt_s, kg."""
    ratio = dt_s / relaxation_s(crowd.sphere_m, crowd.density_kg_m3, crowd.factor, mu_pa_s)
    return np.asarray(crowd.mass_kg * ratio / -np.expm1(-ratio))


def gains(
    crowd: Crowd,
    motion: Motion,
    oil_m_s: Floats,
    oil_turning: Floats,
    settling_m_s: Floats,
    rho_kg_m3: float,
    mu_pa_s: float,
    dt_s: float,
) -> tuple[Floats, Floats]:
    """Change of velocity (n, 2), m/s, and of turning (n,), rad/s, by oil and weight in a step of dt_s."""
    creeping = relaxation_s(crowd.sphere_m, crowd.density_kg_m3, crowd.factor, mu_pa_s)
    slip = np.hypot(*(oil_m_s - motion.velocity_m_s).T)
    tau = creeping / over_stokes(slip * rho_kg_m3 * crowd.sphere_m / mu_pa_s)
    target = oil_m_s.copy()
    target[:, 1] -= settling_m_s
    share = -np.expm1(-dt_s / tau)
    turn_to = np.clip(oil_turning, -MOST_TURN / dt_s, MOST_TURN / dt_s)
    turn_share = -np.expm1(-dt_s / (TURN_SHARE * creeping))
    return (target - motion.velocity_m_s) * share[:, None], (turn_to - motion.turning) * turn_share


def held_back(velocity_m_s: Floats, gain_m_s: Floats | float, reach_m: Floats, dt_s: float) -> Floats:
    """Gain (n, 2) after which no body goes farther than its reach in the shortest sub-step, m/s."""
    after = velocity_m_s + gain_m_s
    far = np.hypot(*after.T) * dt_s / reach_m
    return np.asarray(
        np.where(far[:, None] > 1 + HAIR, after / np.maximum(far, 1.0)[:, None], after) - velocity_m_s
    )
