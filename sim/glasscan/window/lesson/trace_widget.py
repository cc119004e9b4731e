"""The trace as something to hold: a drag or arrow keys take the picture to a moment, back or on.

The picture follows at once. Letting go or Enter stays there; Escape goes back to where the run was.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, Widget
from glasscan.window.lesson.lesson_session import LessonSession
from glasscan.window.lesson.trace_plot import TracePlot

SHARE = 0.02  # of the time axis moved by one press of an arrow key


@dataclass
class TraceWidget(Widget):
    """Chooses a moment on the plot."""

    plot: TracePlot
    session: LessonSession
    wanted_s: float | None = None
    from_s: float = 0.0
    drags: bool = field(default=True, kw_only=True)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a drag or a key."""
        if self.plot.axis is None:
            return False
        if event.type == pygame.KEYDOWN:
            return self._key(event)
        if event.type == pygame.MOUSEBUTTONUP:
            return self._commit()
        self.session.playing = False
        self._want(self.plot.axis.time(event.pos[0]))
        return True

    def _want(self, t_s: float) -> None:
        if self.wanted_s is None:
            self.from_s = self.session.snapshot.t_s
        self.wanted_s = min(max(t_s, 0.0), self.session.known_s)
        self.session.scrub(self.wanted_s)

    def _key(self, event: pygame.event.Event) -> bool:
        assert self.plot.axis is not None
        ways = {pygame.K_LEFT: -1, pygame.K_RIGHT: 1, pygame.K_PAGEDOWN: -5, pygame.K_PAGEUP: 5}
        if event.key in ways:
            now = self.session.snapshot.t_s if self.wanted_s is None else self.wanted_s
            self.session.playing = False
            self._want(now + ways[event.key] * SHARE * self.plot.axis.t_end_s)
            return True
        if event.key in ENTER and self.wanted_s is not None:
            return self._commit()
        if event.key == pygame.K_ESCAPE and self.wanted_s is not None:
            self._stay(self.from_s)
            return True
        return False

    def _commit(self) -> bool:
        if self.wanted_s is None:
            return False
        self._stay(self.wanted_s)
        return True

    def _stay(self, t_s: float) -> None:
        self.session.rewind(t_s)
        self.wanted_s = None

    def leave(self) -> None:
        self._commit()

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Only the focus ring: the plot is drawn by the screen."""
        if focused:
            ring = self.box.inflate(canvas.dp(10), canvas.dp(10))
            canvas.panel(ring, None, "accent", 13, 4)
