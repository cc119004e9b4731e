"""Thin widgets of our own: button, toggle, slider with a typed twin, stepper, entry, and their form.

A widget shows a value it reads through `get` and asks for a change through `send`: it keeps no state of
the model. Everything works by keyboard: Tab and Shift+Tab move, Enter presses, arrows change.
Space is left to the window, where it always means run or pause.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import pygame

from sim.screens.canvas import Canvas

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


def _clicked(event: Event, box: pygame.Rect) -> bool:
    return (
        event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON and box.collidepoint(event.pos)
    )


def _pressed(event: Event, *keys: int) -> bool:
    return event.type == pygame.KEYDOWN and event.key in keys


@dataclass
class Button(Widget):
    """A button; `chosen` draws it as the picked one of a group."""

    send: Callable[[], None] = lambda: None
    chosen: Callable[[], bool] = lambda: False
    caption: Callable[[], str] | None = None

    def handle(self, event: Event) -> bool:
        """React to a click or a key."""
        if _clicked(event, self.box) or _pressed(event, *ENTER):
            self.send()
            return True
        return False

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""
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
        if _clicked(event, self.box) or _pressed(event, *ENTER, pygame.K_LEFT, pygame.K_RIGHT):
            self.send(not self.get())
            return True
        return False

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""
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
        if _pressed(event, pygame.K_LEFT, pygame.K_DOWN):
            self.step(-1)
        elif _pressed(event, pygame.K_RIGHT, pygame.K_UP, *ENTER):
            self.step(1)
        elif _clicked(event, self.box):
            self.step(-1 if event.pos[0] < self.box.centerx else 1)
        else:
            return False
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""
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
        if _clicked(event, self.box) or held:
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
        """Forget a half-typed number."""
        self.typed = ""

    @property
    def typing(self) -> bool:
        """Whether plain keys belong to this widget."""
        return bool(self.typed)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""
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


@dataclass
class Entry(Widget):
    """A field for a number; Enter or leaving it sends the text."""

    get: Callable[[], str] = lambda: ""
    send: Callable[[str], None] = nothing
    unit: str = ""

    def handle(self, event: Event) -> bool:
        """React to a click or a key."""
        if _clicked(event, self.box):
            return True
        if event.type != pygame.KEYDOWN:
            return False
        if event.key == pygame.K_BACKSPACE:
            self.send(self.get()[:-1])
            return True
        mark = getattr(event, "unicode", "")
        if mark and mark in "0123456789-−.,":
            self.send((self.get() + mark)[:9])
            return True
        return False

    @property
    def typing(self) -> bool:
        """Whether plain keys belong to this widget."""
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""
        canvas.panel(self.box, "well", "edge", 8, 3)
        unit_w = canvas.measure(self.unit)[0] + canvas.dp(16) if self.unit else 0
        inner = self.box.inflate(-canvas.dp(28), 0)
        number = pygame.Rect(inner.x, inner.y, inner.w - unit_w, inner.h)
        canvas.text(self.get() + ("▏" if focused else ""), number, role="number", bold=True)
        if self.unit:
            canvas.text(self.unit, pygame.Rect(number.right, inner.y, unit_w, inner.h), align="right")
        if focused:
            ring(canvas, self.box)


@dataclass
class Form:
    """Widgets in Tab order, one of them focused or none."""

    widgets: list[Widget] = field(default_factory=list)
    focus: int | None = None
    held: Widget | None = None

    def shown(self) -> list[Widget]:
        """Widgets that can be seen and used."""
        return [w for w in self.widgets if w.visible]

    @property
    def focused(self) -> Widget | None:
        """The widget with the focus."""
        if self.focus is None or self.focus >= len(self.widgets):
            return None
        widget = self.widgets[self.focus]
        return widget if widget.visible and widget.enabled else None

    @property
    def typing(self) -> bool:
        """True where plain keys belong to the focused widget."""
        return self.focused is not None and self.focused.typing

    def focus_on(self, name: str | None) -> None:
        """Move the focus to a widget by name, or nowhere."""
        if self.focused is not None:
            self.focused.leave()
        self.focus = next((i for i, w in enumerate(self.widgets) if w.name == name), None)

    def tab(self, by: int) -> None:
        """Move the focus to the next usable widget; past the last it starts again."""
        order = [w.name for w in self.widgets if w.visible and w.enabled]
        if not order:
            return
        now = self.focused.name if self.focused else None
        if now is None:
            self.focus_on(order[0 if by > 0 else -1])
        else:
            self.focus_on(order[(order.index(now) + by) % len(order)])

    def handle(self, event: Event) -> bool:
        """Give an event to the widget it is for; True where it was used."""
        if event.type == pygame.KEYDOWN and event.key == pygame.K_TAB:
            self.tab(-1 if getattr(event, "mod", 0) & pygame.KMOD_SHIFT else 1)
            return True
        if event.type == pygame.KEYDOWN:
            return self._key(event)
        if event.type == pygame.MOUSEBUTTONUP:
            held, self.held = self.held, None
            return held is not None and held.handle(event)
        if event.type == pygame.MOUSEMOTION:
            return self.held is not None and self.held.handle(event)
        return event.type == pygame.MOUSEBUTTONDOWN and self._click(event)

    def _key(self, event: Event) -> bool:
        target = self.focused
        if target is None:
            return False
        if target.handle(event):
            return True
        if event.key == pygame.K_ESCAPE:
            self.focus_on(None)
            return True
        return False

    def _click(self, event: Event) -> bool:
        for widget in self.shown():
            if widget.enabled and widget.box.collidepoint(event.pos):
                self.focus_on(widget.name)
                self.held = widget if widget.drags else None
                return widget.handle(event)
        return False

    def draw(self, canvas: Canvas) -> None:
        """Draw all visible widgets, the focused one last so that its ring is on top."""
        for widget in self.shown():
            if widget is not self.focused:
                widget.draw(canvas, False)
        if self.focused is not None:
            self.focused.draw(canvas, True)
