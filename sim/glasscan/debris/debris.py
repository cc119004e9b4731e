"""Debris in a filter: rigid bodies that the oil carries, that settle, pile up and lodge in the valve.

The bodies live in the (r, z) half plane, a thin slab through the axis. The axis is no wall: a body whose
middle crosses it comes back mirrored (its velocity and turn are mirrored, its outline is not). Masses, drag
and buoyancy are those of the real three-dimensional body.

Bodies enter and leave only between steps, in order of entry; `swarm` makes the steps.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.crowd import Crowd, Member, Motion, placed, placed_all
from glasscan.debris.debris_data import Catalogue, catalogue
from glasscan.debris.history import Added, Checkpoint, Entry, Flowing, Oil, Removed, Stepped, Where
from glasscan.debris.oil_field import Fields
from glasscan.debris.piece_shapes import Piece, draw_piece
from glasscan.debris.placing import choose_spot
from glasscan.debris.scene import Scene, scene_of
from glasscan.debris.swarm import FRESH, Swarm
from glasscan.filters.section import CLEAN, DIRTY, Section

Floats = NDArray[np.float64]
MOST_BODIES = 4000
CHECK_STEPS = 600  # between checkpoints: a rewind repeats at most so many steps


class Debris:
    """Rigid bodies in a filter section.

    Args:
        where: a solved section, or a scene.
        seed: of sizes, outlines and places.
        kinds: catalogue of kinds; the shipped one by default.

    Attributes:
        scene: walls, media, valve.
        steps: number of steps done.
    """

    def __init__(self, where: Section | Scene, seed: int = 0, kinds: Catalogue | None = None) -> None:
        self._section = where if isinstance(where, Section) else None
        self.scene = scene_of(where) if isinstance(where, Section) else where
        self.seed = seed
        self._kinds = kinds or catalogue()
        self._swarm = Swarm(self.scene, self._kinds)
        self._log: list[Entry] = []
        self._checkpoints: list[Checkpoint] = []
        self._restore(Checkpoint.empty(seed))

    @property
    def lift_m(self) -> float:
        """Lift that the valve has in this world, m: what was asked, or the seat gap where that is more."""
        return self._swarm.lift_m

    # --- what there is -------------------------------------------------------------------------------

    @property
    def positions(self) -> Floats:
        """(n, 2) middles of the bodies, (r, z), m."""
        return self._swarm.motion.at_m.copy()

    @property
    def angles(self) -> Floats:
        """(n,) turn of each body, rad counter-clockwise with r to the right and z up."""
        return self._swarm.motion.angle.copy()

    @property
    def velocities(self) -> Floats:
        """(n, 2) velocities, m/s."""
        return self._swarm.motion.velocity_m_s.copy()

    @property
    def kinds(self) -> tuple[str, ...]:
        """Key of the kind of each body."""
        return tuple(m.kind for m in self._swarm.crowd.members)

    @property
    def numbers(self) -> tuple[int, ...]:
        """Number of each body in order of entry; it keeps it for good."""
        return tuple(m.number for m in self._swarm.crowd.members)

    @property
    def sides(self) -> tuple[int, ...]:
        """Half of the picture in which each body is seen: 1 right, -1 left."""
        return tuple(-1 if m.is_left else 1 for m in self._swarm.crowd.members)

    @property
    def sizes_m(self) -> Floats:
        """(n,) diameter of the sphere of each body's volume, m."""
        return self._swarm.crowd.sphere_m.copy()

    @property
    def masses_kg(self) -> Floats:
        """(n,) mass of each real body, kg."""
        return self._swarm.crowd.mass_kg.copy()

    @property
    def log(self) -> tuple[Entry, ...]:
        """All that was done, for `replay`."""
        return tuple(self._log)

    def __len__(self) -> int:
        return len(self._swarm.crowd)

    def piece(self, i: int) -> Piece:
        """Body i as it was drawn: its outline about its middle, its volume and drag."""
        return self._swarm.crowd.members[i].piece

    def outlines(self, i: int) -> Floats:
        """(k, 2) corners of body i where it is now, (r, z), m."""
        piece = self._swarm.crowd.members[i].piece
        return placed(piece.outline, self._swarm.motion.at_m[i], float(self._swarm.motion.angle[i]))

    def outlines_at(self, at_m: Floats, angles: Floats) -> list[Floats]:
        """Corners (k, 2) of all bodies if they were at points (n, 2), m, turned by angles (n,), rad."""
        corners = placed_all(self._swarm.crowd.corners, at_m, angles)
        return [c[: len(m.piece.outline)] for c, m in zip(corners, self._swarm.crowd.members, strict=True)]

    def counts(self) -> dict[str, int]:
        """Bodies added so far, and where they are: `added = dirty + clean + left + drained`."""
        return {
            "added": self._added,
            "dirty": int((self._swarm.side == DIRTY).sum()),
            "clean": int((self._swarm.side == CLEAN).sum()),
            "left": sum(self._left.values()),
            "drained": sum(self._drained.values()),
        }

    def left_by_kind(self) -> dict[str, int]:
        """Bodies that went out by the outlet, by kind."""
        return dict(sorted(self._left.items()))

    def lodged(self) -> dict[int, float]:
        """Bodies by row that keep the valve off its seat, and the least lift that each allows, m."""
        return self._swarm.lodged()

    def seat_gap_m(self) -> float:
        """Least lift that the bodies between valve and seat allow, m; 0 with a clean seat."""
        return max(self.lodged().values(), default=0.0)

    # --- changes, only between steps -------------------------------------------------------------------

    def add(
        self,
        kind: str,
        n: int = 1,
        where: Where = "inlet",
        *,
        size_m: float | None = None,
        angle: float | None = None,
    ) -> tuple[int, ...]:
        """Put bodies of a kind into the oil, at rest.

        Args:
            kind: key or code of a kind ("steel-flake" or "D2").
            n: how many.
            where: "inlet", "dirty", "clean", a point (r, z) or a box (r0, r1, z0, z1), m.
            size_m: longest side; None draws it from the range of the kind.
            angle: turn, rad; None draws it.

        Returns:
            The numbers of the new bodies.

        Raises:
            ValueError: unknown kind or place, no room, a bad count or size. Nothing has changed then.
        """
        known = self._kinds.kind(kind)
        _check_count(n, len(self))
        _check_positive("size_m", size_m if size_m is not None else 1.0)
        before = self._random.bit_generator.state
        try:
            crowd, motion = self._drawn(known.key, n, where, size_m, angle)
        except ValueError:
            self._random.bit_generator.state = before
            raise
        self._log.append(Added(self.steps, known.key, n, where, size_m, angle))
        self._swarm.enter(crowd, motion)
        self._added += len(crowd)
        return tuple(m.number for m in crowd.members)

    def remove(self, numbers: Sequence[int]) -> None:
        """Take bodies out by number (drained, picked up); they count as drained.

        Raises:
            ValueError: a number that is not there.
        """
        gone = tuple(sorted(set(numbers)))
        strange = sorted(set(gone) - set(self.numbers))
        if strange:
            raise ValueError(f"numbers: expected bodies that are there, found {strange}")
        self._log.append(Removed(self.steps, gone))
        keep = ~np.isin(self.numbers, gone)
        self._drained.update(
            m.kind for m, stays in zip(self._swarm.crowd.members, keep, strict=True) if not stays
        )
        self._swarm.keep(keep)

    def step(
        self, fields: Fields | Any, mu_pa_s: float, rho_kg_m3: float, lift_m: float, dt_s: float
    ) -> None:
        """Move all bodies for a time.

        Args:
            fields: a `SectionFrame` (or anything with its velocities), or, where the debris was made with a
                section, the moment itself (a plant snapshot), which keeps the log small.
            mu_pa_s, rho_kg_m3: of the oil.
            lift_m: lift of the valve that spring and oil ask for; lodged bodies may hold it off the seat.
            dt_s: time, s; always the same for the best contacts, e.g. 1/120.

        Raises:
            ValueError: a number is not finite or out of range, or the fields do not fit the cells.
        """
        _check_positive("mu_pa_s", mu_pa_s)
        _check_positive("rho_kg_m3", rho_kg_m3)
        _check_positive("dt_s", dt_s)
        if not (math.isfinite(lift_m) and lift_m >= 0):
            raise ValueError(f"lift_m: expected 0 or more, found {lift_m}")
        self._refuse_misfits(fields)
        if self.steps % CHECK_STEPS == 0:
            self._check()
        velocities, kept = self._velocities_of(fields)
        self._log.append(Stepped(self.steps, kept, mu_pa_s, rho_kg_m3, lift_m, dt_s))
        self._swarm.know_oil(Oil(mu_pa_s, rho_kg_m3, dt_s))
        self._swarm.advance(velocities, lift_m)
        self._let_out()
        self.steps += 1

    # --- going back --------------------------------------------------------------------------------------

    def replay(self, log: Sequence[Entry], until: int) -> Debris:
        """A new world with the same scene and seed that has done a log up to the step of that number."""
        again = Debris(self._section or self.scene, self.seed, self._kinds)
        again._do(log, until)
        return again

    def rewind(self, until: int) -> None:
        """Go back to just before the step of that number; bodies added there are in.

        Raises:
            ValueError: the step lies ahead.
        """
        if not 0 <= until <= self.steps:
            raise ValueError(f"until: expected a step from 0 to {self.steps}, found {until}")
        log, past = self._log, [c for c in self._checkpoints if c.step <= until]
        self._checkpoints = past[:-1]
        start = past[-1] if past else None
        if start is None or start.entries > len(log):
            self.__init__(self._section or self.scene, self.seed, self._kinds)  # type: ignore[misc]
            self._do(log, until)
            return
        self._log = log[: start.entries]
        self._restore(start)
        self._do(log[start.entries :], until)

    def _do(self, log: Sequence[Entry], until: int) -> None:
        for entry in log:
            if entry.step > until or (entry.step == until and isinstance(entry, Stepped)):
                return
            if isinstance(entry, Added):
                self.add(entry.kind, entry.count, entry.where, size_m=entry.size_m, angle=entry.angle)
            elif isinstance(entry, Removed):
                self.remove(entry.numbers)
            else:
                self.step(entry.fields, entry.mu_pa_s, entry.rho_kg_m3, entry.lift_m, entry.dt_s)

    def _check(self) -> None:
        """Keep the state and go on from it in a new space, as a rewind will (contact caches are lost)."""
        swarm = self._swarm
        state = Checkpoint(
            self.steps, len(self._log), swarm.crowd, swarm.motion, swarm.side.copy(),
            self._random.bit_generator.state, swarm.lift_m, swarm.oil, swarm.heavy, swarm.units, self._added,
            tuple(sorted(self._left.items())), tuple(sorted(self._drained.items())),
        )  # fmt: skip
        self._checkpoints.append(state)
        self._restore(state)

    def _restore(self, state: Checkpoint) -> None:
        self.steps, self._added = state.step, state.added
        self._left, self._drained = Counter(dict(state.left)), Counter(dict(state.drained))
        self._random = np.random.default_rng(0)
        self._random.bit_generator.state = state.random
        self._flow: tuple[Flowing, Fields] | None = None
        self._swarm.restore(state)

    # --- inside a step -----------------------------------------------------------------------------------

    def _refuse_misfits(self, fields: Any) -> None:
        """Raise where a step cannot be made with these fields."""
        if not hasattr(fields, "u_r_m_s"):
            if self._section is None:
                raise ValueError("fields: expected velocities u_r_m_s and u_z_m_s (a scene has no solver)")
            return
        shape = self._swarm.cells.shape
        if np.shape(fields.u_r_m_s) != shape or np.shape(fields.u_z_m_s) != shape:
            raise ValueError(f"fields: expected velocities of shape (nz, nr) = {shape}")

    def _velocities_of(self, fields: Any) -> tuple[Fields, Any]:
        """The velocities, and what they were worked out from: the first moment that had this motion."""
        if self._section is None or hasattr(fields, "u_r_m_s"):
            return fields, fields
        if self._flow is None or not self._section.same_motion(self._flow[0], fields, FRESH):
            moment = Flowing.of(fields)
            self._flow = moment, self._section.motion(moment)
        return self._flow[1], self._flow[0]

    def _let_out(self) -> None:
        """Take out and count what has left by the outlet."""
        out = self._swarm.has_left(self._swarm.motion.at_m)
        if out.any():
            self._left.update(m.kind for m, gone in zip(self._swarm.crowd.members, out, strict=True) if gone)
            self._swarm.keep(~out)

    # --- bodies in and out ---------------------------------------------------------------------------------

    def _drawn(
        self, kind: str, n: int, where: Where, size_m: float | None, angle: float | None
    ) -> tuple[Crowd, Motion]:
        known = self._kinds.kind(kind)
        members, taken, turns = [], self._swarm.motion.at_m, []
        for k in range(n):
            piece = draw_piece(known, self._random, size_m)
            member = Member(self._added + k, kind, piece, self._kinds.material(known))
            spot = choose_spot(self._swarm.walls, where, piece.reach_m, taken, self._random, member.is_left)
            if self._swarm.walls.misplaced(spot[None], np.array([False]), np.array([member.is_left]))[0]:
                raise ValueError(f"where: expected a place in the oil, found {where!r}")
            members.append(member)
            taken = np.vstack([taken, spot])
            turns.append(2 * np.pi * self._random.random() if angle is None else angle)
        return Crowd(tuple(members)), Motion.at_rest(taken[len(taken) - n :], np.array(turns, dtype=float))


def _check_count(n: int, there: int) -> None:
    if isinstance(n, bool) or not isinstance(n, int) or n < 1:
        raise ValueError(f"n: expected a whole number from 1, found {n!r}")
    if there + n > MOST_BODIES:
        raise ValueError(f"n: expected at most {MOST_BODIES - there} more bodies, found {n}")


def _check_positive(name: str, value: float) -> None:
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{name}: expected a finite number above 0, found {value}")
