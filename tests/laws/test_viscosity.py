"""ASTM D341 and D2270 against older printings, an independent library and their own logic."""

import chemicals.viscosity
import numpy as np
import pytest
from glasscan.laws.vi_table import VI_TABLE
from glasscan.laws.viscosity import (
    NU_MAX_MM2_S,
    NU_MIN_MM2_S,
    kinematic_viscosity_mm2_s,
    law_through,
    nu_from_z,
    nu_from_z_printed,
    saybolt_s,
    z_from_nu,
)
from glasscan.laws.viscosity_index import reference_oils_mm2_s, rounded_index, viscosity_index
from hypothesis import assume, given
from hypothesis import strategies as st

OLDER_TERMS = [
    (-1.14883, 2.65868, 1),
    (-0.0038138, 12.5645, -1),
    (5.46491, 37.6289, 1),
    (13.0458, 74.6851, -1),
    (37.4619, 192.643, 1),
    (80.4945, 400.468, -1),
]
"""C to H of the older printing of ASTM D341 (MEMORY): sign times exp(a - b nu)."""


@given(st.floats(NU_MIN_MM2_S, NU_MAX_MM2_S))
def test_z_and_its_inverse_undo_each_other(nu: float) -> None:
    """Round trip to near machine precision over the whole range of the standard."""
    assert nu_from_z(z_from_nu(nu)) == pytest.approx(nu, rel=2e-14)


def test_printed_inverse_is_near_the_exact_one() -> None:
    """The cubic inverse printed in the standard (MEMORY) lies within 3e-4 of ours from 0.21 mm2/s up."""
    z = z_from_nu(np.geomspace(NU_MIN_MM2_S, 100.0, 500))
    assert nu_from_z_printed(z) == pytest.approx(nu_from_z(z), rel=3e-4)


def test_older_printing_of_the_low_viscosity_term_agrees() -> None:
    """The older, longer form of Z (MEMORY) agrees within 0.5 % above 0.21 mm2/s."""
    nu = np.geomspace(NU_MIN_MM2_S, 100.0, 200)
    older = nu + 0.7 + sum(sign * np.exp(a - b * nu) for a, b, sign in OLDER_TERMS)
    assert z_from_nu(nu) == pytest.approx(older, rel=5e-3)


@given(st.floats(5.0, 2000.0), st.floats(0.05, 0.6), st.floats(-60.0, 190.0), st.floats(0.1, 30.0))
def test_oil_thins_when_warmed(kv40: float, share: float, t_c: float, rise: float) -> None:
    """Viscosity never rises with temperature, for any oil the law can be drawn through."""
    kv100 = max(kv40 * share, NU_MIN_MM2_S)
    cold, warm = kinematic_viscosity_mm2_s(kv40, kv100, np.array([t_c, t_c + rise]))
    assert NU_MIN_MM2_S * (1 - 1e-12) <= warm <= cold <= NU_MAX_MM2_S * (1 + 1e-12)


@given(st.floats(5.0, 2000.0), st.floats(0.05, 0.6), st.floats(20.0, 120.0))
def test_temperature_of_a_viscosity_inverts_the_law(kv40: float, share: float, t_c: float) -> None:
    """The temperature asked back from a viscosity is the one it was worked out at."""
    law = law_through((40.0, kv40), (100.0, max(kv40 * share, 1.0)))
    nu = float(law.extrapolated_mm2_s(t_c))
    assert law.temperature_c(nu) == pytest.approx(t_c, abs=1e-6)


def test_clamp_keeps_extremes_inside_the_standard() -> None:
    """Far outside its points a thick oil stops at 2e7 mm2/s and a thin one at 0.21 mm2/s."""
    thick = law_through((40.0, 1500.0), (100.0, 60.0))
    thin = law_through((40.0, 1.0), (100.0, 0.5))
    assert thick.nu_mm2_s(-60.0) == pytest.approx(NU_MAX_MM2_S)
    assert thin.nu_mm2_s(300.0) == pytest.approx(NU_MIN_MM2_S)


