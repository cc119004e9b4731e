"""Where new bodies go."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.history import Where
from glasscan.debris.scene import Scene
from glasscan.debris.walls import CELL_M, Walls
from glasscan.filters.section import CLEAN, DIRTY

Floats = NDArray[np.float64]
INLET_DEPTH_M = 5e-3  # from the inlet plane: bodies enter within it
BIG_M = 10.0
WORDS = ("inlet", "dirty", "clean")


def box_of(where: Where, scene: Scene) -> tuple[tuple[float, float, float, float], int | None]:
    """Box (r0, r1, z0, z1), m, and kind of place that a word or a box names.

    Raises:
        ValueError: the word is unknown, or the box is not four rising numbers.
    """
    whole = (0.0, BIG_M, -BIG_M, BIG_M)
    if where == "inlet":
        return scene.inlet.box(INLET_DEPTH_M), None
    if where == "dirty":
        return whole, DIRTY
    if where == "clean":
        return whole, CLEAN
    if isinstance(where, str) or len(where) != 4 or not np.isfinite(where).all():
        raise ValueError(
            f"where: expected one of {', '.join(WORDS)}, a point (r, z) or a box (r0, r1, z0, z1) in m, "
            f"found {where!r}"
        )
    r0, r1, z0, z1 = (float(x) for x in where)
    if r0 > r1 or z0 > z1:
        raise ValueError(
            f"where: expected a box (r0, r1, z0, z1) with r0 <= r1 and z0 <= z1, found {where!r}"
        )
    return (r0, r1, z0, z1), None


def choose_spot(
    walls: Walls, where: Where, reach_m: float, taken: Floats, random: np.random.Generator, left: bool
) -> Floats:
    """A place (2,) for a body, clear of walls and the clearest of several draws from others, m.

    Args:
        walls: map of the scene.
        where: a word, a point (r, z) or a box (r0, r1, z0, z1), m.
        reach_m: farthest corner of the body from its middle.
        taken: (m, 2) middles of the bodies that are there.
        random: draws.
        left: the body is seen in the left half of the section.

    Raises:
        ValueError: there is no room for it.
    """
    if not isinstance(where, str) and len(where) == 2 and np.isfinite(where).all():
        return np.array(where, dtype=float)
    box, code = box_of(where, walls.scene)
    spots = walls.spots(box, reach_m, code, left)
    if len(spots) == 0:
        raise ValueError(f"where: no room in {where!r} for a body of {2e3 * reach_m:.2g} mm")
    tries = spots[random.integers(len(spots), size=12)]
    tries = tries + (random.random(tries.shape) - 0.5) * CELL_M
    if len(taken) == 0:
        return np.asarray(tries[0])
    apart = np.hypot(*(tries[:, None, :] - taken[None, :, :]).transpose(2, 0, 1)).min(axis=1)
    return np.asarray(tries[int(apart.argmax())])
