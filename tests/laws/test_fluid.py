"""Fluid record: finite everywhere it may be asked, and equal to the laws it is made of."""

import chemicals
import numpy as np
import pytest
from glasscan.laws.density import density_kg_m3, expansion_per_k, specific_gravity
from glasscan.laws.fluid import Fluid
from hypothesis import given
from hypothesis import strategies as st

SAE50 = Fluid(name="sae-50-like", kv_points=((40.0, 200.0), (100.0, 18.5)), rho15_kg_m3=890.0)
THICKENED = Fluid(name="thickened", kv_points=((-40.0, 600.0), (40.0, 13.2)), rho15_kg_m3=870.0)
GREASY = Fluid(name="very-thick", kv_points=((40.0, 1500.0), (100.0, 60.0)), rho15_kg_m3=920.0)
PROPERTIES = ("nu_m2_s", "mu_pa_s", "rho_kg_m3", "cp_j_kgk", "k_w_mk")


@pytest.mark.parametrize("fluid", [SAE50, THICKENED, GREASY], ids=lambda f: f.name)
@pytest.mark.parametrize("prop", PROPERTIES)
def test_properties_are_finite_and_positive_over_the_whole_range(fluid: Fluid, prop: str) -> None:
    """Every property is a positive finite number from -60 to 200 degC."""
    values = getattr(fluid, prop)(np.linspace(-60.0, 200.0, 261))
    assert np.all(np.isfinite(values))
    assert np.all(values > 0.0)


@pytest.mark.parametrize("prop", PROPERTIES)
def test_scalar_and_array_agree(prop: str) -> None:
    """A scalar gives a plain float equal to the array's entry to rounding."""
    law = getattr(SAE50, prop)
    assert type(law(40.0)) is float
    assert law(np.array([10.0, 40.0]))[1] == pytest.approx(law(40.0), rel=1e-13)


@given(st.floats(-60.0, 199.0), st.floats(0.01, 50.0))
def test_oil_never_thickens_when_warmed(t_c: float, rise: float) -> None:
    """Viscosity and density do not rise with temperature."""
    assert SAE50.nu_m2_s(t_c + rise) <= SAE50.nu_m2_s(t_c)
    assert SAE50.rho_kg_m3(t_c + rise) < SAE50.rho_kg_m3(t_c)


def test_points_are_met_and_inverted() -> None:
    """The two measured points come back, and the temperature of a viscosity too."""
    assert SAE50.nu_m2_s(40.0) == pytest.approx(200e-6, rel=1e-12)
    assert SAE50.temperature_c(18.5e-6) == pytest.approx(100.0, abs=1e-9)


def test_dynamic_viscosity_is_kinematic_times_density() -> None:
    """Definition of dynamic viscosity, with the density law used on its own."""
    assert SAE50.mu_pa_s(40.0) == pytest.approx(200e-6 * float(density_kg_m3(890.0, 40.0)), rel=1e-12)


def test_mapping_of_a_data_file_gives_the_same_record() -> None:
    """The form of the data files, points in any order."""
    data = {
        "name": "sae-50-like",
        "kv_points": [{"t_c": 100, "nu_mm2_s": 18.5}, {"t_c": 40, "nu_mm2_s": 200}],
        "rho15_kg_m3": 890,
    }
    assert Fluid.from_mapping(data) == SAE50


GOOD = {"name": "x", "kv_points": [[40, 200], [100, 18.5]], "rho15_kg_m3": 890}


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"rho15_kg_m3": float("nan")}, "rho15_kg_m3"),
        ({"rho15_kg_m3": "890"}, "rho15_kg_m3"),
        ({"rho15_kg_m3": True}, "rho15_kg_m3"),
        ({"rho15_kg_m3": 89.0}, "rho15_kg_m3"),
        ({"kv_points": [[40, 200]]}, "kv_points"),
        ({"kv_points": [{"t_c": 40, "nu": 200}, [100, 18.5]]}, "t_c and nu_mm2_s"),
        ({"kv_points": [[40, 18.5], [100, 200]]}, "thins"),
        ({"kv_points": [[40, 200], [40, 200]]}, "colder"),
        ({"kv_points": [[40, 0.5], [100, 0.1]]}, "0.21"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_wrong_data_is_named_in_one_line(change: dict[str, object], word: str) -> None:
    """A wrong value raises one line that names the key at fault."""
    with pytest.raises(ValueError, match=word) as caught:
        Fluid.from_mapping({**GOOD, **change})
    assert "\n" not in str(caught.value)


def test_density_at_15_degrees_is_the_given_one() -> None:
    """The base temperature of the expansion form is 15 degC."""
    assert SAE50.rho_kg_m3(15.0) == 890.0


def test_expansion_is_the_slope_at_the_base() -> None:
    """The coefficient (K0 + K1 rho)/rho^2 is minus the relative slope of density at 15 degC."""
    slope = (density_kg_m3(890.0, 15.01) - density_kg_m3(890.0, 14.99)) / 0.02 / 890.0
    assert expansion_per_k(890.0) == pytest.approx(-float(slope), rel=1e-6)


def test_specific_gravity_is_on_water_at_60_fahrenheit() -> None:
    """Density of water at 15.56 degC and one atmosphere from IAPWS-95 in the open library `chemicals`."""
    water = chemicals.iapws95_rho(273.15 + 140.0 / 9.0, 101325.0)
    assert specific_gravity(890.0) == pytest.approx(890.0 / water, rel=5e-6)


def test_specific_heat_equals_its_imperial_form() -> None:
    """Cragoe's (0.388 + 0.00045 tF)/sqrt(sg) Btu/(lb degF), as printed in handbooks (FOUND), within 0.2 %."""
    imperial = (0.388 + 0.00045 * 104.0) / np.sqrt(specific_gravity(890.0)) * 4186.8
    assert SAE50.cp_j_kgk(40.0) == pytest.approx(imperial, rel=2e-3)


def test_density_of_nothing_is_refused() -> None:
    """A density of zero or less raises one clear line."""
    with pytest.raises(ValueError, match="above zero"):
        density_kg_m3(0.0, 40.0)


@pytest.mark.parametrize(("rho15", "t_c", "rho"), [(850.0, -40.0, 884.072048), (900.0, 100.0, 845.806058)])
def test_density_to_nine_figures(rho15: float, t_c: float, rho: float) -> None:
    """Values of the expansion form worked out on their own (COMPUTED), held to every printed figure."""
    assert density_kg_m3(rho15, t_c) == pytest.approx(rho, rel=1e-9)
