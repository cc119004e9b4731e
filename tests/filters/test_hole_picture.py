"""Oil through a hole in the element is drawn: right flux, right place, unfiltered, and every cell keeps its
volume."""

from types import SimpleNamespace

import numpy as np
import pytest
from glasscan.filters.carriers import FILTERED_OIL, UNFILTERED_OIL, Carriers
from glasscan.filters.hole_picture import unfiltered_share
from glasscan.filters.section import CLEAN, DIRTY, NO_OIL, THROAT
from glasscan.flow.faces import FaceNumbers, divergence, whole_measures
from glasscan.flow.grid import openings

SEGMENT = 4


@pytest.fixture
def torn():
    """A quarter of the oil goes through a hole beside the fifth segment."""
    return SimpleNamespace(
        inlet_pa=4.5e5, outlet_pa=4.0e5, mu_pa_s=0.08, rho_kg_m3=870.0, segment_m3s=np.full(12, 1.5e-4 / 12),
        bypass_m3s=0.0, lift_m=0.0, readings={"hole_m3s": 5e-5, "hole_segment": float(SEGMENT)},
    )  # fmt: skip


def test_the_inlet_carries_the_oil_of_the_hole_too(section, torn):
    """The flux drawn through the inlet is all that goes through the filter."""
    frame, port = section.frame(torn), section.inlet_port()
    flux = frame.face_velocity.astype(float) * whole_measures(section.grid)
    assert 2 * np.pi * flux[port.faces].sum() == pytest.approx(2e-4, rel=1e-5)


def test_the_row_of_the_hole_carries_its_oil_and_no_other(section, torn):
    """Between the faces of the element one row has the code of a throat, and just the hole's flow."""
    frame, grid = section.frame(torn), section.grid
    flux = frame.face_velocity.astype(float) * whole_measures(grid)
    middle = int(np.argmin(abs(grid.x - (section.layout.r_clean + section.layout.r_dirty) / 2)))
    rows = np.flatnonzero(frame.region[:, middle] == THROAT)
    z0, z1 = section.layout.bands[SEGMENT]
    assert len(rows) == 1
    assert z0 < grid.yc[rows[0]] < z1
    through = -2 * np.pi * flux[FaceNumbers(grid).across_x(middle, rows)]
    assert through == pytest.approx([5e-5], rel=1e-5)


def test_every_cell_keeps_its_volume(section, torn):
    """The gathering and spreading in the skin of the element is free of divergence."""
    frame, grid = section.frame(torn), section.grid
    flux = frame.face_velocity.astype(float) * section.open_share(frame)
    div_x, div_y = divergence(openings(grid, section.layout.dirty), whole_measures(grid))
    balance = ((div_x + div_y) @ flux).reshape(grid.shape)
    assert np.abs(balance[frame.region.T != NO_OIL]).max() < 2e-5 * 2e-4 / (2 * np.pi)


def test_carriers_leave_unfiltered_in_the_share_of_the_caption(section, torn):
    """Points that have passed the element: a quarter of them unfiltered, as the caption says."""
    carriers, frame = Carriers(section, 3000, seed=3), section.frame(torn)
    for _ in range(220):
        carriers.step(frame, 0.05)
    left = carriers.left
    share = left[UNFILTERED_OIL] / (left[FILTERED_OIL] + left[UNFILTERED_OIL])
    assert unfiltered_share(torn) == pytest.approx(0.25)
    assert share == pytest.approx(0.25, abs=0.03)


def test_a_sound_element_is_drawn_as_before(section, torn):
    """Without a hole no code and no velocity changes."""
    torn.readings = {}
    frame = section.frame(torn)
    assert {DIRTY, CLEAN} <= set(np.unique(frame.region))
    assert np.array_equal(frame.region.T, section.levels[0].region)
