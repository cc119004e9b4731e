"""The pymunk space of a scene, read and pushed in batches. The only file that knows pymunk's units.

Inside, lengths are millimetres, times milliseconds and masses micrograms, which keeps the numbers of bodies
from 0.1 to 5 mm near one: 1 m/s is 1 mm/ms, and one unit of force is 1 ug mm/ms2 = 1e-6 N.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pymunk
from numpy.typing import NDArray
from pymunk import autogeometry, batch

from glasscan.debris.crowd import Crowd, Member, Motion
from glasscan.debris.debris_data import Catalogue
from glasscan.debris.scene import Scene, Wall
from glasscan.filters.named_parts import Outline

Floats = NDArray[np.float64]
MM, MS, UG = 1e3, 1e3, 1e9  # mm per m, ms per s, ug per kg
WALL, MEDIUM, BODY, MOVER, LEFT_WALL = 1, 2, 4, 8, 16
EVERYTHING = WALL | MEDIUM | BODY | MOVER | LEFT_WALL
SLOP_MM = 0.01  # overlap that contacts may keep: less, and piles keep jiggling
BIAS_PER_MS = 0.96  # share of a deeper overlap that is left after 1 ms: a third goes in 1/120 s
ITERATIONS = 10
BACKING_M = 3e-3  # thickness of the lid that stands for the oil gallery behind the inlet
BITE_M = 3 * SLOP_MM / MM  # overlap by which a shutting valve presses on a body, and turns it flat
ALL = (
    batch.BodyFields.POSITION
    | batch.BodyFields.ANGLE
    | batch.BodyFields.VELOCITY
    | batch.BodyFields.ANGULAR_VELOCITY
)
PUSH = batch.BodyFields.FORCE | batch.BodyFields.TORQUE


class World:
    """Walls, valve and bodies in contact.

    Args:
        scene: walls, media and movers.
        catalogue: friction and rebound of the materials of walls.
        lift_m: of the valve at the start.
    """

    def __init__(self, scene: Scene, catalogue: Catalogue, lift_m: float) -> None:
        self._scene, self._materials = scene, catalogue.materials
        self.space = pymunk.Space()
        self.space.iterations = ITERATIONS
        self.space.collision_slop = SLOP_MM
        self.space.collision_bias = BIAS_PER_MS
        self._bodies: list[pymunk.Body] = []
        self._masses = np.zeros(0)
        self._moments = np.zeros(0)
        self._reading, self._writing = batch.Buffer(), batch.Buffer()
        for wall in (*scene.walls, _lid(scene)):
            self._fix(wall, WALL)
        for outline in scene.media:
            self._fix(Wall(outline, "fibre"), MEDIUM)
        for wall in scene.left_walls:
            self._fix(wall, LEFT_WALL)
        self._valve = self._moving(lift_m)
        self._index()

    # --- what there is -------------------------------------------------------------------------------

    def add(self, crowd: Crowd, motion: Motion, masses_kg: Floats) -> None:
        """Add bodies in their order.

        Args:
            crowd: the bodies to add (only those).
            motion: where they are.
            masses_kg: inertia against contacts, see `Debris`.
        """
        for row, member in enumerate(crowd.members):
            self._bodies.append(self._body(member, motion, row, float(masses_kg[row]) * UG))
        self._masses = np.append(self._masses, masses_kg * UG)
        self._moments = np.append(self._moments, [b.moment for b in self._bodies[len(self._moments) :]])
        self._index()

    def remove(self, keep: NDArray[np.bool_]) -> None:
        """Take away the bodies where `keep` is false, in order."""
        for body, stays in zip(self._bodies, keep, strict=True):
            if not stays:
                self.space.remove(*body.shapes, body)  # one shape each
        self._bodies = [b for b, stays in zip(self._bodies, keep, strict=True) if stays]
        self._masses, self._moments = self._masses[keep], self._moments[keep]
        self._index()

    def weigh(self, masses_kg: Floats) -> None:
        """Give every body a new inertia, kg; its moment changes in proportion."""
        masses = masses_kg * UG
        self._moments = self._moments * masses / self._masses
        self._masses = masses
        for body, mass, moment in zip(self._bodies, masses.tolist(), self._moments.tolist(), strict=True):
            body.mass, body.moment = mass, moment

    # --- motion --------------------------------------------------------------------------------------

    def motion(self) -> Motion:
        """Where all bodies are now, in order of entry."""
        self._reading.clear()
        batch.get_space_bodies(self.space, ALL, self._reading)
        rows = np.frombuffer(self._reading.float_buf()).reshape(-1, 6)[self._rows]
        return Motion(rows[:, :2] / MM, rows[:, 2], rows[:, 3:5] * (MS / MM), rows[:, 5] * MS)

    def step(self, gain_m_s: Floats, spin_gain: Floats, dt_s: float) -> None:
        """One step of contacts, in which the oil changes the velocities of the bodies.

        Args:
            gain_m_s: (n, 2) what drag and weight add to the velocity in this step.
            spin_gain: (n,) what the oil adds to the turning, rad/s.
            dt_s: length of the step, s.
        """
        dt = dt_s * MS
        push = np.zeros((self._row_count, 3))
        push[self._rows, :2] = gain_m_s * (MM / MS) * (self._masses / dt)[:, None]
        push[self._rows, 2] = spin_gain / MS * (self._moments / dt)
        self._writing.set_float_buf(push)
        batch.set_space_bodies(self.space, PUSH, self._writing)
        self.space.step(dt)

    def put(self, row: int, motion: Motion) -> None:
        """Set one body to the row of that number of a motion."""
        _set(self._bodies[row], motion, row)

    def hold_valve(self, lift_m: float, speed_m_s: float) -> None:
        """Put the valve at a lift; it opens at a speed that touching bodies feel (negative closes)."""
        r, z = self._scene.way
        self._valve.position = (r * lift_m * MM, z * lift_m * MM)
        self._valve.velocity = (r * speed_m_s * (MM / MS), z * speed_m_s * (MM / MS))

    # --- making --------------------------------------------------------------------------------------

    def _body(self, member: Member, motion: Motion, row: int, mass: float) -> pymunk.Body:
        piece, material = member.piece, member.material
        corners = [tuple(p) for p in (piece.outline * MM).tolist()]
        radius = piece.reach_m * MM
        moment = (
            pymunk.moment_for_circle(mass, 0, radius)
            if piece.round
            else pymunk.moment_for_poly(mass, corners)
        )
        body = pymunk.Body(mass, moment)
        shape: pymunk.Shape = pymunk.Circle(body, radius) if piece.round else pymunk.Poly(body, corners)
        shape.friction, shape.elasticity = math.sqrt(material.friction), material.restitution
        meets = EVERYTHING if member.is_left else EVERYTHING ^ LEFT_WALL
        if 2 * piece.reach_m <= self._scene.pore_m:
            meets ^= MEDIUM
        shape.filter = pymunk.ShapeFilter(categories=BODY, mask=meets)
        _set(body, motion, row)
        self.space.add(body, shape)
        return body

    def _fix(self, wall: Wall, category: int) -> None:
        friction = math.sqrt(self._materials[wall.material].friction)
        for piece in convex_pieces(wall.outline):
            self._shape(self.space.static_body, piece, friction, category)

    def _moving(self, lift_m: float) -> pymunk.Body:
        """The valve: one kinematic body with all moving outlines, at a lift."""
        body = pymunk.Body(body_type=pymunk.Body.KINEMATIC)
        r, z = self._scene.way
        body.position = (r * lift_m * MM, z * lift_m * MM)
        self.space.add(body)
        friction = math.sqrt(self._materials["steel"].friction)
        for outline in self._scene.movers:
            for piece in convex_pieces(outline):
                self._shape(body, piece, friction, MOVER)
        return body

    def _shape(self, body: pymunk.Body, corners_m: Floats, friction: float, category: int) -> None:
        """One convex shape; one that touches the axis also gets its mirror image beyond it."""
        sides = [1.0, -1.0] if corners_m[:, 0].min() < 1e-9 else [1.0]
        for side in sides:
            corners = [tuple(p) for p in (corners_m * MM * (side, 1.0)).tolist()]
            shape = pymunk.Poly(body, corners)
            shape.friction, shape.elasticity = friction, 1.0  # the product of a pair: the body's own
            shape.filter = pymunk.ShapeFilter(categories=category)
            self.space.add(shape)

    def _index(self) -> None:
        """Find the rows of the debris in the batch of all bodies (walls and valve are in it too)."""
        self._reading.clear()
        batch.get_space_bodies(self.space, batch.BodyFields.BODY_ID, self._reading)
        row_of = {name: row for row, name in enumerate(memoryview(self._reading.int_buf()).cast("P"))}
        self._row_count = len(row_of)
        self._rows = np.array([row_of[b.id] for b in self._bodies], dtype=np.int64)


def _set(body: pymunk.Body, motion: Motion, row: int) -> None:
    body.position = tuple((motion.at_m[row] * MM).tolist())
    body.velocity = tuple((motion.velocity_m_s[row] * (MM / MS)).tolist())
    body.angle, body.angular_velocity = float(motion.angle[row]), float(motion.turning[row] / MS)


def _lid(scene: Scene) -> Wall:
    """What stops bodies from falling back through the inlet."""
    r0, r1, z0, z1 = scene.inlet.box(-BACKING_M)
    return Wall(np.array([(r0, z0), (r1, z0), (r1, z1), (r0, z1)]), "steel")


def convex_pieces(outline: Outline) -> list[Floats]:
    """Convex polygons that fill a closed outline (n, 2), m."""
    return list(_pieces_of(np.ascontiguousarray(outline, dtype=float).tobytes()))


@lru_cache(maxsize=4096)
def _pieces_of(outline: bytes) -> tuple[Floats, ...]:
    """Kept: every rewind makes a new space, and the library never frees what its decomposition returns."""
    corners = np.frombuffer(outline).reshape(-1, 2)
    turn = corners if _signed_area(corners) > 0 else corners[::-1]
    if _is_convex(turn):
        return (turn,)
    closed = [tuple(p) for p in (np.vstack([turn, turn[:1]]) * MM).tolist()]
    pieces = [np.array(p[:-1]) / MM for p in autogeometry.convex_decomposition(closed, 0.0)]
    return tuple(sorted(pieces, key=lambda p: tuple(p.min(axis=0))))


def _signed_area(outline: Outline) -> float:
    r, z = outline.T
    return float((r * np.roll(z, -1) - np.roll(r, -1) * z).sum() / 2)


def _is_convex(outline: Outline) -> bool:
    side = np.roll(outline, -1, axis=0) - outline
    after = np.roll(side, -1, axis=0)
    return bool((side[:, 0] * after[:, 1] - side[:, 1] * after[:, 0] >= -1e-15).all())
