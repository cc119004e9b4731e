"""What the bodies need to know of a filter: walls, media, moving parts, ways in and out.

Any filter whose section has parts, a layout and a grid makes a scene; a test may make one by hand.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.filters.parts import Outline
from sim.filters.section import Opening, Section

Floats = NDArray[np.float64]
Codes = NDArray[np.int8]
WINDOWED = frozenset({"valve-cage"})
"""Parts whose windows let debris by as they let the oil by."""
WALL_MATERIAL = {"steel": "steel", "cast": "aluminium", "rubber": "rubber", "core": "steel"}
"""Material word of a part -> key in `assets/debris/materials.yaml`."""


@dataclass(frozen=True)
class Wall:
    """A fixed solid: closed outline (n, 2) of (r, z), m, and the key of its material."""

    outline: Outline
    material: str


@dataclass(frozen=True)
class Scene:
    """Surroundings of the bodies in the (r, z) half plane; z grows upward, gravity points down.

    Attributes:
        walls: fixed solids.
        media: outlines that stop every body larger than `pore_m`.
        movers: outlines, at lift 0, of what moves with the valve.
        opens: +1 where the valve opens upward, -1 where it opens downward.
        max_lift_m: largest lift of the valve.
        pore_m: size below which a body passes the media.
        inlet, outlet: ways in and out. Bodies do not go back through the inlet.
        r_edges_m, z_edges_m: edges of the cells of `region`.
        region: (nr, nz) NO_OIL, DIRTY, CLEAN, MEDIUM or THROAT, see `sim.filters.section`.
    """

    walls: tuple[Wall, ...]
    media: tuple[Outline, ...]
    movers: tuple[Outline, ...]
    opens: int
    max_lift_m: float
    pore_m: float
    inlet: Opening
    outlet: Opening
    r_edges_m: Floats
    z_edges_m: Floats
    region: Codes


def scene_of(section: Section) -> Scene:
    """The scene that a section's parts make.

    Parts that stand before or behind the plane, and what is drawn on the left only, are no walls. A valve
    that moves sideways, in a passage of the head, counts as shut to bodies: only one on the axis is a mover.
    """
    movers = [p for p in section.parts if p.lifts and abs(p.direction[1]) > abs(p.direction[0])]
    in_plane = [
        p for p in section.parts if not any(p is m for m in movers) and not p.ghost and not p.left_only
    ]
    fixed = [p for p in in_plane if p.key not in WINDOWED]
    walls = [
        Wall(o, WALL_MATERIAL[p.material]) for p in fixed if p.material in WALL_MATERIAL for o in p.outlines
    ]
    valve = section.network.valve
    return Scene(
        walls=tuple(walls),
        media=tuple(o for p in fixed if p.material == "medium" for o in p.outlines),
        movers=tuple(o for p in movers for o in p.outlines),
        opens=1 if movers and movers[0].direction[1] > 0 else -1,
        max_lift_m=valve.max_lift_m if valve is not None and movers else 0.0,
        pore_m=section.network.rating_um * 1e-6,
        inlet=section.layout.inlet,
        outlet=section.layout.outlet,
        r_edges_m=section.r_edges_m,
        z_edges_m=section.z_edges_m,
        region=section.region(0.0),
    )
