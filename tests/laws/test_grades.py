"""Grades of oils against the limits printed beside ISO 3448 and SAE J300."""

from itertools import pairwise

import pytest
from glasscan.formulas.registry import FigureError, evaluate
from glasscan.laws.grades import ISO_BAND, iso_class, iso_limits, iso_mid_points, sae_grades
from glasscan.laws.transport import plates_nusselt
from scipy.optimize import brentq


@pytest.mark.parametrize(
    ("grade", "low", "high"),
    [(15, 13.5, 16.5), (32, 28.8, 35.2), (46, 41.4, 50.6), (68, 61.2, 74.8), (100, 90.0, 110.0)],
)
def test_iso_bands(grade: int, low: float, high: float) -> None:
    """ISO 3448: bands as reproduced in two public texts (FOUND)."""
    assert iso_limits(grade)[::2] == pytest.approx((low, high), rel=1e-12)


def test_iso_classes_do_not_overlap_and_leave_gaps() -> None:
    """No viscosity is of two classes; 25 and 56 mm2/s are of none (22: to 24.2, 32: from 28.8; ISO 3448)."""
    mids = list(iso_mid_points().values())
    assert all((1 + ISO_BAND) * low < (1 - ISO_BAND) * high for low, high in pairwise(mids))
    assert [iso_class(kv) for kv in (24.2, 25.0, 28.8, 56.0, 3520.0)] == [22, None, 32, None, 3200]


def test_thin_sae_grades_overlap() -> None:
    """SAE J300 (FOUND): 7.0 mm2/s is of 12, 16 and 20; an upper limit is the next grade's; 26.1 of none."""
    assert [sae_grades(kv) for kv in (7.0, 9.3, 26.1)] == [("12", "16", "20"), ("30",), ()]


def test_an_unknown_class_names_the_nearest() -> None:
    """A class that the standard does not have is refused with the nearest it has."""
    with pytest.raises((FigureError, ValueError), match="nearest is 32"):
        evaluate("iso-grade-limits", {"grade": 33})


def test_nusselt_of_plates_by_shooting() -> None:
    """The same eigenvalue by integrating Graetz's equation with scipy instead of Kummer's function."""
    from scipy.integrate import solve_ivp

    def end(s: float) -> float:
        run = solve_ivp(
            lambda y, f: (f[1], -(s**2) * (1 - y**2) * f[0]), (0, 1), (1, 0), rtol=1e-10, atol=1e-12
        )
        return float(run.y[0, -1])

    assert plates_nusselt() == pytest.approx(8 / 3 * brentq(end, 1.0, 2.0) ** 2, rel=1e-7)
