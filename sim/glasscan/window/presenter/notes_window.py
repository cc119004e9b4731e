"""The presenter's own window, for a second display: the class sees only the main one."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from glasscan.ui.canvas import DESIGN_H, DESIGN_W, Canvas
from glasscan.ui.theme import load_theme

SIZE = (900, 760)
BODY_PX = 20  # text of the window as opened; it grows with the window
BODY_DP = 24
Paint = Callable[[Canvas, pygame.Rect], None]
EVERY_S = 0.2  # between two drawings: a presenter reads, and the main window needs the time


class NoteWindow:
    """Opened, drawn and closed by the frame loop.

    Attributes:
        trouble: why it could not be opened; empty otherwise.
        was_closed: the presenter has closed it by its own button.
    """

    def __init__(self) -> None:
        self.trouble, self.was_closed = "", False
        self._window: pygame.Window | None = None
        self._waited_s = EVERY_S

    @property
    def open(self) -> bool:
        """True while it is on a display."""
        return self._window is not None

    def show(self) -> None:
        """Open it, on another display than the main window where there is one. Keys work from both."""
        if self._window is not None or self.trouble:
            return
        try:
            self._window = pygame.Window("Glasscan: notes", SIZE, resizable=True, position=_place())
        except (pygame.error, AttributeError, TypeError) as error:
            self.trouble = f"A second window cannot be opened here ({error})."
        self._waited_s = EVERY_S

    def close(self) -> None:
        """Take it away."""
        if self._window is not None:
            self._window.destroy()
            self._window = None

    def mine(self, event: pygame.event.Event) -> bool:
        """True for what happens in this window and is not a key: it must not reach the main one."""
        if self._window is None or getattr(event, "window", None) != self._window:
            return False
        if event.type == pygame.WINDOWCLOSE:
            self.close()
            self.was_closed = True
        return event.type not in (pygame.KEYDOWN, pygame.KEYUP)

    def draw(self, paint: Paint, theme: str, text_scale: float, wall_s: float) -> None:
        """Draw it anew, now and then."""
        self._waited_s += wall_s
        if self._window is None or self._waited_s < EVERY_S:
            return
        self._waited_s = 0.0
        surface = self._window.get_surface()
        w, h = surface.get_size()
        scale = min(w / DESIGN_W, h / DESIGN_H)
        wanted = BODY_PX * min(w / SIZE[0], h / SIZE[1])
        canvas = Canvas(surface, load_theme(theme), text_scale * wanted / (BODY_DP * scale))
        surface.fill(canvas.theme["paper"])
        paint(canvas, surface.get_rect().inflate(-16, -16))
        self._window.flip()


def _place() -> tuple[int, int]:
    """Upper left corner on the second display; with one display only, inside it."""
    sizes = pygame.display.get_desktop_sizes()
    return (sizes[0][0] + 40, 60) if len(sizes) > 1 else (40, 60)
