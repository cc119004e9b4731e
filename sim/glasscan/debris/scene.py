"""What the bodies need to know of a filter: walls, media, moving parts, ways in and out.

Any filter whose section has parts, a layout and a grid makes a scene; a test may make one by hand.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.headvalve import BoreFlow, bore_flow
from glasscan.filters.layout import Way
from glasscan.filters.named_parts import Outline, Part
from glasscan.filters.section import Section

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
        way: (r, z) direction in which the valve opens, along one of the axes.
        max_lift_m: largest lift of the valve.
        pore_m: size below which a body passes the media.
        inlet, outlet: ways in and out. Bodies do not go back through the inlet.
        r_edges_m, z_edges_m: edges of the cells of `region`.
        region: (nr, nz) NO_OIL, DIRTY, CLEAN, MEDIUM or THROAT, see `glasscan.filters.section`.
        left_walls: solids only in the left half of the picture: a head that has its valve on the right.
        bore: flow round a valve in a head, or None.
    """

    walls: tuple[Wall, ...]
    media: tuple[Outline, ...]
    movers: tuple[Outline, ...]
    way: tuple[float, float]
    max_lift_m: float
    pore_m: float
    inlet: Way
    outlet: Way
    r_edges_m: Floats
    z_edges_m: Floats
    region: Codes
    left_walls: tuple[Wall, ...] = ()
    bore: BoreFlow | None = None


def scene_of(section: Section) -> Scene:
    """The scene that a section's parts make; parts before or behind the plane are no walls."""
    movers = [p for p in section.parts if p.lifts]
    fixed = [p for p in section.parts if not (p.lifts or p.ghost or p.key in WINDOWED)]
    valve = section.network.valve
    return Scene(
        walls=_walls([p for p in fixed if not p.left_only]),
        media=tuple(o for p in fixed if p.material == "medium" for o in p.outlines),
        movers=tuple(o for p in movers for o in p.outlines),
        way=movers[0].direction if movers else (0.0, -1.0),
        max_lift_m=valve.max_lift_m if valve is not None and movers else 0.0,
        pore_m=section.network.rating_um * 1e-6,
        inlet=section.layout.inlet,
        outlet=section.layout.outlet,
        r_edges_m=section.r_edges_m,
        z_edges_m=section.z_edges_m,
        region=section.region(0.0),
        left_walls=_walls([p for p in fixed if p.left_only]),
        bore=bore_flow(section),
    )


def _walls(parts: list[Part]) -> tuple[Wall, ...]:
    solid = [p for p in parts if p.material in WALL_MATERIAL]
    return tuple(Wall(o, WALL_MATERIAL[p.material]) for p in solid for o in p.outlines)
