"""A pack of discs, spacers and blades threaded on a rod: what its parts make of the gaps. Lengths in m."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from glasscan.laws.pressure_joint import thrust_n

PINCH_N = 150.0
"""Force of two discs on a blade that has no room: a disc bent by a tenth of a millimetre (order of magnitude)."""
STEEL_ON_STEEL = 0.15
"""Friction of oiled steel (handbook, MEMORY)."""
GLAND_NM = 0.25
"""Torque of the packing round a shaft of 8 mm (PRACTICE, no source)."""
BLADE_NM = 0.0008
"""Drag of one blade in its oiled gap (PRACTICE, no source)."""
CAKE_PA = 1.0e6
"""Strength of hard carbon cake in shear (order of magnitude, no source)."""
SHUT_SHARE = 0.01
"""A gap below this share of its drawing passes nothing: faces touch but for their roughness."""


@dataclass(frozen=True)
class DiscPack:
    """What lies on the rod between one disc and the next, from the bottom.

    Attributes:
        spacer_m: (gaps,) thickness that holds each pair of discs apart.
        drawn_m: gap of the drawing.
        blade_m: thickness of a blade.
        slack_m: what the nut leaves open over the whole pack; 0 = clamped.
        lifted_m: (gaps,) what a burr, a chip or a bent disc adds on one side of a gap.
        disc_m: outer radius of the discs.
        ring_m: depth of the ring of cake that bridges a gap.
        shaft_m: diameter of the shaft in its gland.
    """

    spacer_m: tuple[float, ...]
    drawn_m: float
    blade_m: float
    slack_m: float = 0.0
    lifted_m: tuple[float, ...] = ()
    disc_m: float = 0.02
    ring_m: float = 0.8e-3
    shaft_m: float = 0.008

    @classmethod
    def sound(cls, gaps: int, gap_m: float, blade_m: float, **sizes: float) -> DiscPack:
        """As drawn; `sizes` are `disc_m`, `ring_m` and `shaft_m`."""
        return cls((gap_m,) * gaps, gap_m, blade_m, lifted_m=(0.0,) * gaps, **sizes)

    def changed(self, place: int, *, spacers: int = 1, lifted_m: float = 0.0) -> DiscPack:
        """The pack with a number of spacers, and something under a disc, at one place."""
        spacer, lifted = list(self.spacer_m), list(self.lifted_m)
        spacer[place] = spacers * self.drawn_m
        lifted[place] = lifted_m
        return replace(self, spacer_m=tuple(spacer), lifted_m=tuple(lifted))

    @property
    def narrowest_m(self) -> tuple[float, ...]:
        """(gaps,) height of each gap where it is lowest; slack is shared evenly."""
        share = self.slack_m / len(self.spacer_m)
        return tuple(spacer + share for spacer in self.spacer_m)

    @property
    def widest_m(self) -> tuple[float, ...]:
        """(gaps,) height of each gap where it is highest."""
        return tuple(low + up for low, up in zip(self.narrowest_m, self.lifted_m, strict=True))

    def conductance(self) -> tuple[float, ...]:
        """(gaps,) flow of each gap over that of the drawing.

        Plane flow goes with the cube of the height; round a tilted gap of mean m and half rise e the cube's mean
        is `m^3 (1 + 1.5 (e/m)^2)`.
        """
        return tuple(self._one(low, up) for low, up in zip(self.narrowest_m, self.lifted_m, strict=True))

    def _one(self, low_m: float, rise_m: float) -> float:
        mean = low_m + rise_m / 2.0
        if mean < SHUT_SHARE * self.drawn_m:
            return 0.0
        return (mean / self.drawn_m) ** 3 * (1.0 + 1.5 * (rise_m / 2.0 / mean) ** 2)

    @property
    def pinched(self) -> int:
        """Blades that have no room in their gap."""
        return sum(low < self.blade_m for low in self.narrowest_m)

    def height_over_drawing_m(self) -> float:
        """Height of the pressed pack over that of the drawing: what a height gauge shows."""
        return sum(self.spacer_m) + sum(self.lifted_m) - len(self.spacer_m) * self.drawn_m


def scraper_torque_nm(
    pack: DiscPack,
    caked: Sequence[float],
    pressure_pa: float = 0.0,
    pushes: Sequence[float] = (),
) -> dict[str, float]:
    """Torque at the handle and what it is made of, N m.

    Args:
        pack: the parts on the rod.
        caked: (gaps,) share of each gap's ring that is full of cake, 0..1; combed off by the first turn.
        pressure_pa: in the bowl, gauge: it pushes the shaft out of the gland with p A.
        pushes: (gaps,) share of the comb that reaches each gap, 0..1; empty = all of it.

    Returns:
        `gland`, `thrust`, `blades`, `cake`, `pinched` and their sum `total`.
    """
    reach = list(pushes) or [1.0] * len(pack.spacer_m)
    cut_m2 = [high * pack.ring_m * full for high, full in zip(pack.widest_m, caked, strict=True)]
    parts = {
        "gland": GLAND_NM,
        "thrust": thrust_n(pressure_pa, pack.shaft_m) * STEEL_ON_STEEL * pack.shaft_m / 2.0,
        "blades": BLADE_NM * sum(reach),
        "cake": sum(CAKE_PA * area * share for area, share in zip(cut_m2, reach, strict=True)) * pack.disc_m,
        "pinched": pack.pinched * 2.0 * PINCH_N * STEEL_ON_STEEL * 0.9 * pack.disc_m,
    }
    return parts | {"total": sum(parts.values())}


def handle_force_n(torque_nm: float, handle_m: float) -> float:
    """Force of two fingers at the ends of a T handle, N: half of its length each side of the shaft."""
    return torque_nm / handle_m
