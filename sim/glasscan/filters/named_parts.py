"""Named parts of a filter as outlines in the (r, z) half plane, for drawing and for pointing at."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Outline = NDArray[np.float64]


@dataclass(frozen=True)
class Spring:
    """A coil spring: coil radius, wire, fixed end and free end (which moves with the lift), m.

    Attributes:
        along_r: the spring lies along r at height `at_z_m`, its ends are radii; else it stands on the axis.
    """

    radius_m: float
    wire_m: float
    fixed_z_m: float
    free_z_m: float
    coils: int
    along_r: bool = False
    at_z_m: float = 0.0


@dataclass(frozen=True)
class Part:
    """One part of a filter.

    Attributes:
        key: short word, e.g. "valve-poppet".
        name: what the trade calls it.
        about: one sentence: what it does.
        material: "steel", "medium", "rubber", "spring", "core" (perforated tube), "cast" (aluminium head).
        outlines: closed polygons, each (n, 2) of (r, z) in m, r >= 0; mirrored by whoever draws.
        label_at: (r, z) where a leader line should end, m.
        lifts: the part moves with the valve lift.
        spring: a coil spring instead of outlines.
        direction: (r, z) direction in which it moves when the valve opens.
        mirrored: drawn on both sides of the axis; False = only on the right.
        left_only: drawn only on the left: what closes the ring of the (r, z) plane on the side with no hole.
        ghost: stands before or behind the section plane: drawn as an outline only.
    """

    key: str
    name: str
    about: str
    material: str
    outlines: tuple[Outline, ...]
    label_at: tuple[float, float]
    lifts: bool = False
    spring: Spring | None = None
    direction: tuple[float, float] = (0.0, -1.0)
    mirrored: bool = True
    ghost: bool = False
    left_only: bool = False


def block(r0: float, r1: float, z0: float, z1: float) -> Outline:
    """Rectangle in the (r, z) half plane, m."""
    return np.array([(r0, z0), (r1, z0), (r1, z1), (r0, z1)])
