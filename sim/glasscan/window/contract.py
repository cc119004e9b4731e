"""What the drawing code needs of a filter's section and of an engine: protocols, no code of theirs.

Lengths in metres in the half plane (r outward, z upward), pressures in Pa gauge, velocities in m/s.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from glasscan.rig.records import Event, Snapshot

Array = NDArray[Any]
Floats = NDArray[np.float64]

# Region codes of a section's cells.
NONE, DIRTY, CLEAN, MEDIUM, THROAT = range(5)
# Kinds of carrier.
KINDS = ("dirty", "filtered", "unfiltered")


class Coil(Protocol):
    """A coil spring on the axis; the free end moves with the lift."""

    @property
    def radius_m(self) -> float:
        """Mean coil radius, m."""

    @property
    def wire_m(self) -> float:
        """Wire diameter, m."""

    @property
    def fixed_z_m(self) -> float:
        """Height of the fixed end, m."""

    @property
    def free_z_m(self) -> float:
        """Height of the free end with the valve shut, m."""

    @property
    def coils(self) -> int:
        """Number of coils."""

    @property
    def along_r(self) -> bool:
        """True where it lies along r and its ends are radii; else it stands on the axis."""

    @property
    def at_z_m(self) -> float:
        """Height of a spring that lies along r, m."""


class Part(Protocol):
    """One named part of a filter."""

    @property
    def key(self) -> str:
        """Short word."""

    @property
    def name(self) -> str:
        """Trade name shown to the class."""

    @property
    def about(self) -> str:
        """One sentence: what it does."""

    @property
    def material(self) -> str:
        """Key of the theme's materials."""

    @property
    def outlines(self) -> Sequence[Array]:
        """Closed outlines, each (n, 2) of (r, z), m."""

    @property
    def label_at(self) -> tuple[float, float]:
        """Where a leader line ends, (r, z), m."""

    @property
    def lifts(self) -> bool:
        """True where the part moves with the valve lift."""

    @property
    def direction(self) -> tuple[float, float]:
        """Direction (r, z) in which it moves when the valve opens."""

    @property
    def mirrored(self) -> bool:
        """Drawn on both sides of the axis; else only on the right."""

    @property
    def left_only(self) -> bool:
        """Drawn only on the left."""

    @property
    def ghost(self) -> bool:
        """Stands before or behind the section plane: drawn as an outline only."""

    @property
    def spring(self) -> Coil | None:
        """A coil spring instead of outlines, or None."""


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


class Opening(Protocol):
    """An axial way in or out: plane z, from r0 to r1, m; `inward` +1 where +z enters the filter."""

    @property
    def z(self) -> float:
        """Height of its plane, m."""

    @property
    def r0(self) -> float:
        """Inner radius, m."""

    @property
    def r1(self) -> float:
        """Outer radius, m."""

    @property
    def inward(self) -> int:
        """+1 where upward flow enters, -1 where downward flow does."""


@runtime_checkable
class SideWay(Protocol):
    """A bore in the side of a head, which the (r, z) plane shows as a slot all round.

    It meets the chamber at radius `r` between `z0` and `z1` and ends at `end_r`, m; `side` -1 left, +1 right.
    """

    r: float
    z0: float
    z1: float
    inward: int
    side: int
    end_r: float


class Ways(Protocol):
    """Where oil enters and leaves."""

    @property
    def inlet(self) -> Opening:
        """Way in."""

    @property
    def outlet(self) -> Opening:
        """Way out."""


class Section(Protocol):
    """A filter in axial section."""

    @property
    def layout(self) -> Ways:
        """Ways in and out, among other things."""

    @property
    def parts(self) -> Sequence[Part]:
        """All parts, bottom drawn first."""

    @property
    def r_edges_m(self) -> Array:
        """Cell edges of the frames along r, (nr + 1,), m."""

    @property
    def z_edges_m(self) -> Array:
        """Cell edges of the frames along z, (nz + 1,), m."""

    def frame(self, snapshot: Snapshot, /) -> Frame:
        """The field for a snapshot."""


class Carriers(Protocol):
    """Marks that drift with the oil."""

    @property
    def positions_m(self) -> Array:
        """(n, 2) in (r, z), m."""

    @property
    def kind(self) -> Array:
        """(n,) index into `KINDS`."""

    def step(self, frame: Any, dt_s: float, /) -> None:
        """Drift for `dt_s`."""


class EngineStoppedError(RuntimeError):
    """The model cannot go on; the message says why."""


class Engine(Protocol):
    """The running rig as a session sees it."""

    @property
    def events(self) -> Sequence[Event]:
        """Events so far, in order."""

    @property
    def fluid(self) -> str:
        """Name of the oil in the rig."""

    def snapshot(self) -> Snapshot:
        """The state now."""

    def advance(self, dt_s: float) -> None:
        """Let `dt_s` of model time pass; what was recorded after this moment is forgotten.

        Raises:
            EngineStoppedError: it cannot go on, with the reason in plain words.
        """

    @property
    def known_s(self) -> float:
        """Up to where the run is recorded, s; it can be gone to and fro until then."""

    def seek(self, t_s: float, exactly: bool = True) -> None:
        """Go to the last step at or before a recorded moment, or to a kept state near before it."""

    def set(self, key: str, value: Any) -> None:
        """Change a live control; what was recorded after this moment is forgotten."""
