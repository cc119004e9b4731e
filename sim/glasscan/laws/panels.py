"""Panels of folded medium that bend under the pressure across them and narrow the channels beside them.

Model: each panel between two folds is a strip of plate clamped at both (Timoshenko's plate strip), small
deflections, no stretching (the folds may come nearer each other). Both panels of a clean channel bend alike,
so they meet on its middle plane; there a contact pressure, never a pull, keeps them from passing. Along the
channels the oil flows as between parallel walls as far apart as the panels stand there (lubrication theory).
SI units, per unit pleat height. Status: textbook laws, COMPUTED; the stiffness of a medium is data.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import nnls

Floats = NDArray[np.float64]
ROUNDS = 200  # of flow and bending in turn; a row that pinches shut needs the most
SETTLED = 1e-4  # of the half channel: bending nearer than this to its end is left
FULL, LEAST = 0.5, 0.02  # share of a bending step taken: a narrowing channel raises its own load


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


@dataclass(frozen=True)
class Row:
    """A pleat pair: K pieces of its depth from the outer end inwards.

    Attributes:
        half_m: half width of the channels at rest, m.
        length_m: depth of the pleats, m.
        wall_1_m: resistance of the clean medium, thickness over permeability, 1/m.
        least_m: half width left where two panels touch, m.
        compliance_m_pa: (K, K) see `compliance`.
    """

    half_m: float
    length_m: float
    wall_1_m: float
    least_m: float
    compliance_m_pa: Floats

    @classmethod
    def of(
        cls, half_m: float, length_m: float, wall_1_m: float, least_m: float, rigidity_n_m: float, pieces: int
    ) -> Row:
        """A row cut into equal pieces, with panels of a bending stiffness, N m."""
        piece = length_m / pieces
        places = np.asarray((np.arange(pieces) + 0.5) * piece, float)
        soft = compliance(places, np.full(pieces, piece), length_m, rigidity_n_m)
        return cls(half_m, length_m, wall_1_m, least_m, soft)

    @property
    def piece_m(self) -> float:
        """Depth of one piece, m."""
        return self.length_m / len(self.compliance_m_pa)

    def across_pa(self, bend_m: Floats, times: float, dp_pa: float) -> tuple[Floats, float]:
        """Pressure across each piece of medium, Pa, and the resistance of the pair, 1/m2.

        Args:
            bend_m: (K,) deflection of the panels towards the clean side.
            times: resistance of medium and deposit over that of the clean medium.
            dp_pa: pressure over the pair.
        """
        wall = times * self.wall_1_m / self.piece_m
        dirty = _along(self.half_m + bend_m, self.piece_m)
        clean = _along((self.half_m - bend_m)[::-1], self.piece_m)[::-1, ::-1]
        per_pa = np.linalg.solve(dirty + clean + np.diag(np.full(len(bend_m), wall)), np.ones(len(bend_m)))
        return np.asarray(wall * per_pa * dp_pa, float), 1.0 / (2.0 * float(per_pa.sum()))

    def settled(self, times: float, dp_pa: float, start_m: Floats | None = None) -> tuple[Floats, float]:
        """Deflection (K,), m, in balance with the flow, and the resistance of the pair then, 1/m2.

        Args:
            times: resistance of medium and deposit over that of the clean medium.
            dp_pa: pressure over the pair.
            start_m: deflection to begin with.
        """
        bend = np.zeros(len(self.compliance_m_pa)) if start_m is None else start_m
        room, share, last = self.half_m - self.least_m, FULL, np.inf
        for _ in range(ROUNDS):
            across, _ = self.across_pa(bend, times, dp_pa)
            change = bent(self.compliance_m_pa, across, room)[0] - bend
            size = float(np.abs(change).max())
            if size < SETTLED * self.half_m:
                break
            share = max(0.7 * share, LEAST) if size > 0.95 * last else share
            bend, last = bend + share * change, size
        return bend, self.across_pa(bend, times, dp_pa)[1]


def _along(half_m: Floats, piece_m: float) -> Floats:
    """Pressure lost from the mouth to each piece for a flux through each, over mu, of a half channel, (K, K).

    Between plates `dp/dx = 3 mu q/g^3` with g the half gap and q the flow of half the channel; the mouth lies
    before the first piece.
    """
    per_piece = 3.0 * piece_m / half_m**3
    to_middle = np.cumsum(per_piece) - per_piece / 2
    return np.asarray(np.minimum.outer(to_middle, to_middle))
