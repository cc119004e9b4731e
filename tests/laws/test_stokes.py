"""The flow solver against exact creeping flows, the reciprocal theorem and direct solution."""

import numpy as np
import pytest
import scipy.sparse as sp
from glasscan.flow.basis import solve_basis
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Grid, openings
from glasscan.flow.shapes import below, box, common, cut, disc
from glasscan.flow.stokes import Chamber
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse.linalg import spsolve

from tests.laws.exact_flows import ALL


@pytest.mark.parametrize("case", ALL.values(), ids=ALL)
def test_the_error_falls_at_second_order(case):
    """Halving the cells divides the error by about four on every exact solution (order 1.75 or more)."""
    coarse, fine = abs(case(16)), abs(case(32))
    assert fine < 0.025
    assert np.log2(coarse / fine) > 1.75


# Sangani & Acrivos 1982 (Int. J. Multiphase Flow 8, 193), Table 1, F/(mu U): FOUND in public test-case texts.
SANGANI_ACRIVOS = {0.05: 15.56, 0.1: 24.83, 0.2: 51.53, 0.3: 102.90, 0.4: 217.89, 0.5: 532.55}


@pytest.mark.parametrize(("solid", "drag"), SANGANI_ACRIVOS.items())
def test_drag_of_the_square_array_of_cylinders(solid, drag):
    """Within 2 % of the published drag at 128 cells, within 0.5 % extrapolated from 64 and 128."""
    from glasscan.flow.model_problems import cylinder_array_drag

    fine, coarse = cylinder_array_drag(solid, 128), cylinder_array_drag(solid, 64)
    assert fine == pytest.approx(drag, rel=0.02)
    assert fine + (fine - coarse) / 3 == pytest.approx(drag, rel=0.005)


def _bent_chamber(cells=24, tilt=0.35, bubble=0.2, axisymmetric=True):
    """A chamber with a slanting wall, a round island and three ports on its floor."""
    grid = Grid.uniform(cells, 2 * cells, 1.0, 2.0, axisymmetric=axisymmetric)
    roof = below(1.0, 1.9, 0.0, 1.9 - tilt)
    region = cut(common(box(-1.0, 0.97, 0.0, 5.0), lambda x, y: -roof(x, y)), disc(0.45, 0.9, bubble))
    numbers = FaceNumbers(grid)
    ports = []
    for name, share0, share1 in (("a", 0.05, 0.3), ("b", 0.4, 0.6), ("c", 0.65, 0.95)):
        i = np.arange(round(share0 * cells), round(share1 * cells))
        share = grid.xc[i] / grid.xc[i].sum() if axisymmetric else np.full(len(i), 1 / len(i))
        ports.append(Port(name, numbers.across_y(i, 0), share, np.ones(len(i))))
    return Chamber(openings(grid, region), tuple(ports))


@settings(max_examples=12, deadline=None)
@given(st.floats(0.0, 0.6), st.floats(0.05, 0.3), st.booleans())
def test_port_resistances_are_symmetric_and_dissipate(tilt, bubble, axisymmetric):
    """The reciprocal theorem (Lorentz 1896) makes the port matrix symmetric; its eigenvalues are positive."""
    matrix = solve_basis(_bent_chamber(16, tilt, bubble, axisymmetric)).matrix
    assert np.abs(matrix - matrix.T).max() <= 1e-9 * np.abs(matrix).max()
    assert np.linalg.eigvalsh(matrix[1:, 1:]).min() > 0


def test_superposed_fields_are_a_direct_solution():
    """A sum of basis fields equals a fresh direct solution of the whole system (general-purpose spsolve)."""
    chamber = _bent_chamber()
    basis = solve_basis(chamber)
    flows = np.array([0.3, -1.1, 0.8])
    velocity, pressure = basis.fields(flows)
    fixed = chamber.port_velocity(flows)
    k = chamber._viscous[chamber.free]
    d = chamber.div[chamber.cells]
    system = sp.bmat(
        [[k[:, chamber.free], -d[1:, chamber.free].T], [-d[1:, chamber.free], None]], format="csc"
    )
    answer = spsolve(system, np.concatenate([-(k @ fixed), (d @ fixed)[1:]]))
    direct = fixed.copy()
    direct[chamber.free] = answer[: len(chamber.free)]
    assert np.abs(velocity - direct).max() < 1e-10 * np.abs(direct).max()
    solved = pressure[chamber.cells] - pressure[chamber.cells[0]]
    expected = np.concatenate([[0.0], answer[len(chamber.free) :]])
    assert np.abs(solved - expected).max() < 2e-9 * np.abs(expected).max()  # two factorisations of one matrix


def test_a_solved_chamber_lets_its_factors_go_and_finds_them_again():
    """Most of its memory goes with them; a later solution is the same to the last bit."""
    chamber = _bent_chamber()
    velocity = chamber.port_velocity(np.array([1.0, -1.0] + [0.0] * (len(chamber.ports) - 2)))
    before = chamber.solve(velocity)
    solve_basis(chamber)
    assert not [name for name, value in vars(chamber).items() if type(value).__name__ == "SuperLU"]
    assert np.array_equal(chamber.solve(velocity).velocity, before.velocity)


def test_every_cell_keeps_its_volume():
    """The flux balance of each cell closes to 1e-12 of the flux through the chamber."""
    chamber = _bent_chamber()
    velocity, _ = solve_basis(chamber).fields(np.array([1.0, -0.4, -0.6]))
    assert np.abs((chamber.div @ velocity)[chamber.cells]).max() < 1e-12


def test_the_power_of_the_ports_is_the_dissipation():
    """Power put in at the ports equals the viscous dissipation of the field (energy balance)."""
    chamber = _bent_chamber()
    basis = solve_basis(chamber)
    flows = np.array([1.0, -0.4, -0.6])
    velocity, _ = basis.fields(flows)
    dissipation = velocity @ (chamber._viscous @ velocity)
    assert flows @ basis.matrix @ flows == pytest.approx(dissipation, rel=1e-10)


def test_a_port_without_fluid_is_refused():
    """A port that lies in the wall is refused with its name."""
    grid = Grid.uniform(8, 8, 1.0, 1.0)
    numbers = FaceNumbers(grid)
    one = np.ones(1)
    ports = tuple(Port(n, numbers.across_y(np.array([i]), 0), one, one) for n, i in (("in", 1), ("lost", 7)))
    with pytest.raises(ValueError, match="lost"):
        Chamber(openings(grid, box(0.0, 0.5, 0.0, 1.0)), ports)


def test_open_areas_are_second_order():
    """The open area of a disc cut from a square converges to pi R^2 at second order."""
    errors = []
    for n in (20, 40):
        grid = Grid.uniform(n, n, 1.0, 1.0)
        errors.append(abs(openings(grid, disc(0.52, 0.47, 0.31)).area.sum() - np.pi * 0.31**2))
    assert errors[1] < 5e-4
    assert np.log2(errors[0] / errors[1]) > 1.7
