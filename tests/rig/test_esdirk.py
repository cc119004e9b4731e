"""The implicit step: order, stability and conservation, against published conditions and exact solutions."""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.rig import esdirk
from glasscan.rig.esdirk import B_LOW, GAMMA, A, B, C, Tangent, attempt
from scipy.linalg import expm


def tableau() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A (4, 4), b and c of the method."""
    a = np.zeros((4, 4))
    for i, row in enumerate(A):
        a[i, :3] = row
        if i:
            a[i, i] = GAMMA
    return a, np.array(B), np.array(C)


def test_order_conditions() -> None:
    """Butcher's conditions up to order 3, and 2 for the embedded method (Hairer & Wanner II, MEMORY)."""
    a, b, c = tableau()
    low = np.array(B_LOW)
    assert a.sum(axis=1) == pytest.approx(c, abs=1e-13)
    assert [b.sum(), b @ c, b @ c**2, b @ a @ c] == pytest.approx([1, 1 / 2, 1 / 3, 1 / 6], abs=1e-13)
    assert [low.sum(), low @ c] == pytest.approx([1, 1 / 2], abs=1e-13)
    assert abs(low @ c**2 - 1 / 3) > 1e-3


def test_stiffly_accurate_and_l_stable() -> None:
    """The stability function vanishes at minus infinity and never exceeds 1 on the imaginary axis."""
    a, b, _ = tableau()

    def growth(z: complex) -> float:
        return abs(1 + z * b @ np.linalg.solve(np.eye(4) - z * a, np.ones(4)))

    assert growth(-1e9) < 1e-6
    assert max(growth(1j * y) for y in np.logspace(-3, 6, 400)) <= 1 + 1e-9


def walk(f: esdirk.Rates, y: np.ndarray, span: float, steps: int, n: int) -> np.ndarray:
    """Fixed steps with a fresh Jacobian and a tight Newton."""
    h, weight = span / steps, np.full(n, 1e10)
    for k in range(steps):
        jac = esdirk.numeric_jacobian(f, k * h, y, np.full(n, 1e-6))
        y = attempt(f, k * h, y, f(k * h, y), Tangent.of(0, (jac, jac), h), weight).y
    return y


def test_third_order_on_a_linear_system() -> None:
    """Halving the step divides the error by 8 against the matrix exponential (scipy.linalg.expm)."""
    matrix = np.array([[-1.0, 2.0], [-2.0, -3.0]])
    start = np.array([1.0, 0.5])
    exact = expm(matrix) @ start
    errors = [np.abs(walk(lambda _, y: matrix @ y, start, 1.0, n, 2) - exact).max() for n in (8, 16, 32)]
    assert np.log2(errors[0] / errors[1]) == pytest.approx(3, abs=0.2)
    assert np.log2(errors[1] / errors[2]) == pytest.approx(3, abs=0.2)


def test_stiff_relaxation_follows_its_slow_solution() -> None:
    """Prothero & Robinson 1974: y' = -L (y - cos t) - sin t stays on cos t with steps far above 1/L."""

    def f(t: float, y: np.ndarray) -> np.ndarray:
        return -1e6 * (y - np.cos(t)) - np.sin(t)

    assert walk(f, np.array([1.0]), 1.0, 20, 1)[0] == pytest.approx(np.cos(1.0), abs=1e-6)


def test_running_totals_keep_linear_laws_even_with_a_loose_newton() -> None:
    """What leaves one tank arrives in the total to rounding, although Newton stops early."""

    def f(_: float, y: np.ndarray) -> np.ndarray:
        out = 50.0 * y[0] ** 3
        return np.array([-out, out])

    y, h = np.array([1.0, 0.0]), 0.05
    jac = 0.7 * esdirk.numeric_jacobian(f, 0.0, y, np.array([1e-6]))
    for _ in range(5):
        y = attempt(f, 0.0, y, f(0.0, y), Tangent.of(0, (jac, jac), h), np.array([1.0])).y
    assert y[0] < 0.6
    assert y.sum() == pytest.approx(1.0, abs=1e-14)


def test_unsolvable_stage_is_told() -> None:
    """A right-hand side that is not finite ends in the method's own error, not in a wrong state."""
    y = np.array([1.0])
    jac = np.array([[0.0]])

    def f(_: float, y: np.ndarray) -> np.ndarray:
        return np.full_like(y, np.nan)

    with pytest.raises(esdirk.NewtonFailedError):
        attempt(f, 0.0, y, np.array([0.0]), Tangent.of(0, (jac, jac), 0.1), np.array([1.0]))
