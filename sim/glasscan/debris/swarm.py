"""The bodies that are in a filter now, and how one step moves them.

A step is split into sub-steps, so short that no body passes a wall; the fastest bodies, in the jet of the
valve, lag rather than tunnel.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.crowd import Crowd, Motion, placed_all
from glasscan.debris.debris_data import Catalogue
from glasscan.debris.drift import contact_masses_kg, gains, held_back
from glasscan.debris.history import Checkpoint, Oil
from glasscan.debris.oil_field import BoreOil, CellMiddles, Fields, oil_at
from glasscan.debris.scene import Scene
from glasscan.debris.seat_gap import SeatGap
from glasscan.debris.settling import settling_m_s
from glasscan.debris.walls import Walls
from glasscan.debris.world import BITE_M, World
from glasscan.filters.section import CLEAN, DIRTY

Floats = NDArray[np.float64]
UNITS = 4  # shortest sub-steps in a step: real time for 400 bodies even in the jet of the valve
FRESH = 1e-3  # relative change of oil or flow after which terminal speeds or velocities are worked out again
HEAVY = 0.1  # and after which the inertias against contacts are
SQUEEZE_M = 3e-5  # overlap with seat and valve together at which a body is set back
PINCH_M = 1e-6  # a valve asked to be this near to a lodged body presses on it


class Swarm:
    """Bodies among the walls of a scene.

    Args:
        scene: walls, media, valve.
        kinds: catalogue of kinds.

    Attributes:
        walls: map of the scene.
        cells: of the section frames.
        crowd, motion: the bodies in order of entry, and where they are.
        side: (n,) DIRTY or CLEAN, the side that each was last seen on.
        lift_m: lift that the valve has: what was asked, or the seat gap where that is more.
        oil, heavy: oil for which speeds and inertias were last worked out.
        units: length of the last sub-step, in shortest ones.
    """

    def __init__(self, scene: Scene, kinds: Catalogue) -> None:
        self.scene, self._kinds = scene, kinds
        self.walls, self._gap = Walls(scene), SeatGap(scene)
        self.cells = CellMiddles.between(scene.r_edges_m, scene.z_edges_m)
        self._bore = BoreOil(scene.bore, self.cells) if scene.bore is not None else None

    def restore(self, state: Checkpoint) -> None:
        """Put a kept state back, in a new space."""
        self.lift_m = state.lift_m
        self.crowd, self.motion, self.side = state.crowd, state.motion, state.side.copy()
        self.oil, self.heavy, self.units = state.oil, state.heavy, state.units
        self._settling = self._settling_of(self.crowd)
        self._world = World(self.scene, self._kinds, self.lift_m)
        self._world.add(self.crowd, self.motion, self._contact_masses(self.crowd))

    def know_oil(self, oil: Oil) -> None:
        """Work out terminal speeds and inertias again where the oil has changed enough."""
        if self.oil is None or _changed(oil, self.oil, FRESH):
            self.oil = oil
            self._settling = self._settling_of(self.crowd)
        self.oil = replace(self.oil, dt_s=oil.dt_s)
        if self.heavy is None or _changed(oil, self.heavy, HEAVY):
            self.heavy = oil
            self._world.weigh(self._contact_masses(self.crowd))

    def _settling_of(self, crowd: Crowd) -> Floats:
        oil = self.oil
        if oil is None:
            return np.zeros(len(crowd))
        return settling_m_s(crowd.sphere_m, crowd.density_kg_m3, crowd.factor, oil.rho_kg_m3, oil.mu_pa_s)

    def _contact_masses(self, crowd: Crowd) -> Floats:
        oil = self.heavy
        return crowd.mass_kg if oil is None else contact_masses_kg(crowd, oil.mu_pa_s, oil.dt_s)

    def advance(self, fields: Fields, lift_m: float) -> None:
        """One step of the known oil, with the valve asked to a lift, m."""
        assert self.oil is not None
        unit, done = self.oil.dt_s / UNITS, 0
        while done < UNITS:
            self.units = units = self._sub_step_units(unit, UNITS - done)
            before, held = self.lift_m, self._move_valve(lift_m, units / (UNITS - done), units * unit)
            done += units
            self._sub_step(fields, units * unit, unit, held)
            carried = np.array(self.scene.way) * (self.lift_m - before)
            self.motion = self._tidied(self._world.motion(), carried, unit)
        self.side = self._sides(self.motion.at_m)

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
        motion = self.motion
        far = np.hypot(*motion.velocity_m_s.T) * unit_s / self.walls.reach_m(motion.at_m, self.crowd.left)
        most = min(left, 2 * self.units, 1 / max(float(far.max(initial=0.0)), 1e-9))
        return next((n for n in (UNITS, UNITS // 2) if n <= most), 1)

    def _sub_step(self, fields: Fields, h: float, unit_s: float, held: list[int]) -> None:
        """Drag and weight, then one step of contacts.

        The space first moves the bodies by their velocities and then changes these, so the oil is that of
        the places where they will be.
        """
        oil, motion = self.oil, self._stopped(held)
        assert oil is not None
        ahead = motion.at_m + motion.velocity_m_s * h
        mirror = _sides_of_axis(ahead)
        around, turning = self._oil_at(fields, ahead * mirror)
        around, turning = around * mirror, turning * mirror[:, 0]
        gain, spin = gains(self.crowd, motion, around, turning, self._settling, oil.rho_kg_m3, oil.mu_pa_s, h)
        gain[held], spin[held] = 0.0, 0.0
        gain = held_back(motion.velocity_m_s, gain, self.walls.reach_m(ahead, self.crowd.left), unit_s)
        self._world.step(gain, spin, h)

    def _stopped(self, held: list[int]) -> Motion:
        """The motion, with the bodies held between valve and seat at rest.

        They do not go with the oil: the spring pushes with newtons, the oil with millinewtons, so friction
        holds them; contacts still turn them flat.
        """
        if not held:
            return self.motion
        rows = np.zeros(len(self.crowd), dtype=np.bool_)
        rows[held] = True
        motion = _merged(self.motion, Motion.at_rest(self.motion.at_m, self.motion.angle), rows)
        for row in held:
            self._world.put(row, motion)
        return motion

    def _oil_at(self, fields: Fields, at_m: Floats) -> tuple[Floats, Floats]:
        """Velocity and turning of the oil at points; in the bore of a head valve those round the valve."""
        around, turning = oil_at(fields, self.cells, at_m)
        if self._bore is not None:
            self._bore.overlay(fields, self.lift_m, at_m, around, turning)
            self._bore.round_the_head(at_m, self.crowd.left, around)
        return around, turning

    def _gaps(self, motion: Motion) -> dict[int, float]:
        """Least lift that each body by the seat would need, by row, m."""
        rows = self._gap.near(motion.at_m, self.crowd.reach_m)
        if len(rows) == 0:
            return {}
        corners = placed_all(self.crowd.corners[rows], motion.at_m[rows], motion.angle[rows])
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
        small = 2 * self.crowd.reach_m <= self.scene.pore_m
        run_over = self._gap.inside_mover(motion.at_m, self.lift_m)
        stray = self.walls.misplaced(motion.at_m, small, self.crowd.left) | run_over
        stray &= ~self.has_left(motion.at_m)
        for row, gap in self._gaps(motion).items():
            stray[row] |= gap > self.lift_m + SQUEEZE_M
        if stray.any():
            back = self.motion.at_m + np.outer(run_over, carried_m)
            motion = _merged(motion, Motion.at_rest(back, self.motion.angle), stray)
        slowed = held_back(motion.velocity_m_s, 0.0, self.walls.reach_m(motion.at_m, self.crowd.left), unit_s)
        kicked = (slowed != 0).any(axis=1)
        motion = replace(motion, velocity_m_s=motion.velocity_m_s + slowed)
        for row in np.flatnonzero(across | stray | kicked).tolist():
            self._world.put(row, motion)
        return motion

    def has_left(self, at_m: Floats) -> NDArray[np.bool_]:
        """(n,) points (n, 2) beyond the outlet."""
        return self.scene.outlet.beyond(at_m[:, 0], at_m[:, 1])

    def _sides(self, at_m: Floats) -> NDArray[np.int8]:
        """DIRTY or CLEAN for each body; elsewhere (seat, medium, touching a wall) as before."""
        code = self.walls.codes(at_m)
        known = (code == DIRTY) | (code == CLEAN)
        return np.where(known, code, self.side).astype(np.int8)

    def enter(self, crowd: Crowd, motion: Motion) -> None:
        """Bodies come in after those that are there."""
        code = self.walls.codes(motion.at_m)
        self._world.add(crowd, motion, self._contact_masses(crowd))
        self.crowd = Crowd(self.crowd.members + crowd.members)
        self.motion = self.motion.joined(motion)
        self.side = np.append(self.side, np.where(code == CLEAN, CLEAN, DIRTY)).astype(np.int8)
        self._settling = np.append(self._settling, self._settling_of(crowd))

    def keep(self, keep: NDArray[np.bool_]) -> None:
        """Only the bodies where `keep` is true stay."""
        self._world.remove(keep)
        self.crowd, self.motion = self.crowd.kept(keep), self.motion.kept(keep)
        self.side, self._settling = self.side[keep], self._settling[keep]

    def lodged(self) -> dict[int, float]:
        """Bodies by row that keep the valve off its seat, and the least lift that each allows, m.

        The oil cannot drive a body in so hard that the valve, on its spring, gives way: no body allows less
        closing than the lift the valve has.
        """
        gaps = self._gaps(self.motion)
        return {i: min(gap, self.lift_m) for i, gap in gaps.items() if min(gap, self.lift_m) > 0}


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
