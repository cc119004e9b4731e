"""A bypass valve under a soft rod: force and lift by its spring and the friction of its guide."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from glasscan.filters.network import ValveSpec

Verdict = Literal["sound", "sticks", "weak", "open"]
VERDICTS: tuple[Verdict, ...] = ("sound", "sticks", "weak", "open")
MOST_N = 60.0
"""Most that a hand gives through a rod of soft wood before it stops, N (chosen)."""
MOVED_M = 2e-5
"""Lift that is seen, m: a hair's breadth against a scale (chosen)."""
BAND = 0.15
"""Band about the sheet's force in which a spring is called sound (invented training value)."""


@dataclass(frozen=True)
class ValvePress:
    """The valve, the force on it and where it stands.

    Attributes:
        spec: of the very valve that the rig runs with.
        proper: the sound valve of the sheet.
        force_n: of the rod, N.
        lift_m: off its seat, m.
    """

    spec: ValveSpec
    proper: ValveSpec
    force_n: float = 0.0
    lift_m: float = 0.0

    def __post_init__(self) -> None:
        """A valve that something holds off its seat stands there before anybody pushes."""
        if self.lift_m < self.spec.jam_lift_m:
            object.__setattr__(self, "lift_m", self.spec.jam_lift_m)

    def pushed(self, force_n: float) -> ValvePress:
        """The valve under another force.

        Slowly pushed it stands where spring and rod balance within the friction of its guide, which acts
        against the motion: force = preload + rate lift + friction going in, minus it coming back (Coulomb).
        """
        s, force = self.spec, min(max(force_n, 0.0), MOST_N)
        going_in = (force - s.preload_n - s.friction_n) / s.rate_n_m
        coming_back = (force - s.preload_n + s.friction_n) / s.rate_n_m
        lift = min(max(self.lift_m, going_in), coming_back)
        return replace(self, force_n=force, lift_m=min(max(lift, s.jam_lift_m, 0.0), s.max_lift_m))

    @property
    def moves_at_n(self) -> float:
        """Force at which it leaves its seat, N; 0 for one that stands open."""
        return 0.0 if self.spec.jam_lift_m > 0.0 else self.spec.preload_n + self.spec.friction_n

    @property
    def sheet_n(self) -> float:
        """Force of the sheet: cracking pressure times seat area, N."""
        return self.proper.cracking_pa * self.proper.seat_area_m2

    @property
    def right(self) -> Verdict:
        """What it is, by its own numbers."""
        if self.spec.jam_lift_m > MOVED_M:
            return "open"
        if self.moves_at_n > (1.0 + BAND) * self.sheet_n:
            return "sticks"
        return "weak" if self.moves_at_n < (1.0 - BAND) * self.sheet_n else "sound"

    @property
    def feel(self) -> str:
        """What eye and hand tell at this force; never what it is."""
        lift = f"{self.lift_m * 1e3:.2f} mm"
        if self.force_n == 0.0:
            return (
                f"Nobody pushes. It stands {lift} off its seat."
                if self.lift_m > MOVED_M
                else "It lies on its seat."
            )
        if self.lift_m >= self.spec.max_lift_m - 1e-9:
            return f"It is at its stop, {lift}."
        if self.lift_m <= self.spec.jam_lift_m + MOVED_M:
            return "It does not move."
        return f"It gives: {lift}."


REASONS: dict[Verdict, str] = {
    "sound": "It leaves its seat within the band of the sheet, gives evenly, and goes back by itself.",
    "sticks": "It holds far above the sheet: varnish or rust in its guide. The element takes the whole drop.",
    "weak": "It leaves its seat far below the sheet: the spring has relaxed or is the wrong one.",
    "open": "It stands off its seat with nobody pushing: a chip under it, or it hangs in its guide.",
}


def press_told(press: ValvePress, force_n: float) -> dict[str, object]:
    """A press at one force, and the force at which it first moved, as plain data."""
    at = press.pushed(force_n)
    return {
        "force_n": round(at.force_n, 3),
        "lift_mm": round(at.lift_m * 1e3, 4),
        "moves_at_n": round(at.moves_at_n, 3) if at.moves_at_n <= MOST_N else None,
        "sheet_n": round(at.sheet_n, 3),
        "feel": at.feel,
    }
