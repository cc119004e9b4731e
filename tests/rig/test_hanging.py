"""What stays in a filter at rest by how it hangs: the closed form of a cylinder, and a night on the rig."""

from __future__ import annotations

from math import acos, pi, sqrt

import numpy as np
import pytest
from glasscan.filters.hanging import HANGS, below_plane, kept_share
from glasscan.filters.layout import DIRTY, Opening
from glasscan.learning.assemble import rig_setup, section
from glasscan.learning.scenario_loading import load_scenario
from glasscan.rig.rig import Rig

NIGHT_S = 60000.0
NIGHT = ["timeline=[]", "end_s=60000", "start.gallery_fill=1"]


@pytest.mark.parametrize("height", [-0.9, -0.3, 0.0, 0.5])
def test_a_level_cylinder_is_as_full_as_its_segment(height: float) -> None:
    """Circular segment: A/pi R2 = 1 - (acos h - h sqrt(1 - h2))/pi, any handbook of mathematics."""
    edges = np.linspace(0.0, 1.0, 2001)
    middle = 0.5 * (edges[1:] + edges[:-1])
    found = float((np.diff(edges**2) * below_plane(height, middle)).sum())
    assert found == pytest.approx(1.0 - (acos(height) - height * sqrt(1.0 - height**2)) / pi, abs=1e-4)


def test_a_plain_can_keeps_what_lies_below_its_holes() -> None:
    """Holes in the foot: dome up nothing stays, dome down everything, level the segment below the holes."""
    r, z = np.linspace(0.0, 0.04, 401), np.linspace(0.0, 0.1, 11)
    region = np.full((400, 10), DIRTY)
    holes = Opening(0.0, 0.016, 0.02, 1)
    kept = {hangs: kept_share(hangs, region, r, z, holes) for hangs in HANGS}
    assert kept["dome-up"] == 0.0
    assert kept["dome-down"] == pytest.approx(1.0)
    assert kept["level"] == pytest.approx((acos(0.5) - 0.5 * sqrt(0.75)) / pi, abs=1e-3)


@pytest.mark.parametrize(("hangs", "least", "most"), [("dome-up", 0.0, 0.02), ("dome-down", 0.98, 1.0)])
def test_without_the_valve_a_night_empties_only_the_can_with_its_dome_up(
    hangs: str, least: float, most: float
) -> None:
    """Oil does not run upwards out of a can whose opening is on top (geometry)."""
    scenario = load_scenario("anti-drain-or-not", [*NIGHT, f"hangs={hangs}"])
    rig = Rig(rig_setup(scenario, section(scenario)))
    rig.set("housing.antidrain_leak_mm3", 100.0)
    for _ in range(600):
        rig.step(NIGHT_S / 600)
    assert least <= rig.snapshot().readings["can_fill"] <= most


def test_a_bowl_under_its_head_keeps_its_oil() -> None:
    """Its ways lie on top: after a night it is filled at least up to the lower edge of the bore."""
    scenario = load_scenario("cartridge-cold-start", NIGHT)
    rig = Rig(rig_setup(scenario, section(scenario)))
    for _ in range(600):
        rig.step(NIGHT_S / 600)
    assert rig.snapshot().readings["can_fill"] > 0.85
