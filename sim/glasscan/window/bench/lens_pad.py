"""Where the lens is moved over what lies on the bench: arrows, Page Up and Down, or the pointer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, LEFT_BUTTON, Widget, ring

STEP_M, FAST_M = 2.5e-3, 12e-3
ARROWS = {
    pygame.K_LEFT: (-1, 0),
    pygame.K_RIGHT: (1, 0),
    pygame.K_UP: (0, -1),
    pygame.K_DOWN: (0, 1),
}
JUMPS = {pygame.K_PAGEUP: -1, pygame.K_PAGEDOWN: 1}


def nowhere(*_: object) -> None:
    """Where a pad without a bench sends its moves."""


@dataclass
class LookPad(Widget):
    """Moves the lens; Enter takes up what lies under it."""

    move: Callable[[float, float], object] = nowhere
    jump: Callable[[int], object] = nowhere
    point: Callable[[tuple[int, int]], object] = nowhere
    take: Callable[[], object] = lambda: None
    drags: bool = field(default=True, kw_only=True)

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click, a drag or a key."""
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON:
            self.point(event.pos)
            return True
        if event.type == pygame.MOUSEMOTION and event.buttons[0]:
            self.point(event.pos)
            return True
        return event.type == pygame.KEYDOWN and self._key(event)

    def _key(self, event: pygame.event.Event) -> bool:
        if event.key in ARROWS:
            step = FAST_M if getattr(event, "mod", 0) & pygame.KMOD_SHIFT else STEP_M
            dx, dy = ARROWS[event.key]
            self.move(dx * step, dy * step)
        elif event.key in JUMPS:
            self.jump(JUMPS[event.key])
        elif event.key in ENTER:
            self.take()
        else:
            return False
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """The picture is painted below; here only the ring."""
        if focused:
            ring(canvas, self.box)
