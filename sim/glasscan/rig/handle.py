"""The handle of a stacked-disc filter as a state of the rig: its angle, the discs', the cake at the rim."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.actions import missed_gaps, taken_off
from glasscan.laws.combing import SECTORS, STEP, TURN, at_blade, combed, laid, passes, torque_n_m
from glasscan.rig.controls import Track

if TYPE_CHECKING:
    from glasscan.contaminant.stocks import Stocks
    from glasscan.filters.element_capture import Faults, Scraper

Floats = NDArray[np.float64]

TURN_S = 3.0  # a full turn by hand without haste; common practice, no source
FASTEST_RAD_S = TURN / 1.0  # of a hand that drags the handle
LEAST_S = 0.02  # a dragged handle gets there in this time at the soonest
STEP_RAD = 5 * STEP  # largest turn within one step of the rig
KEYS = ("scraper_turns", "handle_deg")


def _even() -> Floats:
    return np.ones(SECTORS)


@dataclass(frozen=True)
class Handle:
    """Angles since the start, rad, and what lies round the rim.

    Attributes:
        track: of the handle against time.
        disc_rad: of the discs: less than the handle's where the drive slips.
        rim: (SECTORS,) load of each sector of the combed gaps over their mean, in the frame of the disc.
        combed_kg: taken off by the blades.
    """

    track: Track = field(default_factory=partial(Track.still, 0.0))
    disc_rad: float = 0.0
    rim: Floats = field(default_factory=_even)
    combed_kg: float = 0.0

    def turns_at(self, t_s: float) -> bool:
        """True while the handle is being turned."""
        return t_s < self.track.to_s and self.track.end > self.track.start

    def asked(self, key: str, amount: float, t_s: float) -> Handle:
        """The handle with more to do: so many turns on, or on to an angle (deg); never backwards."""
        now, end = self.track.at(t_s), self.track.end
        if key == "scraper_turns":
            to = end + TURN * amount
            over_s = (to - now) / TURN * TURN_S
        else:
            to = max(np.radians(amount), now)
            over_s = max((to - now) / FASTEST_RAD_S, LEAST_S)
        return replace(self, track=Track(now, float(to), t_s, float(t_s + over_s)))

    def next_break_s(self, t_s: float) -> float:
        """Where the next step of the rig has to end, s; never where the handle is at rest."""
        if not self.turns_at(t_s):
            return np.inf
        track = self.track
        pace = (track.end - track.start) / (track.to_s - track.from_s)
        return min(t_s + STEP_RAD / pace, track.to_s)


def turned_on(
    handle: Handle, dirt: Stocks, scraper: Scraper, faults: Faults, span_s: tuple[float, float]
) -> tuple[Handle, Stocks]:
    """Handle and masses after a stretch of time in which the handle may have turned.

    Args:
        handle, dirt: before.
        scraper: blades and bowl.
        faults: of blades and drive.
        span_s: from, to.
    """
    angle = handle.track.at(span_s[1]) - handle.track.at(span_s[0])
    if angle <= 0.0:
        return handle, dirt
    disc = handle.disc_rad + angle * faults.drive
    share, rim = combed(handle.rim, scraper.cleared_per_turn * faults.bite, passes(handle.disc_rad, disc))
    left = np.where(missed_gaps(dirt.held.shape[1], faults.missed), 1.0, share)
    after = taken_off(dirt, left, angle * faults.drive / TURN, scraper)
    off = float((dirt.held - after.held).sum())
    return replace(handle, disc_rad=disc, rim=rim, combed_kg=handle.combed_kg + off), after


def loaded_on(handle: Handle, before: Stocks, after: Stocks, times: float) -> Handle:
    """The handle's rim after dirt was caught; `times` is the resistance over the clean one."""
    held = float(before.held.sum())
    rim = laid(handle.rim, held, float(after.held.sum()) - held, times)
    return handle if rim is handle.rim else replace(handle, rim=rim)


def torque(
    handle: Handle, dirt: Stocks, scraper: Scraper, faults: Faults, dp_pa: float, inlet_pa: float
) -> float:
    """What resists the handle now, N m."""
    load = float(dirt.held.sum()) / dirt.held.shape[1] * at_blade(handle.rim, handle.disc_rad)
    return torque_n_m(scraper.comb, load, dp_pa, inlet_pa, faults.bite, faults.drive, faults.missed)
