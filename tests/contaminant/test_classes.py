"""Size classes against the printed table of a test dust, a sphere by hand, and the ISO 4406 table."""

from __future__ import annotations

import math

import numpy as np
import pytest
from glasscan.contaminant.classes import (
    CLASSES,
    EDGES_UM,
    PER_SIZE_1_M,
    SIZE_M,
    counts_per_ml,
    dust_shares,
    sizes_inside_m,
)
from glasscan.contaminant.particle_counts import cleanliness_code
from glasscan.laws.cleanliness import iso4406


@pytest.mark.parametrize("name", ["a1", "a2", "a3", "a4", "legacy-fine", "legacy-coarse"])
def test_a_dust_is_shared_out_whole(name: str) -> None:
    """Shares are not negative and sum to one (conservation)."""
    shares = np.array(dust_shares(name))
    assert len(shares) == CLASSES
    assert (shares >= 0.0).all()
    assert shares.sum() == pytest.approx(1.0, abs=1e-12)


def test_legacy_fine_dust_by_its_printed_bands() -> None:
    """Legacy fine test dust: 39 % below 5 um and 73 % below 20 um (FOUND, public dust-history page)."""
    shares = dust_shares("legacy-fine")
    below_4, below_6, below_21 = shares[0], sum(shares[:2]), sum(shares[:4])
    assert below_4 < 0.39 < below_6
    assert 0.73 < below_21 < 0.75


def test_count_of_a_class_is_mass_over_the_mass_of_its_spheres() -> None:
    """1 mg/L of quartz spheres of 4 to 6 um, equal masses at 4,000 sizes, counted one by one (geometry)."""
    mass = np.zeros(CLASSES)
    mass[1] = 1e-3
    sizes = 4e-6 * 1.5 ** ((np.arange(4000) + 0.5) / 4000)
    by_hand = (1e-3 / 4000 / (2650.0 * math.pi / 6.0 * sizes**3)).sum() * 1e-6
    assert counts_per_ml(mass, 4) == pytest.approx(by_hand, rel=1e-6)
    assert counts_per_ml(mass, 6) == 0.0


def test_means_of_a_class_agree_with_a_sum_over_its_sizes() -> None:
    """Mean of 1/d over equal shares of mass, by a fine sum (numpy)."""
    for low, high, mean in zip(EDGES_UM[:-1], EDGES_UM[1:], PER_SIZE_1_M, strict=True):
        sizes = low * 1e-6 * (high / low) ** ((np.arange(4000) + 0.5) / 4000)
        assert mean == pytest.approx((1.0 / sizes).mean(), rel=1e-6)
    inside = sizes_inside_m()
    assert np.exp(np.log(inside).mean(axis=1)) == pytest.approx(SIZE_M)


def test_code_of_readings_is_that_of_the_table() -> None:
    """2,500 / 640 / 80 per mL is 18/16/13 (ISO 4406 table, FOUND in reproductions)."""
    readings = {"up_4um_per_ml": 2500.0, "up_6um_per_ml": 640.0, "up_14um_per_ml": 80.0}
    assert cleanliness_code(readings) == iso4406((2500.0, 640.0, 80.0)) == "18/16/13"
