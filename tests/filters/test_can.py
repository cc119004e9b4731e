"""The spin-on can: what its section must agree with."""

from dataclasses import replace

import numpy as np
import pytest
from glasscan.filters.network_building import pleat_resistances, valve_spec

from tests.filters.refinement import drops


def test_a_wider_open_valve_resists_less(section):
    """The valve's path resists less at every larger lift, between the solved ones too."""
    table = section.network.paths
    lifts = np.linspace(1e-5, 1.5e-3, 100)
    assert np.all(np.diff([table.valve_r_at(lift) for lift in lifts.tolist()]) < 0)


def test_a_valve_hardly_open_is_a_gap_between_discs(section, can_data):
    """At 0.05 mm nearly all of the drop is the land's: 6 mu Q ln(ro/ri)/(pi h^3) (lubrication, textbook).

    Its mouths add about the ends of a slit, 16/(pi h^2) each per length of rim (Hasimoto 1958), 4 % in all.
    """
    inner, outer, h = can_data.valve.seat_mm / 2e3, can_data.valve.poppet_mm / 2e3, 0.05e-3
    gap = 6 * np.log(outer / inner) / (np.pi * h**3)
    ends = sum(16 / (np.pi * h**2) / (2 * np.pi * r) for r in (inner, outer))
    assert section.network.paths.valve_r_at(h) == pytest.approx(gap + ends, rel=0.03)


def test_annulus_drop_agrees_with_the_slot_formula(section, can_data):
    """Drop along the outer annulus, all oil going in evenly: 12 mu q L/(2 w h^3) (plane slot, textbook).

    The gap is 5 mm on a mean radius of 34.5 mm, so the plane form holds within about a per cent; the solver's
    grid adds one per cent more.
    """
    element, shell = can_data.element, can_data.shell
    gap = (shell.inner_radius_mm - element.outer_radius_mm) * 1e-3
    width = np.pi * (shell.inner_radius_mm + element.outer_radius_mm) * 1e-3
    k = element.segments
    pressure = section.levels[0].at_dirty @ np.append(np.full(k, 1 / k), 0.0)
    first, last = pressure[0], pressure[-1]
    # between the middles of the end segments the flux falls evenly from (k - 1/2)/k to 1/(2k)
    length = element.height_m * (k - 1) / k
    exact = 12 * length / (width * gap**3) * 0.5
    assert first - last == pytest.approx(exact, rel=0.03)


@pytest.mark.parametrize("fineness", [1.0, 2.0])
def test_the_dirty_chamber_is_that_of_finite_elements(fineness):
    """Drop over mu of an even flow: 2.7278e7 1/m3 (Taylor-Hood on a mesh of its own, 0.05 %; COMPUTED)."""
    assert drops("can-full-flow", fineness)[0] == pytest.approx(2.7278e7, rel=0.01)


def test_medium_resistance_follows_its_data(can_data):
    """Twice the permeability halves the medium's share; half the height doubles the whole (Darcy 1856)."""
    base = 1 / np.sum(1 / pleat_resistances(can_data.element))
    tight = can_data.model_copy(
        update={"element": can_data.element.model_copy(update={"permeability_m2": 1e-13})}
    )
    ratio = 1 / np.sum(1 / pleat_resistances(tight.element)) / base
    assert 85 < ratio < 101
    spec = valve_spec(can_data.valve)
    assert spec.cracking_pa == pytest.approx(14 * 6894.757, rel=1e-6)
    assert replace(spec, seat_d_m=0.012).seat_area_m2 == pytest.approx(np.pi * 0.006**2)
