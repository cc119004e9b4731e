"""A lesson opened from a file while its author writes: a change is offered, mistakes are told by line.

The screen itself knows nothing of it: this stands before it, passes everything on, and draws one band on
top. The good lesson stays as long as the file is bad.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pygame

from glasscan.content import BadInput
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Shown

if TYPE_CHECKING:
    from glasscan.learning.live_reload import LiveLesson
    from glasscan.learning.scenario_schema import Scenario

EVERY_S = 0.5  # wall time between two looks at the file
MOST_LINES = 5
CHANGED = "The lesson file has changed. Press F5 to reload; any other key keeps this version."
STAYS = "There are errors in the file; the last good version is still open. Any key hides this."


class LiveScreen:
    """A screen with a watch on its lesson's file.

    Args:
        screen: what is shown.
        live: the file.

    Attributes:
        quit, fullscreen, form, desk: those of the screen.
        fresh: the new lesson, once its author asks for it.
    """

    def __init__(self, screen: Shown, live: LiveLesson) -> None:
        self.screen, self.live = screen, live
        self.quit, self.fullscreen, self.form = screen.quit, screen.fullscreen, screen.form
        self.desk, self.as_text = screen.desk, getattr(screen, "as_text", None)
        self.fresh: Scenario | None = None
        self.lines: tuple[str, ...] = ()
        self._offered: Scenario | None = None
        self._shown = live.scenario
        self._told: object = None
        self._wait_s = 0.0

    @property
    def leave(self) -> bool:
        """Left for the first screen, or for the new lesson."""
        return self.screen.leave or self.fresh is not None

    @property
    def band(self) -> str:
        """What the band says now; empty where there is none."""
        if self._offered is not None:
            return CHANGED
        if not self.lines:
            return ""
        rest = len(self.lines) - MOST_LINES
        more = [f"and {rest} more: glasscan check {self.live.path.name}"] if rest > 0 else []
        return "\n".join([STAYS, *self.lines[:MOST_LINES], *more])

    def handle(self, event: pygame.event.Event) -> None:
        """F5 takes the new lesson; any other key hides the band and is passed on."""
        if event.type == pygame.KEYDOWN and self.band:
            if event.key == pygame.K_F5 and self._offered is not None:
                self.fresh = self._offered
                return
            self._offered, self.lines = None, ()
        self.screen.handle(event)
        self._follow()

    def update(self, wall_s: float) -> None:
        """Look at the file now and then."""
        self._wait_s += wall_s
        if self._wait_s >= EVERY_S:
            self._wait_s = 0.0
            self.look()
        self.screen.update(wall_s)
        self._follow()

    def _follow(self) -> None:
        screen = self.screen
        self.quit, self.fullscreen, self.form = screen.quit, screen.fullscreen, screen.form

    def look(self) -> None:
        """Look at the file once; what was told already is not told again."""
        seen = self.live.look()
        state = (seen.scenario, seen.lines)
        if state == self._told or (self._told is None and state == (self._shown, ())):
            return
        self._told = state
        folder = f"{self.live.path.parent}/"
        self.lines = tuple(line.replace(folder, "") for line in seen.lines)
        self._offered = seen.scenario if not seen.lines and seen.scenario != self._shown else None

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw the screen, and the band over it."""
        canvas = self.screen.draw(surface, drawn_s)
        if self.band:
            _draw_band(canvas, self.band, bool(self.lines))
        return canvas


def watched(screen: Shown, word: str) -> Shown:
    """The screen with a watch where its lesson was opened from a file; else the screen itself."""
    from glasscan.learning.live_reload import LiveLesson

    if not Path(word).is_file():
        return screen
    try:
        return LiveScreen(screen, LiveLesson(word))
    except (BadInput, OSError):
        return screen


def _draw_band(canvas: Canvas, text: str, bad: bool) -> None:
    """A panel across the upper part of the window; what it covers is not to be read."""
    w = canvas.surface.get_width() - 2 * canvas.dp(60)
    inner_w = w - 2 * canvas.dp(24)
    line = canvas.measure("Ag")[1]
    lines = [part for paragraph in text.split("\n") for part in canvas.lines(paragraph, inner_w)]
    most = max(1, canvas.surface.get_height() * 2 // 3 // line)
    shown = "\n".join(lines[:most])
    h = canvas.measure(shown, wrap=inner_w)[1] + 2 * canvas.dp(16)
    box = pygame.Rect(canvas.dp(60), canvas.dp(96), w, h)
    canvas.texts[:] = [t for t in canvas.texts if not t.drawn.colliderect(box)]
    canvas.panel(box, "sheet", "warn" if bad else "accent", 12, 4)
    place = box.inflate(-2 * canvas.dp(24), -2 * canvas.dp(16))
    canvas.text(shown, place, valign="top", wrap=True, colour="warn" if bad else "ink")
