"""A pack of discs, spacers and blades threaded on a rod: what its parts make of the gaps. Lengths in m."""

from __future__ import annotations

from dataclasses import dataclass, replace

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
    """

    spacer_m: tuple[float, ...]
    drawn_m: float
    blade_m: float
    slack_m: float = 0.0
    lifted_m: tuple[float, ...] = ()

    @classmethod
    def sound(cls, gaps: int, gap_m: float, blade_m: float) -> DiscPack:
        """As drawn."""
        return cls((gap_m,) * gaps, gap_m, blade_m, lifted_m=(0.0,) * gaps)

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

        Plane flow goes with the cube of the height; round a tilted gap of mean m and half rise e
        the cube's mean is `m^3 (1 + 1.5 (e/m)^2)`.
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
