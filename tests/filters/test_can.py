"""The section of the screw-on can: port matrices, composed fields, and what they must agree with."""

from dataclasses import replace

import numpy as np
import pytest

from sim.filters import can
from sim.filters.section import CLEAN, DIRTY, MEDIUM, NO_OIL, THROAT
from sim.physics.stokes import FaceNumbers, divergence, whole_measures


def test_both_chambers_obey_the_reciprocal_theorem(section):
    """Port matrices are symmetric to rounding and positive (Lorentz 1896)."""
    for matrix in (section.network.dirty, *section.network.clean):
        assert np.abs(matrix - matrix.T).max() < 1e-9 * np.abs(matrix).max()
        assert np.linalg.eigvalsh(matrix[1:, 1:]).min() > 0


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


def test_field_and_network_agree_to_rounding(section, moment):
    """The pressure of the drawn dirty field at its ports is the pressure the plant computes (1e-9)."""
    q = np.concatenate([-moment.segment_m3s, [-moment.bypass_m3s]]) / (2 * np.pi)
    velocity, pressure = section.dirty.fields(np.concatenate([[-q.sum()], q]))
    flow = type("F", (), {"velocity": velocity, "pressure": pressure})
    stress = section.dirty.chamber.port_pressures(flow) * moment.mu_pa_s
    dirty, _ = section.port_pressures(moment)
    assert np.abs((stress - stress[0]) - (dirty - dirty[0])).max() < 1e-9 * np.ptp(dirty)


@pytest.mark.parametrize("lift_mm", [0.0, 0.3, 0.8, 1.2, 1.5, 4.0])
def test_composed_flow_is_free_of_divergence(section, moment, lift_mm):
    """Every cell of chambers, medium and throat keeps its volume to float32 rounding."""
    moment.lift_m = lift_mm * 1e-3
    frame = section.frame(moment)
    grid = section.grid
    flux = frame.face_velocity.astype(float) * section.open_share(frame)
    div_x, div_y = divergence(section.dirty.chamber.open, whole_measures(grid))
    balance = ((div_x + div_y) @ flux).reshape(grid.shape)
    through = (moment.segment_m3s.sum() + moment.bypass_m3s) / (2 * np.pi)
    assert np.abs(balance[frame.region.T != NO_OIL]).max() < 2e-5 * through


def test_flow_through_port_planes_is_what_was_asked(section, moment):
    """The flux through the dirty face of each segment, summed from the field, is the plant's flow."""
    frame = section.frame(moment)
    grid, numbers = section.grid, FaceNumbers(section.grid)
    flux = frame.face_velocity.astype(float) * whole_measures(grid)
    line = int(np.argmin(np.abs(grid.x - section.layout.r_dirty)))
    for q, (z0, z1) in zip(moment.segment_m3s, section.layout.bands, strict=True):
        rows = np.flatnonzero((grid.yc > z0) & (grid.yc < z1))
        assert -2 * np.pi * flux[numbers.across_x(line, rows)].sum() == pytest.approx(q, rel=1e-5)


def test_pressure_falls_from_dirty_to_clean(section, moment):
    """Pressures lie between inlet and outlet; the medium's lie between those of its two faces."""
    frame = section.frame(moment)
    mean = {
        code: np.nanmean(frame.pressure_pa[frame.region == code]) for code in (DIRTY, MEDIUM, CLEAN, THROAT)
    }
    assert moment.inlet_pa > mean[DIRTY] > mean[MEDIUM] > mean[CLEAN] > moment.outlet_pa
    assert mean[DIRTY] > mean[THROAT] > mean[CLEAN]
    assert np.all(np.isnan(frame.pressure_pa) == (frame.region == NO_OIL))


def test_parts_lie_where_there_is_no_oil(section):
    """The middle of every solid steel or rubber outline is not oil (the drawing and the solver agree)."""
    for part in section.parts:
        if part.material not in ("steel", "rubber") or part.lifts or part.key in ("seal", "shell"):
            continue
        for outline in part.outlines:
            r, z = outline.mean(axis=0)
            if r < section.grid.x[-1]:
                assert not section.in_oil(np.array([[r, z]]))[0], part.key


def test_halving_the_cells_moves_the_drop_by_little(can_data):
    """A finer grid changes the dirty-side drop by less than 5 %, towards a limit (grid refinement study)."""
    k = can_data.element.segments
    flows = np.array([1.0, *[-1 / k] * k, 0.0])
    drop = []
    for fineness in (0.7, 1.0, 2.0):
        network = can.build(can_data, fineness=fineness).network
        drop.append(-(network.dirty @ flows) @ flows * -1)
    assert abs(drop[1] / drop[2] - 1) < 0.05
    assert abs(drop[1] / drop[2] - 1) < abs(drop[0] / drop[2] - 1)


def test_medium_resistance_follows_its_data(can_data):
    """Twice the permeability halves the medium's share; half the height doubles the whole (Darcy 1856)."""
    base = 1 / np.sum(1 / can.segment_resistances(can_data))
    tight = can_data.model_copy(
        update={"element": can_data.element.model_copy(update={"permeability_m2": 1e-13})}
    )
    ratio = 1 / np.sum(1 / can.segment_resistances(tight)) / base
    assert 85 < ratio < 101
    spec = can.valve_spec(can_data.valve)
    assert spec.cracking_pa == pytest.approx(14 * 6894.757, rel=1e-6)
    assert replace(spec, seat_d_m=0.012).seat_area_m2 == pytest.approx(np.pi * 0.006**2)
