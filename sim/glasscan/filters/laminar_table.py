"""Steady laminar flow of a section, valve shut, the oil spread evenly over the element, by Reynolds
number.

For each Reynolds number of the outlet it holds what inertia adds to the creeping face velocities; between
two the additions follow a cubic in ln(1 + Re) through the four nearest. An uneven flow is the creeping flow
of its own segments plus the addition of the even one. Velocities only: the losses of inertia at holes and
outlet are the plant's, and counted there once.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.layout import PER_TURN, AxialLayout, Way
from glasscan.filters.levels import posed_at
from glasscan.flow.grid import Floats
from glasscan.flow.inertia import LaminarSolver, NotSteadyError
from glasscan.flow.stokes import Chamber

Floats32 = NDArray[np.float32]
RE_KNOTS = (2.0, 6.0, 14.0, 28.0, 50.0, 85.0, 140.0, 220.0, 340.0, 500.0, 720.0, 1000.0, 1400.0)
CREEPING_RE = 0.5  # of the outlet: below, inertia changes no velocity by a hundredth


@dataclass(frozen=True)
class LaminarTable:
    """Additions to the creeping velocities.

    Attributes:
        re: (N,) rising Reynolds numbers of the outlet; the first is 0.
        added: (N, faces) velocities beyond the creeping ones for 1 m3/s, m/s.
    """

    re: Floats
    added: Floats32

    @property
    def highest_re(self) -> float:
        """Beyond it there is no steady laminar flow in the table."""
        return float(self.re[-1])

    def at(self, re: float) -> Floats32:
        """(faces,) velocities to add for 1 m3/s at a Reynolds number, held beyond the last."""
        x, s = np.log1p(self.re), float(np.log1p(min(max(re, 0.0), self.highest_re)))
        n = len(x)
        j = int(np.clip(np.searchsorted(x, s) - 2, 0, max(n - 4, 0)))
        chosen = slice(j, min(j + 4, n))
        return np.asarray(_lagrange(x[chosen], s) @ self.added[chosen])


def _lagrange(x: Floats, s: float) -> Floats32:
    """Weights of the polynomial through some points."""
    weights = [
        float(np.prod([(s - b) / (a - b) for m, b in enumerate(x) if m != k])) for k, a in enumerate(x)
    ]
    return np.asarray(weights, np.float32)


def outlet_re(way: Way, flow_m3s: float, nu_m2_s: float) -> float:
    """Reynolds number of the outlet on its hydraulic diameter and mean speed."""
    return abs(flow_m3s) / way.area_m2 * way.across_m / nu_m2_s


class ProgramEndsError(RuntimeError):
    """The program ends; nobody waits for the table any more."""


def while_running(_share: float) -> None:
    """Stop a solution beside the window once the program ends.

    A thread that is simply dropped in the middle of a factorisation takes the end of the program with it: its
    output was then not flushed and its exit code wrong.

    Raises:
        ProgramEndsError: the main thread is over.
    """
    if not threading.main_thread().is_alive():
        raise ProgramEndsError


def laminar_table(
    layout: AxialLayout,
    tell: Callable[[float], None] = lambda _share: None,
    knots: tuple[float, ...] = RE_KNOTS,
) -> LaminarTable:
    """Solve the table; `tell` hears the share that is done. It ends where no steady flow is found."""
    k, per_re = len(layout.bands), 1.0 / (PER_TURN * outlet_re(layout.outlet, 1.0, 1.0))
    even = np.append(np.full(k, 1.0 / k), 0.0)
    solvers = [LaminarSolver(chamber, flows @ even) for chamber, flows in posed_at(layout, 0.0)]
    creeping = np.sum([solver.known[0][1].velocity for solver in solvers], axis=0)
    added, reached = [np.zeros(len(creeping))], [0.0]
    for n, re in enumerate(knots):
        try:
            found = np.sum([solver.at(re * per_re).velocity for solver in solvers], axis=0)
        except NotSteadyError:
            break
        added.append(found - creeping)
        reached.append(re)
        if tell is not None:
            tell((n + 1) / len(knots))
    return LaminarTable(np.array(reached), np.asarray(np.array(added) / PER_TURN, np.float32))


def fresh_flow(chamber: Chamber, flows: Floats, strengths: tuple[float, ...]) -> Floats:
    """(faces,) velocity of a steady flow solved by itself, by steps of lambda; for checks."""
    solver = LaminarSolver(chamber, flows)
    return [solver.at(strength) for strength in strengths][-1].velocity
