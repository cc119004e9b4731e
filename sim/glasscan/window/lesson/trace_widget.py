"""The trace as something to hold: drag or arrow keys choose a moment, letting go or Enter rewinds to it."""

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
        self.wanted_s = min(max(t_s, 0.0), self.session.snapshot.t_s)

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
            self.wanted_s = None
            return True
        return False

    def _commit(self) -> bool:
        if self.wanted_s is None:
            return False
        self.session.rewind(self.wanted_s)
        self.wanted_s = None
        return True

    def leave(self) -> None:
        """Forget the moment wanted."""
        self.wanted_s = None

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Only the focus ring: the plot is drawn by the screen."""
        if focused:
            ring = self.box.inflate(canvas.dp(10), canvas.dp(10))
            canvas.panel(ring, None, "accent", 13, 4)
