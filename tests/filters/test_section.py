"""The section of every filter: port matrices, composed fields, and what they must agree with."""

import numpy as np
import pytest
from glasscan.filters.section import CLEAN, DIRTY, MEDIUM, NO_OIL, THROAT
from glasscan.flow.faces import FaceNumbers, divergence, whole_measures
from glasscan.flow.grid import openings

# parts outside the grid, hollow on average, or inside the valve passage
OUTSIDE_THE_PLANE = (
    "seal",
    "shell",
    "bowl",
    "valve-seat",
    "gland",
    "cover-bolts",
    "handle",
    "drain",
    "washer",
    "bowl-seal",
)


def test_paths_obey_the_reciprocal_theorem(any_section):
    """The dissipation of segment and valve flows is symmetric and positive at every lift (Lorentz 1896)."""
    table = any_section.network.paths
    for own, cross, valve_r in zip(table.own, table.cross, table.valve_r, strict=True):
        assert np.abs(own - own.T).max() < 1e-9 * np.abs(own).max()
        whole = np.block([[own, cross[:, None]], [cross[None, :], np.array([[min(valve_r, 1e12)]])]])
        assert np.linalg.eigvalsh(whole).min() > 0


def test_drawn_pressures_are_the_networks(any_section, any_moment):
    """Between the faces of every segment lies what its path leaves over: picture and plant agree (1e-9)."""
    table, lift = any_section.network.paths, any_moment.lift_m
    dirty, clean = any_section.port_pressures(any_moment)
    chambers = (dirty[0] - dirty[1:]) + (clean[1:] - clean[0])
    asked = table.between(table.own, lift) @ any_moment.segment_m3s
    asked = asked + table.between(table.cross, lift) * any_moment.bypass_m3s
    assert chambers == pytest.approx(any_moment.mu_pa_s * asked, rel=1e-9)


@pytest.mark.parametrize("lift_mm", [0.0, 0.3, 0.8, 1.2, 1.5, 4.0])
def test_composed_flow_is_free_of_divergence(any_section, any_moment, lift_mm):
    """Every cell of chambers, medium and throat keeps its volume to float32 rounding."""
    any_moment.lift_m = lift_mm * 1e-3
    frame = any_section.frame(any_moment)
    grid = any_section.grid
    flux = frame.face_velocity.astype(float) * any_section.open_share(frame)
    div_x, div_y = divergence(openings(grid, any_section.layout.dirty), whole_measures(grid))
    balance = ((div_x + div_y) @ flux).reshape(grid.shape)
    through = (any_moment.segment_m3s.sum() + any_moment.bypass_m3s) / (2 * np.pi)
    assert np.abs(balance[frame.region.T != NO_OIL]).max() < 2e-5 * through


def test_flow_through_port_planes_is_what_was_asked(any_section, any_moment):
    """The flux through the dirty face of each segment, summed from the field, is the plant's flow."""
    frame = any_section.frame(any_moment)
    grid, numbers = any_section.grid, FaceNumbers(any_section.grid)
    flux = frame.face_velocity.astype(float) * whole_measures(grid)
    line = int(np.argmin(np.abs(grid.x - any_section.layout.r_dirty)))
    for q, (z0, z1) in zip(any_moment.segment_m3s, any_section.layout.bands, strict=True):
        rows = np.flatnonzero((grid.yc > z0) & (grid.yc < z1))
        assert -2 * np.pi * flux[numbers.across_x(line, rows)].sum() == pytest.approx(q, rel=1e-5)


def test_pressure_falls_from_dirty_to_clean(any_section, any_moment):
    """Pressures lie between inlet and outlet; the medium's lie between those of its two faces."""
    frame = any_section.frame(any_moment)
    mean = {
        code: np.nanmean(frame.pressure_pa[frame.region == code]) for code in (DIRTY, MEDIUM, CLEAN, THROAT)
    }
    assert any_moment.inlet_pa > mean[DIRTY] > mean[MEDIUM] > mean[CLEAN] > any_moment.outlet_pa
    assert mean[DIRTY] > mean[THROAT] > mean[CLEAN]
    assert np.all(np.isnan(frame.pressure_pa) == (frame.region == NO_OIL))


def test_parts_lie_where_there_is_no_oil(any_section):
    """The middle of every solid steel or rubber outline is not oil (the drawing and the solver agree)."""
    for part in any_section.parts:
        if (
            part.material not in ("steel", "rubber")
            or part.lifts
            or part.key in OUTSIDE_THE_PLANE
            or part.ghost
        ):
            continue
        for outline in part.outlines:
            r, z = outline.mean(axis=0)
            if r < any_section.grid.x[-1]:
                assert not any_section.in_oil(np.array([[r, z]]))[0], part.key


def test_pressure_in_the_medium_falls_with_the_logarithm_of_the_radius(any_section, any_moment):
    """Radial Darcy flow: p = p2 + (p1 - p2) ln(r/r2)/ln(r1/r2) between a segment's faces (textbook)."""
    frame, layout = any_section.frame(any_moment), any_section.layout
    dirty, clean = any_section.port_pressures(any_moment)
    inside = np.flatnonzero((any_section.grid.xc > layout.r_clean) & (any_section.grid.xc < layout.r_dirty))
    share = np.log(any_section.grid.xc[inside] / layout.r_clean) / np.log(layout.r_dirty / layout.r_clean)
    for k, (z0, z1) in enumerate(layout.bands):
        row = int(np.argmin(np.abs(any_section.grid.yc - (z0 + z1) / 2)))
        exact = clean[k + 1] + (dirty[k + 1] - clean[k + 1]) * share
        assert frame.pressure_pa[row, inside] == pytest.approx(exact, rel=1e-5)
