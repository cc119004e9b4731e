"""The Stokes solver against finite elements (scikit-fem, Taylor-Hood) on one problem: a sudden expansion.

A plane channel of width h opens to twice its width. Both sides assemble, factor and solve from nothing on
squares of the same size, with developed profiles at the ends, and give the channel's resistance: the
dissipation of a unit flow. No textbook has the number to enough digits, so the truth is scikit-fem's own,
extrapolated over three grids (Aitken: the corner makes the order a broken one). The finite elements get the
ordering of unknowns that is quickest for them; at equal error each of their grids meets the coarsest of ours
that is at least as accurate. Pairs are timed one after the other and the middle ratio counts.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial

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
LADDER = (4, 6, 8, 10, 12, 16, 20, 24, 32)  # of ours
ORDERINGS = ("COLAMD", "MMD_AT_PLUS_A", "MMD_ATA")
PAIRS = 5


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


def fem(cells: int, ordering: str = ORDERINGS[0]) -> float:
    """The same by scikit-fem: biquadratic velocity, bilinear pressure on squares."""
    import skfem
    from scipy.sparse import bmat
    from scipy.sparse.linalg import splu
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
    inner, right, full, free = skfem.condense(system, x=known, D=held)
    full[free] = splu(inner.tocsc(), permc_spec=ordering).solve(right)
    u = full[: velocity.N]
    return float(u @ (viscous @ u))


def _profiles(place: np.ndarray) -> np.ndarray:
    """Developed profiles of a unit flow towards greater y, each where it belongs."""
    width = np.where(place[1] < LENGTH, H, 2 * H)
    return np.array([0.0 * place[0], 6.0 * place[0] * (width - place[0]) / width**3])


def _seconds(work: Callable[[], float]) -> float:
    """Processor time of one call, s."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def measure() -> list[Row]:
    """Times at equal squares and at equal error; one line where scikit-fem is not installed."""
    try:
        coarse, middle, fine = (fem(cells) for cells in (CELLS // 2, CELLS, 2 * CELLS))
    except ModuleNotFoundError:
        none = float("nan")
        ours(CELLS)
        mine = _seconds(lambda: ours(CELLS))
        return [Row(f"{NAME}: equal squares", mine, "scikit-fem: not installed", none, none, ">= 1")]
    truth = fine - (fine - middle) ** 2 / (fine - 2 * middle + coarse)
    ordering = min(ORDERINGS, key=lambda o: min(_seconds(partial(fem, CELLS, o)) for _ in range(2)))
    rows = [_row("equal squares", CELLS, CELLS, truth, ordering)]
    for cells in (CELLS // 2, CELLS):
        error = abs(fem(cells) / truth - 1)
        enough = next((n for n in LADDER if abs(ours(n) / truth - 1) <= error), LADDER[-1])
        rows.append(_row(f"equal error, their {cells} cells", enough, cells, truth, ordering))
    return rows


def _row(how: str, mine: int, theirs: int, truth: float, ordering: str) -> Row:
    """One line: the middle pair of several, by ratio, with the spread of the ratios."""
    pairs = [(_seconds(partial(ours, mine)), _seconds(partial(fem, theirs, ordering))) for _ in range(PAIRS)]
    ratios = sorted(them / us for us, them in pairs)
    us, them = sorted(pairs, key=lambda pair: pair[1] / pair[0])[PAIRS // 2]
    errors = f"errors {abs(ours(mine) / truth - 1):.1e}, {abs(fem(theirs) / truth - 1):.1e}"
    words = f"scikit-fem, {ordering} ({errors}; ratios {ratios[0]:.2g} to {ratios[-1]:.2g})"
    return Row(f"{NAME}: {how}", us, words, them, them / us, ">= 1.5")


if __name__ == "__main__":
    for row in measure():
        print(row)
