"""The points that make oil visible: they never cross a wall, and their kind tells their way."""

import numpy as np
import pytest
from glasscan.filters.carriers import DIRTY_OIL, FILTERED_OIL, UNFILTERED_OIL, Carriers
from glasscan.filters.section import CLEAN


def test_a_million_steps_and_none_through_a_wall(any_section, any_moment):
    """1,250 points for 800 steps (a million), at several lifts and flows: every one stays in oil."""
    section, moment = any_section, any_moment
    segments = section.network.segments
    carriers = Carriers(section, 1250, seed=3)
    random = np.random.default_rng(1)
    for turn in range(16):
        moment.lift_m = float(random.uniform(0, 1.5e-3))
        moment.segment_m3s = random.uniform(-1.2e-4, 6e-4, segments) / segments
        moment.bypass_m3s = float(random.uniform(0, 2e-4))
        frame = section.frame(moment)
        for _ in range(50):
            carriers.step(frame, 2e-3)
            assert section.in_oil(carriers.positions_m, moment.lift_m).all(), turn


def test_no_unfiltered_oil_while_the_valve_is_shut(section, moment):
    """With no flow through the valve, no point in the clean side is marked unfiltered."""
    moment.bypass_m3s, moment.lift_m = 0.0, 0.0
    carriers, frame = Carriers(section, 800, seed=1), section.frame(moment)
    for _ in range(150):
        carriers.step(frame, 1e-2)
    assert not np.any(carriers.kind == UNFILTERED_OIL)
    assert np.any(carriers.kind == FILTERED_OIL)


def test_the_share_of_unfiltered_points_is_the_share_of_the_flow(section, moment):
    """Of the points that leave by the outlet, the unfiltered share is the valve's share of the flow.

    Points enter evenly over the flux, so the share at the outlet must match (conservation), within the
    scatter of a few thousand points, once those that started elsewhere are gone.
    """
    moment.segment_m3s, moment.bypass_m3s, moment.lift_m = np.full(12, 1e-5), 6e-5, 3e-3
    carriers, frame = Carriers(section, 1500, seed=2), section.frame(moment)
    left = np.zeros(3)
    for step in range(350):
        before = carriers.kind.copy()
        old_age = carriers.age_s.copy()
        carriers.step(frame, 2e-2)
        gone = carriers.age_s < old_age
        if step > 150:
            left += np.bincount(before[gone], minlength=3)
    share = left[UNFILTERED_OIL] / left[[FILTERED_OIL, UNFILTERED_OIL]].sum()
    assert left.sum() > 1000
    assert abs(share - 1 / 3) < 0.05


def test_points_keep_still_without_flow(section, moment):
    """No flow, no motion."""
    moment.segment_m3s, moment.bypass_m3s, moment.lift_m = np.zeros(12), 0.0, 0.0
    carriers = Carriers(section, 100, seed=1)
    before = carriers.positions_m.copy()
    carriers.step(section.frame(moment), 1.0)
    assert np.array_equal(before, carriers.positions_m)


def test_same_seed_same_places(section, moment):
    """Two sets with one seed move alike to the last bit."""
    frame = section.frame(moment)
    sets = [Carriers(section, 300, seed=9) for _ in range(2)]
    for carriers in sets:
        for _ in range(20):
            carriers.step(frame, 1e-2)
    assert np.array_equal(sets[0].positions_m, sets[1].positions_m)


def test_points_start_spread_over_all_the_oil(section):
    """Dirty side, medium and clean side all have points at the start."""
    carriers = Carriers(section, 2000, seed=5)
    cells = carriers._flat_cells(carriers.positions_m.T)
    assert np.any(section.region(0.0).ravel()[cells] == CLEAN)
    assert {DIRTY_OIL, FILTERED_OIL} <= set(carriers.kind.tolist())


def test_points_enter_with_the_flow(section):
    """Places at the inlet follow the flux of a developed annulus: few at its walls, most in its middle."""
    carriers = Carriers(section, 4000, fed=False)
    carriers.release(4000)
    port, way = section.inlet_port(), section.layout.inlet
    edges = section.grid.x[(section.grid.x > way.r0 - 1e-9) & (section.grid.x < way.r1 + 1e-9)]
    found = np.histogram(carriers.positions_m[:, 0], edges)[0] / 4000
    assert found == pytest.approx(port.share / port.share.sum(), abs=0.01)
    even = np.diff(edges**2) / (edges[-1] ** 2 - edges[0] ** 2)
    assert np.abs(found - even).max() > 0.04
