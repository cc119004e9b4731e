"""Keys that every screen shares: theme, units, text size, the sheet of keys, full screen."""

from __future__ import annotations

from functools import partial
from typing import Protocol

import pygame

from glasscan.ui.bindings import Act, Binding
from glasscan.ui.view_options import ViewOptions

SILENT = (
    pygame.K_LSHIFT, pygame.K_RSHIFT, pygame.K_LCTRL, pygame.K_RCTRL, pygame.K_LALT, pygame.K_RALT,
    pygame.K_LGUI, pygame.K_RGUI, pygame.K_MODE, pygame.K_CAPSLOCK, pygame.K_NUMLOCK,
)  # fmt: skip
"""Keys that only change what another key means."""


class Viewed(Protocol):
    """What these keys ask of a screen."""

    desk: ViewOptions
    fullscreen: bool


def view_bindings(screen: Viewed) -> tuple[Binding, ...]:
    """What each of these keys does, and what the key sheet says of it."""
    desk = screen.desk
    sheet = partial(setattr, desk, "help", True)
    larger = partial(desk.larger, 1)
    return (
        Binding("U", "units", {"u": desk.next_units}),
        Binding("T", "light or dark", {"t": desk.next_theme}),
        Binding("+  −", "larger, smaller text", {"+": larger, "=": larger, "-": partial(desk.larger, -1)}),
        Binding("F2", "this screen as text"),  # taken by the window, whatever it shows
        Binding("F11", "full screen", {"f11": partial(setattr, screen, "fullscreen", not screen.fullscreen)}),
        Binding("?", "this sheet", {"?": sheet, "f1": sheet}),
    )


def act_of(event: pygame.event.Event, acts: dict[str, Act]) -> Act | None:
    """What a pressed key asks for: by the letter it types, else by its name."""
    word, mod = getattr(event, "unicode", "").lower(), getattr(event, "mod", 0)
    if mod & (pygame.KMOD_CTRL | pygame.KMOD_ALT | pygame.KMOD_META | pygame.KMOD_MODE):
        # a command of the desktop, not of ours; on many keyboards the third level types signs such as [
        return acts.get(word) if word.isprintable() and not word.isalnum() and word else None
    return acts.get(word) or acts.get(pygame.key.name(event.key).lower())


def closes_sheet(event: pygame.event.Event) -> bool:
    """True for a click and for every key but those that only go with another, such as Shift for "?"."""
    if event.type == pygame.KEYDOWN:
        return event.key not in SILENT
    return event.type == pygame.MOUSEBUTTONDOWN
