"""Work in a thread while the window shows how far it is."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import load_theme

ReportProgress = Callable[[float, str], None]
"""Takes how far the work is, 0..1, and what is being done."""

BAR_HERTZ = 100  # the longest wait is one picture and one turn of the work: 36 to 49 ms, at 60 Hz 43 to 57
ANEW = (pygame.WINDOWEXPOSED, pygame.WINDOWSIZECHANGED, pygame.WINDOWRESTORED)  # the whole window is due
TURN_S = 1e-3  # longest turn of a thread while another waits: a picture of the bar takes several


@contextmanager
def short_turns() -> Iterator[None]:
    """Let threads take turns quickly, so that work in one does not hold up the pictures of the other."""
    usual = sys.getswitchinterval()
    sys.setswitchinterval(TURN_S)
    try:
        yield
    finally:
        sys.setswitchinterval(usual)


def do_behind_bar(title: str, work: Callable[[ReportProgress], Any], theme: str = "dark") -> Any:
    """Do work in a thread while a bar shows how far it is; None where the window was closed.

    Keys pressed meanwhile are not lost: they come again when the work is done.

    Raises:
        BaseException: whatever the work raised.
    """
    state: dict[str, Any] = {"share": 0.0, "what": "Opening"}

    def tell(share: float, what: str) -> None:
        state["share"], state["what"] = share, what

    def labour() -> None:
        try:
            state["result"] = work(tell)
        except BaseException as error:
            state["error"] = error

    thread = threading.Thread(target=labour, daemon=True)
    with short_turns():
        thread.start()
        early = _bar_until_done(thread, state, title, theme)
    if early is None:
        return None
    if "error" in state:
        raise state["error"]
    for event in early:
        pygame.event.post(event)
    return state["result"]


WHOLE_FRAMES = 20
"""Frames that go to the display whole: a window may be shown only after the first has been sent."""


def _bar_until_done(
    thread: threading.Thread, state: dict[str, Any], title: str, theme: str
) -> list[pygame.event.Event] | None:
    """Draw the bar while the thread works; the keys pressed meanwhile, None where the window was closed."""
    clock, early, due, drawn = pygame.time.Clock(), [], True, 0
    while thread.is_alive():
        events = pygame.event.get()
        if any(event.type == pygame.QUIT for event in events):
            return None
        early += [event for event in events if event.type == pygame.KEYDOWN]
        due = due or any(event.type in ANEW for event in events)
        surface = pygame.display.get_surface()
        assert surface is not None
        canvas = draw_bar(surface, title, state["share"], state["what"], theme)
        # the work needs the processor more than the bar does: as a rule only its strip goes to the display
        pygame.display.update(None if due else _strip(canvas))
        drawn += 1
        due = drawn < WHOLE_FRAMES
        clock.tick(BAR_HERTZ)
    return early


def _strip(canvas: Canvas) -> pygame.Rect:
    """The bar and the line below it."""
    w, h = canvas.surface.get_size()
    return pygame.Rect(0, h // 2 - canvas.dp(20), w, canvas.dp(100))


def draw_bar(surface: pygame.Surface, title: str, share: float, what: str, theme: str = "dark") -> Canvas:
    """The screen shown while loading."""
    canvas = Canvas(surface, load_theme(theme))
    surface.fill(canvas.theme["paper"])
    w, h = surface.get_size()
    head = pygame.Rect(0, h // 2 - canvas.dp(150), w, canvas.dp(60))
    canvas.text(title, head, role="number", align="centre", bold=True)
    bar = pygame.Rect(0, 0, canvas.dp(760), canvas.dp(26))
    bar.center = (w // 2, h // 2)
    canvas.panel(bar, "well", "edge", 13, 2)
    filled = bar.inflate(-canvas.dp(8), -canvas.dp(8))
    filled.w = max(canvas.dp(18), round(filled.w * share))
    canvas.panel(filled, "accent", None, 9)
    canvas.text(what, pygame.Rect(0, bar.bottom + canvas.dp(20), w, canvas.dp(40)), align="centre")
    return canvas
