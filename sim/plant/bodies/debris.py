"""Debris in a filter: rigid bodies that the oil carries, that settle, pile up and lodge in the valve.

The bodies live in the (r, z) half plane, a thin slab through the axis. The axis is no wall: a body whose
middle crosses it comes back mirrored (its velocity and turn are mirrored, its outline is not). Masses, drag
and buoyancy are those of the real three-dimensional body.

A step is split into sub-steps, so short that no body passes a wall; the fastest bodies, in the jet of the
valve, lag rather than tunnel. Bodies enter and leave only between steps, in order of entry.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.filters.section import CLEAN, DIRTY, FlowState, Section
from sim.plant.bodies.crowd import Crowd, Member, Motion, placed, placed_all
from sim.plant.bodies.data import Catalogue, catalogue
from sim.plant.bodies.drift import contact_masses_kg, gains, held_back
from sim.plant.bodies.field import BoreOil, CellMiddles, Fields, oil_at
from sim.plant.bodies.history import Added, Checkpoint, Entry, Oil, Removed, Stepped, Where
from sim.plant.bodies.placing import choose_spot
from sim.plant.bodies.scene import Scene, scene_of
from sim.plant.bodies.seat import SeatGap
from sim.plant.bodies.settling import settling_m_s
from sim.plant.bodies.shapes import Piece, draw_piece
from sim.plant.bodies.walls import Walls
from sim.plant.bodies.world import BITE_M, World

Floats = NDArray[np.float64]
UNITS = 4  # shortest sub-steps in a step: real time for 400 bodies even in the jet of the valve
MOST_BODIES = 4000
CHECK_STEPS = 600  # between checkpoints: a rewind repeats at most so many steps
FRESH = 1e-3  # relative change of oil or flow after which terminal speeds or velocities are worked out again
HEAVY = 0.1  # and after which the inertias against contacts are
SQUEEZE_M = 3e-5  # overlap with seat and valve together at which a body is set back
PINCH_M = 1e-6  # a valve asked to be this near to a lodged body presses on it


class Debris:
    """Rigid bodies in a filter section.

    Args:
        where: a solved section, or a scene.
        seed: of sizes, outlines and places.
        kinds: catalogue of kinds; the shipped one by default.

    Attributes:
        scene: walls, media, valve.
        steps: number of steps done.
        lift_m: lift that the valve has in this world: what was asked, or the seat gap where that is more.
    """

    def __init__(self, where: Section | Scene, seed: int = 0, kinds: Catalogue | None = None) -> None:
        self._section = where if isinstance(where, Section) else None
        self.scene = scene_of(where) if isinstance(where, Section) else where
        self.seed = seed
        self._kinds = kinds or catalogue()
        self._walls = Walls(self.scene)
        self._gap = SeatGap(self.scene)
        self._cells = CellMiddles.between(self.scene.r_edges_m, self.scene.z_edges_m)
        self._bore = BoreOil(self.scene.bore, self._cells) if self.scene.bore is not None else None
        self._log: list[Entry] = []
        self._checkpoints: list[Checkpoint] = []
        nothing = Motion.at_rest(np.zeros((0, 2)), np.zeros(0))
        random = np.random.default_rng(seed).bit_generator.state
        side = np.zeros(0, dtype=np.int8)
        self._restore(Checkpoint(0, 0, Crowd(()), nothing, side, random, 0.0, None, None, 1, 0, (), ()))

    # --- what there is -------------------------------------------------------------------------------

    @property
    def positions(self) -> Floats:
        """(n, 2) middles of the bodies, (r, z), m."""
        return self._motion.at_m.copy()

    @property
    def angles(self) -> Floats:
        """(n,) turn of each body, rad counter-clockwise with r to the right and z up."""
        return self._motion.angle.copy()

    @property
    def velocities(self) -> Floats:
        """(n, 2) velocities, m/s."""
        return self._motion.velocity_m_s.copy()

    @property
    def kinds(self) -> tuple[str, ...]:
        """Key of the kind of each body."""
        return tuple(m.kind for m in self._crowd.members)

    @property
    def numbers(self) -> tuple[int, ...]:
        """Number of each body in order of entry; it keeps it for good."""
        return tuple(m.number for m in self._crowd.members)

    @property
    def sides(self) -> tuple[int, ...]:
        """Half of the picture in which each body is seen: 1 right, -1 left."""
        return tuple(-1 if m.is_left else 1 for m in self._crowd.members)

    @property
    def sizes_m(self) -> Floats:
        """(n,) diameter of the sphere of each body's volume, m."""
        return self._crowd.sphere_m.copy()

    @property
    def masses_kg(self) -> Floats:
        """(n,) mass of each real body, kg."""
        return self._crowd.mass_kg.copy()

    @property
    def log(self) -> tuple[Entry, ...]:
        """All that was done, for `replay`."""
        return tuple(self._log)

    def __len__(self) -> int:
        return len(self._crowd)

    def piece(self, i: int) -> Piece:
        """Body i as it was drawn: its outline about its middle, its volume and drag."""
        return self._crowd.members[i].piece

    def outlines(self, i: int) -> Floats:
        """(k, 2) corners of body i where it is now, (r, z), m."""
        piece = self._crowd.members[i].piece
        return placed(piece.outline, self._motion.at_m[i], float(self._motion.angle[i]))

    def outlines_at(self, at_m: Floats, angles: Floats) -> list[Floats]:
        """Corners (k, 2) of all bodies if they were at points (n, 2), m, turned by angles (n,), rad."""
        corners = placed_all(self._crowd.corners, at_m, angles)
        return [c[: len(m.piece.outline)] for c, m in zip(corners, self._crowd.members, strict=True)]

    def counts(self) -> dict[str, int]:
        """Bodies added so far, and where they are: `added = dirty + clean + left + drained`."""
        return {
            "added": self._added,
            "dirty": int((self._side == DIRTY).sum()),
            "clean": int((self._side == CLEAN).sum()),
            "left": sum(self._left.values()),
            "drained": sum(self._drained.values()),
        }

    def left_by_kind(self) -> dict[str, int]:
        """Bodies that went out by the outlet, by kind."""
        return dict(sorted(self._left.items()))

    def lodged(self) -> dict[int, float]:
        """Bodies by row that keep the valve off its seat, and the least lift that each allows, m.

        The oil cannot drive a body in so hard that the valve, on its spring, gives way: no body allows less
        closing than the lift the valve has.
        """
        gaps = self._gaps(self._motion)
        return {i: min(gap, self.lift_m) for i, gap in gaps.items() if min(gap, self.lift_m) > 0}

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
        self._enter(crowd, motion)
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
        self._drained.update(m.kind for m, stays in zip(self._crowd.members, keep, strict=True) if not stays)
        self._keep(keep)

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
        velocities = self._velocities_of(fields)
        if self.steps % CHECK_STEPS == 0:
            self._check()
        self._log.append(Stepped(self.steps, fields, mu_pa_s, rho_kg_m3, lift_m, dt_s))
        self._know_oil(Oil(mu_pa_s, rho_kg_m3, dt_s))
        self._advance(velocities, lift_m)
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
        state = Checkpoint(
            self.steps, len(self._log), self._crowd, self._motion, self._side.copy(),
            self._random.bit_generator.state, self.lift_m, self._oil, self._heavy, self._units, self._added,
            tuple(sorted(self._left.items())), tuple(sorted(self._drained.items())),
        )  # fmt: skip
        self._checkpoints.append(state)
        self._restore(state)

    def _restore(self, state: Checkpoint) -> None:
        self.steps, self.lift_m, self._added = state.step, state.lift_m, state.added
        self._crowd, self._motion, self._side = state.crowd, state.motion, state.side.copy()
        self._oil, self._heavy, self._units = state.oil, state.heavy, state.units
        self._left, self._drained = Counter(dict(state.left)), Counter(dict(state.drained))
        self._random = np.random.default_rng(0)
        self._random.bit_generator.state = state.random
        self._flow: tuple[FlowState, Fields] | None = None
        self._settling = self._settling_of(self._crowd)
        self._world = World(self.scene, self._kinds, self.lift_m)
        self._world.add(self._crowd, self._motion, self._contact_masses(self._crowd))

    # --- inside a step -----------------------------------------------------------------------------------

    def _velocities_of(self, fields: Any) -> Fields:
        if not hasattr(fields, "u_r_m_s"):
            if self._section is None:
                raise ValueError("fields: expected velocities u_r_m_s and u_z_m_s (a scene has no solver)")
            if self._flow is None or not self._section.same_motion(self._flow[0], fields, FRESH):
                self._flow = fields, self._section.motion(fields)
            return self._flow[1]
        if np.shape(fields.u_r_m_s) != self._cells.shape or np.shape(fields.u_z_m_s) != self._cells.shape:
            raise ValueError(f"fields: expected velocities of shape (nz, nr) = {self._cells.shape}")
        known: Fields = fields
        return known

    def _know_oil(self, oil: Oil) -> None:
        """Work out terminal speeds and inertias again where the oil has changed enough."""
        if self._oil is None or _changed(oil, self._oil, FRESH):
            self._oil = oil
            self._settling = self._settling_of(self._crowd)
        self._oil = replace(self._oil, dt_s=oil.dt_s)
        if self._heavy is None or _changed(oil, self._heavy, HEAVY):
            self._heavy = oil
            self._world.weigh(self._contact_masses(self._crowd))

    def _settling_of(self, crowd: Crowd) -> Floats:
        oil = self._oil
        if oil is None:
            return np.zeros(len(crowd))
        return settling_m_s(crowd.sphere_m, crowd.density_kg_m3, crowd.factor, oil.rho_kg_m3, oil.mu_pa_s)

    def _contact_masses(self, crowd: Crowd) -> Floats:
        oil = self._heavy
        return crowd.mass_kg if oil is None else contact_masses_kg(crowd, oil.mu_pa_s, oil.dt_s)

    def _advance(self, fields: Fields, lift_m: float) -> None:
        assert self._oil is not None
        unit, done = self._oil.dt_s / UNITS, 0
        while done < UNITS:
            self._units = units = self._sub_step_units(unit, UNITS - done)
            before, held = self.lift_m, self._move_valve(lift_m, units / (UNITS - done), units * unit)
            done += units
            self._sub_step(fields, units * unit, unit, held)
            carried = np.array(self.scene.way) * (self.lift_m - before)
            self._motion = self._tidied(self._world.motion(), carried, unit)
        self._side = self._sides(self._motion.at_m)
        self._let_out()

    def _move_valve(self, asked_m: float, share: float, h: float) -> list[int]:
        """Take the valve a share of its way to the lift asked for, or to where bodies stop it, in a time h.

        Returns:
            Rows of the bodies that it presses on.
        """
        lodged = self.lodged()
        before, gap = self.lift_m, max(lodged.values(), default=0.0)
        self.lift_m = max(before + (asked_m - before) * share, gap)
        held = [row for row, least in lodged.items() if least >= asked_m - PINCH_M]
        speed = (self.lift_m - before) / h
        # the space moves the valve on by its speed
        self._world.hold_valve(before - (BITE_M if held else 0.0), speed)
        return held

    def _sub_step_units(self, unit_s: float, left: int) -> int:
        """Length of the next sub-step: as long as no body passes its reach, at most twice the one before.

        The contacts begin from the impulses of the sub-step before, in proportion to the time: a sudden long
        one would kick what is jammed.
        """
        motion = self._motion
        far = np.hypot(*motion.velocity_m_s.T) * unit_s / self._walls.reach_m(motion.at_m, self._crowd.left)
        most = min(left, 2 * self._units, 1 / max(float(far.max(initial=0.0)), 1e-9))
        return next((n for n in (UNITS, UNITS // 2) if n <= most), 1)

    def _sub_step(self, fields: Fields, h: float, unit_s: float, held: list[int]) -> None:
        """Drag and weight, then one step of contacts.

        The space first moves the bodies by their velocities and then changes these, so the oil is that of
        the places where they will be.
        """
        oil, motion = self._oil, self._stopped(held)
        assert oil is not None
        ahead = motion.at_m + motion.velocity_m_s * h
        mirror = _sides_of_axis(ahead)
        around, turning = self._oil_at(fields, ahead * mirror)
        around, turning = around * mirror, turning * mirror[:, 0]
        gain, spin = gains(
            self._crowd, motion, around, turning, self._settling, oil.rho_kg_m3, oil.mu_pa_s, h
        )
        gain[held], spin[held] = 0.0, 0.0
        gain = held_back(motion.velocity_m_s, gain, self._walls.reach_m(ahead, self._crowd.left), unit_s)
        self._world.step(gain, spin, h)

    def _stopped(self, held: list[int]) -> Motion:
        """The motion, with the bodies held between valve and seat at rest.

        They do not go with the oil: the spring pushes with newtons, the oil with millinewtons, so friction
        holds them; contacts still turn them flat.
        """
        if not held:
            return self._motion
        rows = np.zeros(len(self._crowd), dtype=np.bool_)
        rows[held] = True
        motion = _merged(self._motion, Motion.at_rest(self._motion.at_m, self._motion.angle), rows)
        for row in held:
            self._world.put(row, motion)
        return motion

    def _oil_at(self, fields: Fields, at_m: Floats) -> tuple[Floats, Floats]:
        """Velocity and turning of the oil at points; in the bore of a head valve those round the valve."""
        around, turning = oil_at(fields, self._cells, at_m)
        if self._bore is not None:
            self._bore.overlay(fields, self.lift_m, at_m, around, turning)
        return around, turning

    def _gaps(self, motion: Motion) -> dict[int, float]:
        """Least lift that each body by the seat would need, by row, m."""
        rows = self._gap.near(motion.at_m, self._crowd.reach_m)
        if len(rows) == 0:
            return {}
        corners = placed_all(self._crowd.corners[rows], motion.at_m[rows], motion.angle[rows])
        gaps = self._gap.least_lifts_m(corners, self.lift_m)
        return dict(zip(rows.tolist(), gaps.tolist(), strict=True))

    def _tidied(self, motion: Motion, carried_m: Floats, unit_s: float) -> Motion:
        """After the contacts: mirror at the axis, set back what is in a wall, slow down what was kicked.

        Contacts are solved by a few iterations: a crowd pushed by a strong flow can squeeze one of its bodies
        into the valve or through a seat too narrow for it, or kick it. Such a body is set back too; one that
        the valve has run into goes along with the valve, which has moved by `carried_m`.
        """
        across = motion.at_m[:, 0] < 0
        if across.any():
            motion = motion.mirrored(_sides_of_axis(motion.at_m))
        small = 2 * self._crowd.reach_m <= self.scene.pore_m
        run_over = self._gap.inside_mover(motion.at_m, self.lift_m)
        stray = self._walls.misplaced(motion.at_m, small, self._crowd.left) | run_over
        stray &= ~self._has_left(motion.at_m)
        for row, gap in self._gaps(motion).items():
            stray[row] |= gap > self.lift_m + SQUEEZE_M
        if stray.any():
            back = self._motion.at_m + np.outer(run_over, carried_m)
            motion = _merged(motion, Motion.at_rest(back, self._motion.angle), stray)
        slowed = held_back(
            motion.velocity_m_s, 0.0, self._walls.reach_m(motion.at_m, self._crowd.left), unit_s
        )
        kicked = (slowed != 0).any(axis=1)
        motion = replace(motion, velocity_m_s=motion.velocity_m_s + slowed)
        for row in np.flatnonzero(across | stray | kicked).tolist():
            self._world.put(row, motion)
        return motion

    def _let_out(self) -> None:
        """Take out and count what has left by the outlet."""
        out = self._has_left(self._motion.at_m)
        if out.any():
            self._left.update(m.kind for m, gone in zip(self._crowd.members, out, strict=True) if gone)
            self._keep(~out)

    def _has_left(self, at_m: Floats) -> NDArray[np.bool_]:
        way = self.scene.outlet
        inside = (at_m[:, 0] >= way.r0) & (at_m[:, 0] <= way.r1)
        return np.asarray(inside & ((at_m[:, 1] - way.z) * way.inward < 0))

    def _sides(self, at_m: Floats) -> NDArray[np.int8]:
        """DIRTY or CLEAN for each body; elsewhere (seat, medium, touching a wall) as before."""
        code = self._walls.codes(at_m)
        known = (code == DIRTY) | (code == CLEAN)
        return np.where(known, code, self._side).astype(np.int8)

    # --- bodies in and out ---------------------------------------------------------------------------------

    def _drawn(
        self, kind: str, n: int, where: Where, size_m: float | None, angle: float | None
    ) -> tuple[Crowd, Motion]:
        known = self._kinds.kind(kind)
        members, taken, turns = [], self._motion.at_m, []
        for k in range(n):
            piece = draw_piece(known, self._random, size_m)
            member = Member(self._added + k, kind, piece, self._kinds.material(known))
            spot = choose_spot(self._walls, where, piece.reach_m, taken, self._random, member.is_left)
            if self._walls.misplaced(spot[None], np.array([False]), np.array([member.is_left]))[0]:
                raise ValueError(f"where: expected a place in the oil, found {where!r}")
            members.append(member)
            taken = np.vstack([taken, spot])
            turns.append(2 * np.pi * self._random.random() if angle is None else angle)
        return Crowd(tuple(members)), Motion.at_rest(taken[len(taken) - n :], np.array(turns, dtype=float))

    def _enter(self, crowd: Crowd, motion: Motion) -> None:
        code = self._walls.codes(motion.at_m)
        self._world.add(crowd, motion, self._contact_masses(crowd))
        self._crowd = Crowd(self._crowd.members + crowd.members)
        self._motion = self._motion.joined(motion)
        self._side = np.append(self._side, np.where(code == CLEAN, CLEAN, DIRTY)).astype(np.int8)
        self._settling = np.append(self._settling, self._settling_of(crowd))
        self._added += len(crowd)

    def _keep(self, keep: NDArray[np.bool_]) -> None:
        self._world.remove(keep)
        self._crowd, self._motion = self._crowd.kept(keep), self._motion.kept(keep)
        self._side, self._settling = self._side[keep], self._settling[keep]


def _sides_of_axis(at_m: Floats) -> Floats:
    """(n, 2) factors that mirror points beyond the axis, and vectors there."""
    sign = np.where(at_m[:, 0] < 0, -1.0, 1.0)
    return np.stack([sign, np.ones_like(sign)], axis=1)


def _merged(motion: Motion, other: Motion, use: NDArray[np.bool_]) -> Motion:
    """Rows of `other` where `use` is true."""
    wide = use[:, None]
    return Motion(
        np.where(wide, other.at_m, motion.at_m),
        np.where(use, other.angle, motion.angle),
        np.where(wide, other.velocity_m_s, motion.velocity_m_s),
        np.where(use, other.turning, motion.turning),
    )


def _changed(oil: Oil, known: Oil, share: float) -> bool:
    pairs = [(oil.mu_pa_s, known.mu_pa_s), (oil.rho_kg_m3, known.rho_kg_m3)]
    return any(abs(a - b) > share * b for a, b in pairs)


def _check_count(n: int, there: int) -> None:
    if isinstance(n, bool) or not isinstance(n, int) or n < 1:
        raise ValueError(f"n: expected a whole number from 1, found {n!r}")
    if there + n > MOST_BODIES:
        raise ValueError(f"n: expected at most {MOST_BODIES - there} more bodies, found {n}")


def _check_positive(name: str, value: float) -> None:
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"{name}: expected a finite number above 0, found {value}")
