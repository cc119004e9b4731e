"""Thin widgets of our own: button, toggle and stepper; `slider`, `written`, `form` hold the others.

A widget shows a value it reads through `get` and asks for a change through `send`: it keeps no state of
the model. Everything works by keyboard: Tab and Shift+Tab move, Enter presses, arrows change.
Space is left to the window, where it always means run or pause.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas

Event = pygame.event.Event
ENTER = (pygame.K_RETURN, pygame.K_KP_ENTER)
LEFT_BUTTON = 1


def nothing(value: object) -> None:
    """Where a widget that sends nowhere sends to."""
    del value


def ring(canvas: Canvas, rect: pygame.Rect) -> None:
    """Draw the focus ring: the accent colour, outside the control."""
    canvas.panel(rect.inflate(canvas.dp(10), canvas.dp(10)), None, "accent", 13, 4)


@dataclass
class Widget:
    """Something with a name and a box that may take focus."""

    name: str
    label: str
    box: pygame.Rect = field(default_factory=lambda: pygame.Rect(0, 0, 0, 0), kw_only=True)
    enabled: bool = field(default=True, kw_only=True)
    visible: bool = field(default=True, kw_only=True)
    drags: bool = field(default=False, kw_only=True)

    def handle(self, event: Event) -> bool:
        """React to an event meant for this widget; True where it was used."""
        return event is None

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""

    def leave(self) -> None:
        """Focus moved away."""

    @property
    def typing(self) -> bool:
        """True where plain keys belong to this widget (an entry being edited)."""
        return False


def clicked(event: Event, box: pygame.Rect) -> bool:
    """True for a click of the left button inside a box."""
    return (
        event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON and box.collidepoint(event.pos)
    )


def pressed(event: Event, *keys: int) -> bool:
    """True where one of some keys went down."""
    return event.type == pygame.KEYDOWN and event.key in keys


@dataclass
class Button(Widget):
    """A button; `chosen` draws it as the picked one of a group."""

    send: Callable[[], None] = lambda: None
    chosen: Callable[[], bool] = lambda: False
    caption: Callable[[], str] | None = None

    def handle(self, event: Event) -> bool:
        """React to a click or a key."""
        if clicked(event, self.box) or pressed(event, *ENTER):
            self.send()
            return True
        return False

    def draw(self, canvas: Canvas, focused: bool) -> None:
        picked = self.chosen()
        canvas.panel(self.box, "accent" if picked else "button", "edge", 10, 2)
        inner = self.box.inflate(-canvas.dp(16), -canvas.dp(4))
        colour = "on_accent" if picked else "ink" if self.enabled else "soft"
        text = self.caption() if self.caption else self.label
        canvas.text(text, inner, colour=colour, align="centre", bold=picked, wrap=True)
        if focused:
            ring(canvas, self.box)


@dataclass
class Toggle(Widget):
    """On or off: a switch whose knob moves and whose word says which."""

    get: Callable[[], bool] = lambda: False
    send: Callable[[bool], None] = nothing
    words: tuple[str, str] = ("off", "on")

    def handle(self, event: Event) -> bool:
        """React to a click or a key."""
        if clicked(event, self.box) or pressed(event, *ENTER, pygame.K_LEFT, pygame.K_RIGHT):
            self.send(not self.get())
            return True
        return False

    def draw(self, canvas: Canvas, focused: bool) -> None:
        on = self.get()
        track = pygame.Rect(0, 0, canvas.tp(60), canvas.tp(30))
        track.midright = (self.box.right - canvas.dp(12), self.box.centery)
        canvas.panel(self.box, "button", "edge", 10, 2)
        canvas.panel(track, "accent" if on else "well", "edge", 15 * canvas.text_scale, 2)
        knob = pygame.Rect(0, 0, track.h - canvas.dp(10), track.h - canvas.dp(10))
        knob.center = (track.right - track.h // 2 if on else track.x + track.h // 2, track.centery)
        canvas.panel(knob, "on_accent" if on else "edge", None, 15 * canvas.text_scale)
        text = pygame.Rect(self.box.x + canvas.dp(12), self.box.y, 0, self.box.h)
        text.w = track.x - text.x - canvas.dp(8)
        canvas.text(f"{self.label}: {self.words[on]}", text, wrap=True)
        if focused:
            ring(canvas, self.box)


@dataclass
class Choice(Widget):
    """One of a list, shown between two arrows; left and right arrows step through it."""

    options: Sequence[str] = ()
    get: Callable[[], str] = lambda: ""
    send: Callable[[str], None] = nothing
    show: Callable[[str], str] = str
    wraps: bool = False

    def step(self, by: int) -> None:
        """Choose the neighbour `by` places on."""
        now = self.options.index(self.get()) if self.get() in self.options else 0
        to = now + by
        to = to % len(self.options) if self.wraps else min(max(to, 0), len(self.options) - 1)
        if to != now or self.get() not in self.options:
            self.send(self.options[to])

    def arrows(self) -> tuple[pygame.Rect, pygame.Rect]:
        """Boxes of the two arrows."""
        w = max(self.box.h // 3, 24)
        left = pygame.Rect(self.box.x, self.box.y, w, self.box.h)
        return left, left.move(self.box.w - w, 0)

    def handle(self, event: Event) -> bool:
        """React to a click or a key."""
        if pressed(event, pygame.K_LEFT, pygame.K_DOWN):
            self.step(-1)
        elif pressed(event, pygame.K_RIGHT, pygame.K_UP, *ENTER):
            self.step(1)
        elif clicked(event, self.box):
            self.step(-1 if event.pos[0] < self.box.centerx else 1)
        else:
            return False
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        canvas.panel(self.box, "button", "edge", 10, 2)
        for rect, way in zip(self.arrows(), (-1, 1), strict=True):
            arrow(canvas, rect, way)
        inner = self.box.inflate(-2 * self.arrows()[0].w, 0)
        value = self.show(self.get())
        canvas.text(f"{self.label}: {value}" if self.label else value, inner, align="centre", wrap=True)
        if focused:
            ring(canvas, self.box)


def arrow(canvas: Canvas, rect: pygame.Rect, way: int) -> None:
    """A small triangle in the middle of `rect`, pointing left (-1) or right (1)."""
    s = canvas.dp(9)
    x, y = rect.center
    points = [(x - way * s // 2, y - s), (x - way * s // 2, y + s), (x + way * s, y)]
    pygame.draw.polygon(canvas.surface, canvas.theme["ink"], points)
    pygame.draw.aalines(canvas.surface, canvas.theme["ink"], True, points)
