"""The bodies as arrays: what stays the same about each of them, and where each is."""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.debris_data import Material
from glasscan.debris.piece_shapes import Piece

Floats = NDArray[np.float64]
COLUMNS = ("sphere_m", "density_kg_m3", "mass_kg", "factor", "reach_m", "corners", "left")


@dataclass(frozen=True)
class Member:
    """One body: its number in order of entry, kind, piece and material."""

    number: int
    kind: str
    piece: Piece
    material: Material

    @property
    def is_left(self) -> bool:
        """Seen in the left half of the section: every other one."""
        return self.number % 2 == 0


class Crowd:
    """Bodies in order of entry, with the arrays that the forces need.

    Attributes:
        members: one record for each body.
        sphere_m, density_kg_m3, mass_kg, factor, reach_m: (n,) see `Piece`.
        corners: (n, k, 2) outlines about the middle; those with fewer corners repeat their last one, m.
        left: (n,) seen in the left half of the section.
    """

    def __init__(self, members: tuple[Member, ...]) -> None:
        self.members = members
        self.sphere_m = _column(m.piece.sphere_m for m in members)
        self.density_kg_m3 = _column(m.material.density_kg_m3 for m in members)
        self.mass_kg = self.density_kg_m3 * np.pi * self.sphere_m**3 / 6
        self.factor = _column(m.piece.factor for m in members)
        self.reach_m = _column(m.piece.reach_m for m in members)
        self.corners = _padded([m.piece.outline for m in members])
        self.left = np.array([m.is_left for m in members], dtype=np.bool_)

    def __len__(self) -> int:
        return len(self.members)

    def kept(self, keep: NDArray[np.bool_]) -> Crowd:
        """The bodies where `keep` is true."""
        left = copy(self)
        left.members = tuple(m for m, stays in zip(self.members, keep, strict=True) if stays)
        for name in COLUMNS:
            setattr(left, name, getattr(self, name)[keep])
        return left


@dataclass(frozen=True)
class Motion:
    """Where bodies are and how they move, SI units: (n, 2), (n,), (n, 2), (n,) in (r, z).

    Angles in rad and turning in rad/s, counter-clockwise with r to the right and z up.
    """

    at_m: Floats
    angle: Floats
    velocity_m_s: Floats
    turning: Floats

    def kept(self, keep: NDArray[np.bool_]) -> Motion:
        """The rows where `keep` is true."""
        return Motion(*(getattr(self, f.name)[keep] for f in fields(self)))

    def joined(self, other: Motion) -> Motion:
        """These rows and then those of another."""
        return Motion(
            *(np.concatenate([getattr(self, f.name), getattr(other, f.name)]) for f in fields(self))
        )

    def mirrored(self, sides: Floats) -> Motion:
        """Rows mirrored at the axis where the first of the factors (n, 2) is -1."""
        sign = sides[:, 0]
        return Motion(self.at_m * sides, self.angle * sign, self.velocity_m_s * sides, self.turning * sign)

    @classmethod
    def at_rest(cls, at_m: Floats, angle: Floats) -> Motion:
        """Bodies that stand still."""
        return cls(at_m, angle, np.zeros_like(at_m), np.zeros(len(angle)))


def placed(outline: Floats, at_m: Floats, angle: float) -> Floats:
    """Corners (n, 2) of a body turned by an angle, rad, and moved to a point (2,), m."""
    c, s = np.cos(angle), np.sin(angle)
    return np.asarray(outline @ np.array([[c, s], [-s, c]]) + at_m)


def placed_all(outlines: Floats, at_m: Floats, angles: Floats) -> Floats:
    """Corners (n, k, 2) of bodies turned by angles (n,), rad, and moved to points (n, 2), m."""
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    x, y = outlines[..., 0], outlines[..., 1]
    return np.stack([x * c - y * s, x * s + y * c], axis=-1) + at_m[:, None, :]


def _padded(outlines: list[Floats]) -> Floats:
    most = max(map(len, outlines), default=1)
    rows = [np.vstack([o, np.repeat(o[-1:], most - len(o), axis=0)]) for o in outlines]
    return np.array(rows).reshape(len(outlines), most, 2)


def _column(values: Iterable[float]) -> Floats:
    return np.array(list(values), dtype=float)
