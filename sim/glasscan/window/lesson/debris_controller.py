"""Debris in the session: dropped in by the person, carried by the oil as it is drawn, taken back on a rewind.

The bodies live in the slowed time of the picture, as the drawn oil does: a fixed step of 1/120 s of it at a
time, made by the session and never by the drawing. Between two steps the picture is interpolated.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from glasscan.rig.records import Snapshot
from glasscan.window.contract import Array

if TYPE_CHECKING:
    from glasscan.debris.debris import Debris

STEP_S = 1 / 120
MOST_STEPS = 2  # in a frame; a slow machine lets the bodies lag rather than the picture
MOST_BODIES = 400  # carried in two thirds of real time by one core, see tests/bench/bench_bodies.py
CAKE = "cake-flake"
NUMBERS = ("1", "5", "20", "60")


@dataclass(frozen=True)
class Body:
    """One body as drawn: outline (k, 2) in (r, z), m; which side; its kind."""

    outline: Array
    side: int
    kind: str


class DebrisController:
    """The debris of a session.

    Args:
        section: solved section of the filter, or None where bodies cannot be had.
        seed: of sizes, outlines and places.
    """

    def __init__(self, section: Any = None, seed: int = 0) -> None:
        self._section, self._seed = section, seed
        self._debris: Debris | None = None
        self._owed_s = 0.0
        self._marks: list[tuple[float, int]] = []
        self._before: dict[int, tuple[Array, float]] = {}
        self.trouble = ""

    @property
    def possible(self) -> bool:
        """True where bodies can be dropped in."""
        return self._section is not None

    @property
    def debris(self) -> Debris | None:
        """The bodies themselves; None as long as there are none."""
        return self._debris

    @property
    def count(self) -> int:
        """How many bodies are in the filter."""
        return len(self._debris) if self._debris is not None else 0

    @property
    def seat_gap_m(self) -> float:
        """Least lift of the bypass valve that the bodies on its seat allow, from their contacts, m."""
        return self._debris.seat_gap_m() if self._debris is not None and self.count else 0.0

    def drop(self, kind: str, number: int, t_s: float) -> None:
        """Put bodies in at the inlet; `trouble` says so in one line where there is no room."""
        from glasscan.debris.debris import Debris

        if not self.possible:
            return
        self.trouble = ""
        number = min(number, MOST_BODIES - self.count)
        if number <= 0:
            self.trouble = f"At most {MOST_BODIES} pieces at a time."
            return
        if self._debris is None:
            self._debris = Debris(self._section, self._seed)
        self._mark(t_s)
        try:
            self._debris.add(kind, number, "inlet")
        except ValueError:
            self._spread(kind, number)

    def _spread(self, kind: str, number: int) -> None:
        """Where the inlet is full: anywhere on the dirty side."""
        assert self._debris is not None
        try:
            self._debris.add(kind, number, "dirty")
        except ValueError as error:
            self.trouble = " ".join(str(error).split())

    def take_out(self, t_s: float) -> None:
        """Take every body out."""
        if self._debris is not None and self.count:
            self._mark(t_s)
            self._debris.remove(self._debris.numbers)
            self._before = {}

    def carry(self, s: Snapshot, drawn_s: float) -> None:
        """Let slowed time pass with the oil of a moment, in steps of `STEP_S`."""
        if self._debris is None or not self.count:
            self._owed_s = 0.0
            return
        self._owed_s = min(self._owed_s + drawn_s, MOST_STEPS * STEP_S)
        while self._owed_s >= STEP_S:
            self._owed_s -= STEP_S
            self._mark(s.t_s)
            self._keep()
            self._debris.step(s, s.mu_pa_s, s.rho_kg_m3, s.lift_m, STEP_S)

    def rewind(self, t_s: float) -> None:
        """Go back to the bodies of a moment of the model."""
        if self._debris is None:
            return
        times = [t for t, _ in self._marks]
        at = bisect_right(times, t_s)
        if at < len(self._marks):
            self._debris.rewind(self._marks[at][1])
            del self._marks[at:]
        if at == 0:
            self._debris = None
        self._owed_s, self._before = 0.0, {}

    def _mark(self, t_s: float) -> None:
        """Remember which step comes at a moment of the model, before it is made."""
        assert self._debris is not None
        if not self._marks or self._marks[-1] != (t_s, self._debris.steps):
            self._marks.append((t_s, self._debris.steps))

    def _keep(self) -> None:
        """Where everything is before a step, to draw between two steps."""
        assert self._debris is not None
        places, angles = self._debris.positions, self._debris.angles
        self._before = {n: (places[i], float(angles[i])) for i, n in enumerate(self._debris.numbers)}

    def bodies(self) -> list[Body]:
        """All bodies as they are drawn now."""
        debris = self._debris
        if debris is None:
            return []
        places, angles = self._shown(debris)
        outlines = debris.outlines_at(places, angles)
        named = zip(outlines, debris.sides, debris.kinds, strict=True)
        return [Body(outline, side, kind) for outline, side, kind in named]

    def _shown(self, debris: Debris) -> tuple[Array, Array]:
        """Places (n, 2), m, and angles (n,) of the bodies, a share of the way from their last ones."""
        places, angles = debris.positions, debris.angles
        old = [self._before.get(n, now) for n, *now in zip(debris.numbers, places, angles, strict=True)]
        old_places, old_angles = (np.array(v) for v in zip(*old, strict=True)) if old else (places, angles)
        share = self._owed_s / STEP_S
        return interpolate(old_places, places, share), interpolate(old_angles, angles, share)

    def lift_m(self) -> float:
        """Least lift of the valve that lodged bodies allow, m."""
        return self._debris.seat_gap_m() if self._debris is not None and self.count else 0.0

    def by_kind(self) -> dict[str, int]:
        """Bodies in the filter by kind, the commonest first."""
        kinds = self._debris.kinds if self._debris is not None else ()
        counts = {kind: kinds.count(kind) for kind in dict.fromkeys(kinds)}
        return dict(sorted(counts.items(), key=lambda item: -item[1]))

    def passed(self) -> int:
        """Bodies that have left by the outlet, with the oil to the bearings."""
        return self._debris.counts()["left"] if self._debris is not None else 0


def interpolate(before: Array, now: Array, share: float) -> Array:
    """What lies a share of the way from one to the other."""
    return np.asarray(before + share * (now - before))
