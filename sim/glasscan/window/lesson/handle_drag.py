"""The handle of a scraper turned by dragging it in the section: the grip follows the pointer, forwards only.

The lever is seen from the side, so the grip goes to and fro: from right to left in front of the shaft, and
back behind it. A click that does not drag puts the handle into the light, as a click on any other part does.
"""

from __future__ import annotations

from math import acos, degrees, pi
from typing import TYPE_CHECKING

import pygame

from glasscan.ui.widgets import LEFT_BUTTON

if TYPE_CHECKING:
    from glasscan.window.cutaway.scraper_drawing import ScraperPainter
    from glasscan.window.lesson.lesson_session import LessonSession

ROUND_DP = 18.0  # the handle is caught so far round its bar
SLACK_PX = 4  # a pointer that moves by less has clicked
NEAR_END = 0.4  # so many rad before the end of a half turn a pointer that turns back begins the other half
LEAST_RAD, TINY_RAD = 0.01, 1e-6
PAUSED = "The handle turns while the run goes on (Space)."


class HandleDrag:
    """One pointer on one handle."""

    def __init__(self, session: LessonSession) -> None:
        self._session = session
        self._from: tuple[int, int] | None = None
        self.moved = False
        self._share = 1.0

    @property
    def taken(self) -> bool:
        """True while the pointer holds the handle."""
        return self._from is not None

    def begin(self, at: tuple[int, int], scraper: ScraperPainter | None, scale: float) -> bool:
        """Take the handle where the pointer is on it."""
        self._from, self.moved = None, False
        if scraper is not None and scraper.grip_rect(ROUND_DP * scale).collidepoint(at):
            self._from = at
        return self._from is not None

    def move(self, at: tuple[int, int], scraper: ScraperPainter | None) -> str:
        """Turn the handle on to the pointer; returns a notice, or nothing."""
        if self._from is None or scraper is None:
            return ""
        if not self.moved and abs(at[0] - self._from[0]) + abs(at[1] - self._from[1]) < SLACK_PX:
            return ""
        self.moved = True
        if not self._session.playing:
            return PAUSED
        told = self._session.snapshot.readings
        now = max(told.get("handle_rad", 0.0), told.get("handle_end_rad", 0.0))
        share = scraper.share_of_arm(at[0])
        ahead = share < self._share if int(now // pi) % 2 == 0 else share > self._share
        self._share = share
        wanted = angle_at(share, now if ahead else now + NEAR_END)
        if wanted - now > LEAST_RAD:
            self._session.change("handle_deg", degrees(wanted))
        return ""

    def end(self) -> bool:
        """Let go; True where the handle was clicked and not dragged."""
        clicked = self._from is not None and not self.moved
        self._from = None
        return clicked


def angle_at(share: float, now_rad: float) -> float:
    """Angle at which the grip stands at a share -1..1 of the arm, in the half turn that `now_rad` is in."""
    half = int((now_rad + TINY_RAD) // pi)
    x = min(max(share, -1.0), 1.0)
    return half * pi + acos(x if half % 2 == 0 else -x)


def is_press(event: pygame.event.Event) -> bool:
    """True for the left button going down."""
    return event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON
