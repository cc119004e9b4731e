"""A stiff step: singly diagonally implicit Runge-Kutta, third order, stiffly accurate and L-stable.

Four stages, the first explicit; embedded second order for the error.
Source: C. A. Kennedy, M. H. Carpenter, Applied Numerical Mathematics 44 (2003) 139-181, ARK3(2)4L[2]SA,
implicit part; coefficients from memory, their order conditions are tested.

The stages are solved by Newton's method with a kept matrix. Running totals ride along linearised with the
same Jacobian, so every linear law of conservation of the right-hand side holds for the step to rounding.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Rates = Callable[[float, Floats], Floats]

GAMMA = 1767732205903 / 4055673282236
A = (
    (0.0, 0.0, 0.0),
    (GAMMA, 0.0, 0.0),
    (2746238789719 / 10658868560708, -640167445237 / 6845629431997, 0.0),
    (1471266399579 / 7840856788654, -4482444167858 / 7529755066697, 11266239266428 / 11593286722821),
)
B = (*A[3], GAMMA)
B_LOW = (
    2756255671327 / 12835298489170,
    -10771552573575 / 22201958757719,
    9247589265047 / 10645013368117,
    2193209047091 / 5459859503100,
)
C = (0.0, 2 * GAMMA, 3 / 5, 1.0)
_ERR = tuple(b - low for b, low in zip(B, B_LOW, strict=True))
_CLOSE = 0.01  # Newton stops when what is left is this share of the tolerated error
_MAX_NEWTON = 8


@dataclass(frozen=True, slots=True)
class Tangent:
    """Two Jacobians of rates that have a corner, and the inverses of `I - h gamma J` for one step length.

    Dry friction has a corner where the speed changes sign: Newton needs the tangent of the side it is on.

    Attributes:
        corner: place of the number whose sign picks the side.
        jacobians: (N, n) for a positive and for a negative number.
        h: step the inverses are for, s.
        inverses: (n, n) each.
    """

    corner: int
    jacobians: tuple[Floats, Floats]
    h: float
    inverses: tuple[Floats, Floats]

    @classmethod
    def of(cls, corner: int, jacobians: tuple[Floats, Floats], h: float) -> Tangent:
        """Tangent with its inverses worked out for a step h."""
        n = jacobians[0].shape[1]
        both = np.stack([jac[:n] for jac in jacobians])
        plus, minus = np.linalg.inv(np.eye(n) - (h * GAMMA) * both)
        return cls(corner, jacobians, h, (plus, minus))

    def for_step(self, h: float) -> Tangent:
        """The same tangent for another step."""
        return self if h == self.h else Tangent.of(self.corner, self.jacobians, h)


@dataclass(frozen=True, slots=True)
class Memory:
    """What the method carries from step to step: part of the state, so that a rewound run repeats itself.

    Attributes:
        step_s: step to try next, s.
        slope: (N,) rate at the end of the last step, or None when it must be worked out anew.
        tangent: kept Jacobians, or None when they must be worked out anew.
    """

    step_s: float
    slope: Floats | None = None
    tangent: Tangent | None = None


@dataclass(frozen=True, slots=True)
class Attempt:
    """A tried step: new state, end slope, error (1 = as tolerated) and slowest rate of convergence."""

    y: Floats
    slope: Floats
    error: float
    rate: float


class NewtonFailedError(Exception):
    """A stage did not converge: the step must be shorter or the Jacobian fresh."""


def numeric_jacobian(f: Rates, t: float, y: Floats, bump: Floats) -> Floats:
    """Jacobian (N, n) of the rates by the first n numbers of the state: by differences of `bump` (n,)."""
    n = len(bump)
    f0 = f(t, y)
    jac = np.empty((len(y), n))
    for j in range(n):
        moved = y.copy()
        moved[j] += bump[j]
        jac[:, j] = (f(t, moved) - f0) / (moved[j] - y[j])
    return jac


def attempt(f: Rates, t: float, y: Floats, slope: Floats, tangent: Tangent, weight: Floats) -> Attempt:
    """Try one step of length `tangent.h`.

    Args:
        f: rates (t, y) -> (N,).
        t: time, s.
        y: (N,) state; the first n numbers are implicit.
        slope: (N,) f at (t, y).
        tangent: Jacobians, may be old.
        weight: (n,) 1 / tolerated error of each implicit number.

    Raises:
        NewtonFailedError: a stage did not converge.
    """
    h, n, worst = tangent.h, len(weight), 0.0
    slopes = [slope]
    base = y
    for i in (1, 2, 3):
        base = y + h * _mix(A[i], slopes)
        guess = base + (h * GAMMA) * slopes[-1]
        k, rate = _stage(f, t + C[i] * h, base, guess, tangent, weight)
        slopes.append(k)
        worst = max(worst, rate)
    new = base + (h * GAMMA) * slopes[3]
    inverse = tangent.inverses[int(new[tangent.corner] < 0.0)]
    error = _norm(inverse @ (h * _mix(_ERR, slopes)[:n]), weight)
    return Attempt(new, slopes[3], error, worst)


def _mix(factors: tuple[float, ...], slopes: list[Floats]) -> Floats:
    total = factors[0] * slopes[0]
    for factor, k in zip(factors[1 : len(slopes)], slopes[1:], strict=False):
        total += factor * k
    return total


def _stage(
    f: Rates, t: float, base: Floats, y: Floats, tangent: Tangent, weight: Floats
) -> tuple[Floats, float]:
    """Solve `Y = base + h gamma f(t, Y)`; returns the stage's slope and the rate of convergence."""
    n, hg, corner = len(weight), tangent.h * GAMMA, tangent.corner
    before, rate = 0.0, 0.0
    for turn in range(_MAX_NEWTON):
        k = f(t, y)
        side = int(y[corner] < 0.0)
        delta = tangent.inverses[side] @ (base[:n] + hg * k[:n] - y[:n])
        size = _norm(delta, weight)
        if size == 0.0:
            return k, rate
        if turn:
            ratio = size / before if before > 0.0 else np.inf
            rate = max(rate, ratio) if turn > 1 else ratio
            if not ratio < 2.0:
                raise NewtonFailedError
        if size <= _CLOSE or (turn and rate < 1.0 and size * rate / (1.0 - rate) <= _CLOSE):
            return k + tangent.jacobians[side] @ delta, rate
        y = y.copy()
        y[:n] += delta
        before = size
    raise NewtonFailedError


def _norm(x: Floats, weight: Floats) -> float:
    """Largest weighted component; inf where anything is not finite."""
    size = float(np.abs(x * weight).max())
    return size if size < np.inf else np.inf
