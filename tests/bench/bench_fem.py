"""The Stokes solver against finite elements (scikit-fem, Taylor-Hood) on one problem: a sudden expansion.

A plane channel of width h opens to twice its width. Both sides assemble, factor and solve from nothing on
squares of the same size, with developed profiles at the ends, and give the channel's resistance: the
dissipation of a unit flow. No textbook has the number to enough digits, so the truth is scikit-fem's own,
extrapolated over three grids (Aitken: the corner makes the order a broken one).
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
from glasscan.flow.basis import solve_basis
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Grid, openings
from glasscan.flow.shapes import box, cut
from glasscan.flow.stokes import Chamber

from tests.bench.table import Row

NAME = "sudden expansion, from nothing"
H, LENGTH = 1.0, 2.0  # narrow width and length of each half; the flow is linear, so the scale does not matter
CELLS = 16  # across the narrow half


def ours(cells: int) -> float:
    """Resistance over viscosity, 1/m2 per unit depth, by the cut-cell solver."""
    grid = Grid.uniform(2 * cells, round(2 * LENGTH / H) * cells, 2 * H, 2 * LENGTH)
    region = cut(box(0.0, 2 * H, 0.0, 2 * LENGTH), box(H, 3 * H, -1.0, LENGTH))
    wide, narrow = np.arange(2 * cells), np.arange(cells)
    ports = (_port(grid, "out", wide, grid.shape[1], -1, 2 * H), _port(grid, "in", narrow, 0, 1, H))
    return float(solve_basis(Chamber(openings(grid, region), ports)).matrix[1, 1])


def _port(grid: Grid, name: str, i: np.ndarray, line: int, inward: int, width: float) -> Port:
    x = grid.xc[i]
    share = x * (width - x) * np.diff(grid.x)[i]
    faces = FaceNumbers(grid).across_y(i, line)
    return Port(name, faces, share / share.sum(), np.full(len(i), float(inward)), developed=True)


def fem(cells: int) -> float:
    """The same by scikit-fem: biquadratic velocity, bilinear pressure on squares."""
    import skfem
    from scipy.sparse import bmat
    from skfem.helpers import ddot, div, sym_grad

    x, y = np.linspace(0, 2 * H, 2 * cells + 1), np.linspace(0, 2 * LENGTH, round(2 * LENGTH / H) * cells + 1)
    whole = skfem.MeshQuad.init_tensor(x, y)
    mesh = whole.remove_elements(whole.elements_satisfying(lambda p: (p[0] > H) & (p[1] < LENGTH)))
    velocity = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()), intorder=4)
    pressure = velocity.with_element(skfem.ElementQuad1())
    viscous = skfem.BilinearForm(lambda u, v, _: 2.0 * ddot(sym_grad(u), sym_grad(v))).assemble(velocity)
    flux = skfem.BilinearForm(lambda u, q, _: div(u) * q).assemble(velocity, pressure)
    system = bmat([[viscous, -flux.T], [-flux, None]], "csr")
    edge = velocity.get_dofs(mesh.boundary_facets()).all()
    known = np.zeros(system.shape[0])
    known[: velocity.N] = velocity.project(_profiles)  # exact at the ends: the profiles are of second degree
    inside = (velocity.doflocs[1] > 0) & (velocity.doflocs[1] < 2 * LENGTH)
    known[: velocity.N][inside] = 0.0
    held = np.concatenate([edge, [velocity.N]])  # one pressure is free to choose
    u = skfem.solve(*skfem.condense(system, x=known, D=held))[: velocity.N]
    return float(u @ (viscous @ u))


def _profiles(place: np.ndarray) -> np.ndarray:
    """Developed profiles of a unit flow towards greater y, each where it belongs."""
    width = np.where(place[1] < LENGTH, H, 2 * H)
    return np.array([0.0 * place[0], 6.0 * place[0] * (width - place[0]) / width**3])


def _timed(work: Callable[[int], float], cells: int) -> tuple[float, float]:
    """Answer and processor time, s, of the better of two goes: the first may load libraries."""
    times = []
    for _ in range(2):
        begun = time.process_time()
        answer = work(cells)
        times.append(time.process_time() - begun)
    return answer, min(times)


def measure() -> list[Row]:
    """Times at equal squares and at errors much alike; one line where scikit-fem is not installed."""
    mine, mine_like = _timed(ours, CELLS), _timed(ours, 3 * CELLS // 4)
    try:
        coarse, middle, fine = (_timed(fem, cells) for cells in (CELLS // 2, CELLS, 2 * CELLS))
    except ModuleNotFoundError:
        none = float("nan")
        return [Row(f"{NAME}: equal squares", mine[1], "scikit-fem: not installed", none, none, ">= 1")]
    truth = fine[0] - (fine[0] - middle[0]) ** 2 / (fine[0] - 2 * middle[0] + coarse[0])
    rows = (("equal squares", mine, middle), ("errors much alike", mine_like, coarse))
    return [_row(how, us, them, truth) for how, us, them in rows]


def _row(how: str, us: tuple[float, float], them: tuple[float, float], truth: float) -> Row:
    errors = f"errors {abs(us[0] / truth - 1):.1e}, {abs(them[0] / truth - 1):.1e}"
    return Row(f"{NAME}: {how}", us[1], f"scikit-fem ({errors})", them[1], them[1] / us[1], ">= 1.5")
