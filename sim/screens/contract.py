"""What the drawing code needs of a filter's section and of an engine: protocols, no code of theirs.

Lengths in metres in the half plane (r outward, z upward), pressures in Pa gauge, velocities in m/s.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from sim.plant.records import Event, Snapshot

Array = NDArray[Any]
Floats = NDArray[np.float64]

# Region codes of a section's cells.
NONE, DIRTY, CLEAN, MEDIUM, THROAT = range(5)
# Kinds of carrier.
KINDS = ("dirty", "filtered", "unfiltered")


class Part(Protocol):
    """One named part: outline (n, 2) in (r, z), material word, label anchor (r, z), moves with the lift."""

    @property
    def name(self) -> str:
        """Trade name shown to the class."""

    @property
    def outline_m(self) -> Array:
        """Closed outline, (n, 2), m."""

    @property
    def material(self) -> str:
        """Key of the theme's materials."""

    @property
    def anchor_m(self) -> Sequence[float]:
        """Where a leader line ends, (r, z), m."""

    @property
    def moves(self) -> bool:
        """True where the part moves with the valve lift."""


class Grid(Protocol):
    """Cell edges of the picture's grid, m."""

    @property
    def r_edges(self) -> Array:
        """(nr + 1,) rising, m."""

    @property
    def z_edges(self) -> Array:
        """(nz + 1,) rising, m."""


class Frame(Protocol):
    """The field at one moment; every array (nz, nr)."""

    @property
    def pressure_pa(self) -> Array:
        """Pa gauge, NaN outside the oil."""

    @property
    def u_r_m_s(self) -> Array:
        """Radial velocity at cell centres, m/s."""

    @property
    def u_z_m_s(self) -> Array:
        """Axial velocity at cell centres, m/s."""

    @property
    def region(self) -> Array:
        """Region code of every cell."""


class Section(Protocol):
    """A filter in axial section."""

    @property
    def parts(self) -> Sequence[Part]:
        """All parts, bottom drawn first."""

    @property
    def grid(self) -> Grid:
        """Grid of the frames."""

    def frame(self, snapshot: Snapshot) -> Frame:
        """The field for a snapshot."""


class Carriers(Protocol):
    """Marks that drift with the oil."""

    @property
    def positions_m(self) -> Array:
        """(n, 2) in (r, z), m."""

    @property
    def kind(self) -> Array:
        """(n,) index into `KINDS`."""

    def step(self, frame: Any, dt_s: float) -> None:
        """Drift for `dt_s`."""


class Engine(Protocol):
    """The running rig as a session sees it."""

    @property
    def t_s(self) -> float:
        """Model time, s."""

    @property
    def events(self) -> Sequence[Event]:
        """Events so far, in order."""

    def snapshot(self) -> Snapshot:
        """The state now."""

    def advance(self, dt_s: float) -> None:
        """Step until `dt_s` of model time has passed."""

    def rewind(self, t_s: float) -> None:
        """Go back to a moment."""

    def set(self, key: str, value: Any) -> None:
        """Change a live control."""

    def history(self) -> Sequence[Snapshot]:
        """Snapshots so far, for the trace."""
