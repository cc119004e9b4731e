"""A number on a track, with a twin that is typed; and numbers as people type them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, Event, Widget, clicked, nothing, ring


@dataclass
class Slider(Widget):
    """A number on a track; drag, arrows (large: Page Up/Down), or type it and press Enter.

    `low`, `high`, `step` and the value are in the unit shown.
    """

    low: float = 0.0
    high: float = 1.0
    step: float = 0.1
    get: Callable[[], float] = lambda: 0.0
    send: Callable[[float], None] = nothing
    unit: str = ""
    decimals: int = 0
    typed: str = ""
    drags: bool = field(default=True, kw_only=True)

    def groove(self) -> pygame.Rect:
        """The track's rectangle, lower third of the box."""
        pad = self.box.h // 4
        return pygame.Rect(
            self.box.x + pad, self.box.bottom - self.box.h // 3, self.box.w - 2 * pad, self.box.h // 8
        )

    def put(self, value: float) -> None:
        """Ask for a value, rounded to the step and clamped to the range."""
        rounded_value = self.low + round((value - self.low) / self.step) * self.step
        self.send(min(max(rounded_value, self.low), self.high))

    def handle(self, event: Event) -> bool:
        """React to a click or a key."""
        if event.type == pygame.KEYDOWN:
            return self._key(event)
        held = event.type == pygame.MOUSEMOTION and event.buttons[0]
        if clicked(event, self.box) or held:
            track = self.groove()
            share = (event.pos[0] - track.x) / max(track.w, 1)
            self.put(self.low + share * (self.high - self.low))
            return True
        return False

    def _key(self, event: Event) -> bool:
        moves = {
            pygame.K_LEFT: -1,
            pygame.K_DOWN: -1,
            pygame.K_RIGHT: 1,
            pygame.K_UP: 1,
            pygame.K_PAGEDOWN: -10,
            pygame.K_PAGEUP: 10,
        }
        if event.key in moves:
            self.typed = ""
            self.put(self.get() + moves[event.key] * self.step)
            return True
        used, self.typed, done = type_number(self.typed, event)
        if done is not None:
            self.put(done)
        return used

    def leave(self) -> None:
        self.typed = ""

    @property
    def typing(self) -> bool:
        """Whether plain keys belong to this widget."""
        return bool(self.typed)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        canvas.panel(self.box, "button", "edge", 10, 2)
        pad = canvas.dp(14)
        top = pygame.Rect(
            self.box.x + pad, self.box.y + canvas.dp(4), self.box.w - 2 * pad, self.box.h * 3 // 5
        )
        value = f"{self.typed}▏" if self.typed else f"{self.get():.{self.decimals}f}".replace("-", "−")
        number = f"{value} {self.unit}".strip()
        right = top.copy()
        right.w = canvas.measure(number, bold=True)[0] + 2
        right.right = top.right
        left = pygame.Rect(top.x, top.y, right.x - top.x - pad, top.h)
        canvas.text(self.label, left)
        canvas.text(number, right, align="right", bold=True)
        self._draw_track(canvas)
        if focused:
            ring(canvas, self.box)

    def _draw_track(self, canvas: Canvas) -> None:
        track = self.groove()
        canvas.panel(track, "well", "edge", 6, 1)
        share = (self.get() - self.low) / (self.high - self.low)
        knob = pygame.Rect(0, 0, track.h * 3, track.h * 3)
        knob.center = (track.x + round(min(max(share, 0), 1) * track.w), track.centery)
        canvas.panel(knob, "ink", "button", 40, 2)


def type_number(typed: str, event: Event) -> tuple[bool, str, float | None]:
    """Edit a number by keys: whether the key was used, the text now, and the number once Enter is pressed."""
    if event.key in ENTER and typed:
        return True, "", parse_number(typed)
    if event.key == pygame.K_BACKSPACE and typed:
        return True, typed[:-1], None
    if event.key == pygame.K_ESCAPE and typed:
        return True, "", None
    mark = getattr(event, "unicode", "")
    if (mark and mark in "0123456789-−") or (mark and mark in ".," and typed):
        return True, (typed + mark)[:9], None
    return False, typed, None


def parse_number(text: str) -> float | None:
    """A number as people write it, decimal comma or point, or None where it is none."""
    try:
        return float(text.replace(",", ".").replace("−", "-").strip())
    except ValueError:
        return None
