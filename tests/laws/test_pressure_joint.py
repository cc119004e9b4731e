"""Strength of a filter's shell against printed tables and closed forms of machine design."""

import pytest
from glasscan.laws.pressure_joint import (
    bolts_for,
    cover_pa,
    hoop_pa,
    stress_area_m2,
    thrust_n,
    wall_for_m,
)


@pytest.mark.parametrize(("d_mm", "pitch_mm", "area_mm2"), [(6, 1.0, 20.1), (8, 1.25, 36.6), (10, 1.5, 58.0)])
def test_stress_areas_are_those_of_the_table(d_mm: float, pitch_mm: float, area_mm2: float) -> None:
    """ISO 898-1, table of stress areas (MEMORY)."""
    assert stress_area_m2(d_mm * 1e-3, pitch_mm * 1e-3) * 1e6 == pytest.approx(area_mm2, rel=2e-3)


def test_thrust_on_an_80_mm_bowl() -> None:
    """20.7 MPa on 80 mm: 104 kN (arithmetic)."""
    assert thrust_n(20.7e6, 0.08) == pytest.approx(104e3, rel=2e-3)


def test_bolts_grow_with_the_pressure() -> None:
    """The count is the evidence: few bolts at lubricating pressure, a ring of them at 3,000 psi.

    Lower bound at 3,000 psi: 156 kN at proof over 21.2 kN proof load of an M8 of class 8.8 (MEMORY) is 7.4.
    """
    lube, hydraulic = (bolts_for(pa, 0.08, 8e-3, 1.25e-3) for pa in (0.5e6, 20.7e6))
    assert lube == 1
    assert 8 <= hydraulic <= 12


def test_a_whole_number_of_bolts_is_enough() -> None:
    """Where the thrust is four times what one bolt holds, four hold it; a hair more asks for a fifth."""
    one_n = 1e8 * stress_area_m2(8e-3, 1.25e-3)
    exact = 4 * one_n / thrust_n(1.0, 0.08)
    for pressure, count in ((exact, 4), (1.001 * exact, 5)):
        bolts = bolts_for(pressure, 0.08, 8e-3, 1.25e-3, proof_stress_pa=1e8, used=1.0, proof=1.0)
        assert bolts == count


def test_thin_walls_carry_p_r_over_t() -> None:
    """Thin shell: p r/t (closed form), within the wall's own half per cent; and the wall is its inverse."""
    assert hoop_pa(1e6, 0.1, 1e-3) == pytest.approx(1e6 * 0.1005 / 1e-3, rel=1e-3)
    assert hoop_pa(1e6, 0.1, wall_for_m(1e6, 0.1, 50e6)) == pytest.approx(50e6)


def test_a_laid_cover_is_stressed_more_than_a_clamped_one() -> None:
    """0.75 and 1.24 p r^2/t^2 (Timoshenko, MEMORY)."""
    assert cover_pa(1e6, 0.03, 0.01) == pytest.approx(0.75 * 9e6)
    assert cover_pa(1e6, 0.03, 0.01, clamped=False) == pytest.approx(1.2375 * 9e6)
