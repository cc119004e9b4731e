"""Outlines and sizes of bodies, drawn from the range of their kind."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.debris_data import Kind
from glasscan.debris.settling import needle_factor, plate_factor

Floats = NDArray[np.float64]
ROUND_POINTS = 24  # of a drawn sphere
FLAKE_WIDTH = 0.8  # width of a flake, out of the plane, over its longest side; common practice, no source


@dataclass(frozen=True)
class Piece:
    """One body before it is placed.

    Attributes:
        outline: (n, 2) corners about the middle of mass, counter-clockwise, convex, m.
        round: the outline stands for a circle.
        volume_m3: of the real body, with its size out of the plane.
        factor: Stokes drag over that of the sphere of this volume.
    """

    outline: Floats
    round: bool
    volume_m3: float
    factor: float

    @property
    def sphere_m(self) -> float:
        """Diameter of the sphere of the same volume, m."""
        return float((6 * self.volume_m3 / np.pi) ** (1 / 3))

    @property
    def reach_m(self) -> float:
        """Farthest corner from the middle, m."""
        return float(np.hypot(*self.outline.T).max())


def draw_piece(kind: Kind, random: np.random.Generator, size_m: float | None = None) -> Piece:
    """A body of a kind: size even in its logarithm over the range of the kind, or as given.

    Args:
        kind: of debris.
        random: draws size and corners.
        size_m: longest side, m; None draws it.
    """
    low, high = (1e-3 * s for s in kind.size_mm)
    drawn = low * (high / low) ** random.random()
    return _MAKERS[kind.shape](size_m or drawn, kind.thickness_share, random)


def _flake(length: float, share: float, random: np.random.Generator) -> Piece:
    """A plate seen on edge: flat faces, bevelled ends."""
    thick = share * length
    outline = _bevelled(length, thick, 0.15 + 0.15 * random.random())
    volume = _area(outline) * FLAKE_WIDTH * length
    return Piece(outline, False, volume, plate_factor(1 / share))


def _sliver(length: float, share: float, random: np.random.Generator) -> Piece:
    """A needle as thick as wide, with pointed ends."""
    thick = share * length
    outline = _bevelled(length, thick, 0.3 + 0.1 * random.random())
    return Piece(outline, False, _area(outline) * thick, needle_factor(1 / share))


def _chip(size: float, share: float, random: np.random.Generator) -> Piece:
    """A broken-off piece, as thick out of the plane as `share` says."""
    outline = _broken(size, 0.6, 6, random)
    return Piece(outline, False, _area(outline) * share * size, plate_factor(1 / max(share, 0.1)))


def _grain(size: float, share: float, random: np.random.Generator) -> Piece:
    outline = _broken(size, 0.85, 7, random)
    return Piece(outline, False, _area(outline) * share * size, plate_factor(1 / max(share, 0.1)))


def _sphere(size: float, share: float, random: np.random.Generator) -> Piece:  # noqa: ARG001 - one signature
    turn = 2 * np.pi * np.arange(ROUND_POINTS) / ROUND_POINTS
    outline = size / 2 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    return Piece(outline, True, np.pi * size**3 / 6, 1.0)


_MAKERS: dict[str, Callable[[float, float, np.random.Generator], Piece]] = {
    "flake": _flake,
    "cake": _flake,
    "sliver": _sliver,
    "chip": _chip,
    "grain": _grain,
    "sphere": _sphere,
}


def _bevelled(length: float, thick: float, bevel: float) -> Floats:
    """Long hexagon: a rectangle whose ends run to a point over `bevel` of its half length."""
    a, b, c = length / 2, thick / 2, length / 2 * (1 - bevel)
    return np.array([(a, 0.0), (c, b), (-c, b), (-a, 0.0), (-c, -b), (c, -b)])


def _broken(size: float, aspect: float, corners: int, random: np.random.Generator) -> Floats:
    """Convex polygon on an ellipse, corners uneven, its longest side equal to `size`."""
    even = 2 * np.pi * np.arange(corners) / corners
    turn = even + (random.random(corners) - 0.5) * (2 * np.pi / corners) * 0.7
    outline = np.stack([np.cos(turn), aspect * np.sin(turn)], axis=1)
    outline = outline - _middle(outline)
    widest = max(float(np.hypot(*(p - q))) for p in outline for q in outline)
    return np.asarray(outline * (size / widest))


def _cross(outline: Floats) -> Floats:
    after = np.roll(outline, -1, axis=0)
    return np.asarray(outline[:, 0] * after[:, 1] - after[:, 0] * outline[:, 1])


def _area(outline: Floats) -> float:
    """Area of a counter-clockwise polygon, m2."""
    return float(_cross(outline).sum() / 2)


def _middle(outline: Floats) -> Floats:
    """Middle of area of a polygon."""
    cross = _cross(outline)
    both = outline + np.roll(outline, -1, axis=0)
    return np.asarray((both * cross[:, None]).sum(axis=0) / (3 * cross.sum()))
