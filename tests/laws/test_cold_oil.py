"""Oil near its pour point and polymers under shear, against limits of public grade standards."""

import pytest
from glasscan.laws.cold_oil import PUMPABLE_PA_S, sheared_pa_s, yield_drop_pa, yield_drop_slit_pa, yield_pa
from glasscan.learning.catalogue import load_fluid

HTHS_XW50_PA_S = 3.7e-3
"""SAE J300: least viscosity of an xW-50 at 150 degC and 1e6 1/s (MEMORY)."""


def test_the_multigrade_keeps_the_high_shear_limit_of_its_grade() -> None:
    """At 150 degC and 1e6 1/s it stands above the limit, and clearly below its viscosity at rest."""
    oil = load_fluid("multigrade-15w-50")
    rest = oil.mu_pa_s(150.0)
    assert HTHS_XW50_PA_S < oil.sheared_pa_s(rest, 1e6) < 0.85 * rest


def test_a_straight_grade_does_not_thin() -> None:
    """Straight mineral oil is Newtonian at engine rates of shear (handbook, MEMORY)."""
    oil = load_fluid("sae-50-mineral")
    assert oil.sheared_pa_s(0.1, 1e6) == 0.1


def test_filter_paper_shears_too_slowly_to_matter() -> None:
    """The differential pressure sets the stress in a pore: dp d/(4 L), at most 0.9 kPa at 100 kPa.

    20 um pores through 0.6 mm (this project's medium): under 3 % of the viscosity, so the bypass of a cold
    start is not overstated by a law without shear thinning.
    """
    oil = load_fluid("multigrade-15w-50")
    stress = 100e3 * 20e-6 / (4 * 0.6e-3)
    for t_c in (-20.0, -5.0, 20.0):
        mu = oil.mu_pa_s(t_c)
        assert oil.sheared_pa_s(mu, stress / mu) > 0.97 * mu


def test_shear_thinning_has_its_two_ends() -> None:
    """At rest the whole viscosity, very fast the base oil's share (closed form)."""
    assert sheared_pa_s(0.02, 0.0, 0.6, 3e3) == 0.02
    assert sheared_pa_s(0.02, 1e12, 0.6, 3e3) == pytest.approx(0.012)


def test_gel_is_of_the_size_of_the_pumping_limit_at_the_pour_point() -> None:
    """35 Pa is where ASTM D4684 speaks of a yield stress (MEMORY); half of it 3 K up; none well above."""
    assert yield_pa(-18.0, -18.0) == pytest.approx(35.0, rel=0.05)
    assert yield_pa(-15.0, -18.0) == pytest.approx(17.5, rel=0.08)
    assert yield_pa(0.0, -18.0) == 0.0
    assert yield_pa(-60.0, None) == 0.0


def test_gel_stops_the_pick_up_long_after_viscosity_has() -> None:
    """Balance on the plug: 4 tau L/D. A pick-up of 20 mm by 0.43 m asks 3 kPa at the pour point: little."""
    assert yield_drop_pa(35.0, 0.43 / 0.02) == pytest.approx(3010.0)
    assert yield_drop_slit_pa(35.0, 30.0) == pytest.approx(2100.0)
    mu = load_fluid("sae-50-mineral").mu_pa_s(-18.0)
    assert mu > 0.5 * PUMPABLE_PA_S