@pytest.mark.parametrize(
    ("cold", "hot", "word"),
    [
        ((40.0, 10.0), (100.0, 20.0), "thins"),
        ((100.0, 10.0), (40.0, 20.0), "colder"),
        ((40.0, 10.0), (100.0, 0.1), "0.21"),
        ((40.0, float("nan")), (100.0, 5.0), "finite"),
        ((-300.0, 10.0), (100.0, 5.0), "colder"),
    ],
)
def test_impossible_points_are_refused(
    cold: tuple[float, float], hot: tuple[float, float], word: str
) -> None:
    """Points no oil can have raise one clear line."""
    with pytest.raises(ValueError, match=word):
        law_through(cold, hot)


@given(st.floats(2.001, 200.0), st.floats(1.05, 60.0))
def test_viscosity_index_agrees_with_an_independent_library(kv100: float, ratio: float) -> None:
    """The open library `chemicals` (ASTM D2270) over both procedures and above 70 mm2/s."""
    assume(abs(kv100 - 70.0) > 1e-6)  # the library takes the formulas at 70, the standard its table
    other = chemicals.viscosity.viscosity_index(kv100 * ratio * 1e-6, kv100 * 1e-6)
    assert viscosity_index(kv100 * ratio, kv100) == pytest.approx(other, rel=1e-9, abs=1e-7)


@pytest.mark.parametrize("kv100", [70.5, 71.0, 75.0])
def test_formulas_start_right_above_70(kv100: float) -> None:
    """Just above the table the open library `chemicals` already takes the formulas, and so do we."""
    other = chemicals.viscosity.viscosity_index(12e-6 * kv100, 1e-6 * kv100)
    assert viscosity_index(12.0 * kv100, kv100) == pytest.approx(other, rel=1e-9)


def test_table_is_the_published_one() -> None:
    """Every entry equals the copy of ASTM D2270 Table 1 in the open library `chemicals`."""
    module = chemicals.viscosity
    other = np.column_stack([module.VI_nus, module.VI_Ls, module.VI_Hs])
    assert np.array(VI_TABLE) == pytest.approx(other, rel=1e-12)


@pytest.mark.parametrize("kv100", [2.0, 8.86, 40.0, 70.0, 150.0])
def test_reference_oils_have_index_0_and_100(kv100: float) -> None:
    """By definition the oils L and H have index 0 and 100, and the procedures meet at 100."""
    low, high = reference_oils_mm2_s(kv100)
    assert viscosity_index(low, kv100) == pytest.approx(0.0, abs=1e-9)
    assert viscosity_index(high, kv100) == pytest.approx(100.0, rel=1e-12)
    assert viscosity_index(high * (1 - 1e-9), kv100) == pytest.approx(100.0, rel=1e-6)


def test_table_and_formulas_meet_at_70() -> None:
    """The table's last row and the formulas above 70 mm2/s join within rounding of the table (0.2 %)."""
    assert reference_oils_mm2_s(70.0) == pytest.approx(reference_oils_mm2_s(70.0 + 1e-9), rel=2e-3)


def test_rounding_goes_to_the_even_number() -> None:
    """ASTM rounding: halves to the even whole number."""
    assert [rounded_index(x) for x in (90.5, 91.5, 92.43)] == [90, 92, 92]


@pytest.mark.parametrize(("kv40", "kv100", "word"), [(5.0, 1.99, "2 mm2/s"), (8.0, 9.0, "thins")])
def test_outside_the_scope_is_refused(kv40: float, kv100: float, word: str) -> None:
    """Below 2 mm2/s at 100 degC, or an oil that thickens, raises one clear line."""
    with pytest.raises(ValueError, match=word):
        viscosity_index(kv40, kv100)


def test_saybolt_seconds() -> None:
    """Printed table of D2161 (MEMORY): 10, 20, 100 mm2/s at 100 degF; 0.671 % more at 210 degF."""
    assert saybolt_s([10.0, 20.0, 100.0]) == pytest.approx([58.9, 97.8, 463.5], rel=2e-3)
    assert saybolt_s(50.0, 210.0) / saybolt_s(50.0, 100.0) == pytest.approx(1.00671, abs=1e-5)
