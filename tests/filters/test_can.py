"""The screw-on can: what its section must agree with."""

from dataclasses import replace

import numpy as np
import pytest
from glasscan.filters.can import geometry
from glasscan.filters.network_building import pleat_resistances, valve_spec


def test_a_wider_open_valve_resists_less(section):
    """Seen from the curtain, the clean chamber resists less at every larger lift."""
    curtain = section.network.clean[:, -1, -1]
    assert np.all(np.diff(curtain) < 0)


def test_annulus_drop_agrees_with_the_slot_formula(section, can_data):
    """Drop along the outer annulus, all oil going in evenly: 12 mu q L/(2 w h^3) (plane slot, textbook).

    The gap is 5 mm on a mean radius of 34.5 mm, so the plane form holds within about a per cent; the solver's
    grid adds one per cent more.
    """
    element, shell = can_data.element, can_data.shell
    gap = (shell.inner_radius_mm - element.outer_radius_mm) * 1e-3
    width = np.pi * (shell.inner_radius_mm + element.outer_radius_mm) * 1e-3
    k = element.segments
    flows = np.array([1.0, *[-1 / k] * k, 0.0])
    pressure = section.network.dirty @ flows
    first, last = pressure[1], pressure[k]
    # between the middles of the end segments the flux falls evenly from (k - 1/2)/k to 1/(2k)
    length = element.height_m * (k - 1) / k
    exact = 12 * length / (width * gap**3) * 0.5
    assert first - last == pytest.approx(exact, rel=0.03)


def test_halving_the_cells_moves_the_drop_by_little(can_data):
    """A finer grid changes the dirty-side drop by less than 5 %, towards a limit (grid refinement study)."""
    k = can_data.element.segments
    flows = np.array([1.0, *[-1 / k] * k, 0.0])
    drop = []
    for fineness in (0.7, 1.0, 1.5):
        network = geometry.build(can_data, fineness=fineness).network
        drop.append(-(network.dirty @ flows) @ flows * -1)
    assert abs(drop[1] / drop[2] - 1) < 0.05
    assert abs(drop[1] / drop[2] - 1) < abs(drop[0] / drop[2] - 1)


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
