"""The fluids shipped as data: readable, sensible, and inside the public limits of their grades."""

from pathlib import Path

import numpy as np
import pytest
import yaml
from glasscan.laws.fluid import Fluid
from glasscan.laws.viscosity_index import viscosity_index

FOLDER = Path(__file__).parents[2] / "assets" / "fluids"
FILES = sorted(FOLDER.glob("*.yaml"))
J300_KV100 = {"30": (9.3, 12.5), "40": (12.5, 16.3), "50": (16.3, 21.9), "60": (21.9, 26.1)}
"""SAE J300 (2015) ranges at 100 degC, mm2/s, as reproduced on public pages (FOUND)."""
ISO_3448 = (10, 15, 22, 32, 46, 68, 100, 150)


def load(name: str) -> Fluid:
    """The fluid of one shipped file."""
    return Fluid.from_mapping(yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8")))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_each_file_is_a_fluid_named_after_itself(path: Path) -> None:
    """Every file loads, carries source and status, and stays finite from -60 to 200 degC."""
    fluid = load(path.stem)
    assert fluid.name == path.stem
    assert fluid.source
    assert np.all(np.isfinite(fluid.mu_pa_s(np.linspace(-60.0, 200.0, 53))))


@pytest.mark.parametrize("grade", J300_KV100)
def test_sae_grades_lie_in_the_j300_range(grade: str) -> None:
    """SAE J300 range of the grade at 100 degC (FOUND)."""
    low, high = J300_KV100[grade]
    assert low <= 1e6 * load(f"sae-{grade}-mineral").nu_m2_s(100.0) < high


def test_multigrade_lies_in_the_j300_range_and_is_flatter() -> None:
    """15W-50: the 100 degC range of grade 50 (FOUND), index above 140 (common practice, no source)."""
    (_, kv40), (_, kv100) = load("multigrade-15w-50").kv_points
    assert J300_KV100["50"][0] <= kv100 < J300_KV100["50"][1]
    assert viscosity_index(kv40, kv100) > 140.0


@pytest.mark.parametrize("grade", ISO_3448)
def test_iso_grades_lie_at_their_mid_point(grade: int) -> None:
    """ISO 3448 mid-point at 40 degC (FOUND) and a viscosity index usual for mineral oil, 90 to 110."""
    (_, kv40), (_, kv100) = load(f"iso-vg-{grade}").kv_points
    assert kv40 == grade
    assert 90.0 <= viscosity_index(kv40, kv100) <= 110.0


MIL_LIMITS = [
    ("mil-prf-5606-class", -54.0, None, 2500.0),
    ("mil-prf-5606-class", -40.0, None, 600.0),
    ("mil-prf-5606-class", 40.0, 13.2, None),
    ("mil-prf-83282-class", -40.0, None, 2200.0),
    ("mil-prf-83282-class", 100.0, 3.45, None),
    ("mil-prf-83282-class", 205.0, 1.0, None),
    ("mil-prf-87257-class", -54.0, None, 2500.0),
    ("mil-prf-87257-class", -40.0, None, 550.0),
    ("mil-prf-87257-class", 40.0, 6.7, None),
    ("mil-prf-87257-class", 100.0, 2.0, None),
]


@pytest.mark.parametrize(("name", "t_c", "least", "most"), MIL_LIMITS)
def test_hydraulic_fluids_keep_the_limits_of_their_class(
    name: str, t_c: float, least: float | None, most: float | None
) -> None:
    """Viscosity limits of the MIL-PRF specifications (MEMORY)."""
    nu = 1e6 * load(name).nu_m2_s(t_c)
    assert nu >= (least or 0.0) * (1.0 - 1e-9)
    assert nu <= (most or np.inf) * (1.0 + 1e-9)
