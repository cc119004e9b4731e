"""Pictures of the window on made-up runs, to compare and to look at: the same pixels every time."""

from __future__ import annotations

import pygame
from glasscan.ui.view_options import ViewOptions
from glasscan.window import routes
from glasscan.window.home.home import Home
from glasscan.window.home.lesson_index import LessonEntry, LessonIndex
from glasscan.window.home.resume_state import ResumeState
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import Facts, LessonSession
from glasscan.window.questions.prompt_panel import AnswerSheet

from tests.window import standin

SIZE = (1280, 720)
ABOUT = (
    "The Tallis T-3 of Marrow Hill stood outside all night. Oil, engine and filter are as cold as the air."
)
FILTERS = {
    "can": "Spin-on can, full flow",
    "bowl": "Pleated cartridge in a housing, bypass in the head",
    "discs": "Edge-type stacked-disc filter with scrapers",
}


def session(at_s: float, end_s: float = 900.0) -> LessonSession:
    """A made-up run at a moment."""
    facts = Facts("Cold start on a spin-on filter", cracking_pa=96.5e3, max_lift_m=3e-3, end_s=end_s)
    made = LessonSession(facts, standin.Engine(), standin.Section(), standin.Carriers())
    made.run_to(at_s)
    return made


def home(**desk: object) -> tuple[pygame.Surface, object]:
    """The first screen before its pictures are there."""
    entries = [
        LessonEntry(f"l{i}", f"Lesson {i} of the can", ABOUT, 1 + i % 3, 900.0, "can") for i in range(5)
    ]
    left = ResumeState(scenario="l1", title="Lesson 1 of the can", t_s=125.0)
    shown = Home(ViewOptions(**desk), LessonIndex(dict(FILTERS), entries, 0, True), left)
    surface = pygame.Surface(SIZE)
    kept, routes.ROUTES = routes.ROUTES, ()  # other ways in come and go
    try:
        return surface, shown.draw(surface)
    finally:
        routes.ROUTES = kept


def screen(at_s: float, keys: str = "", **desk: object) -> tuple[pygame.Surface, object]:
    """The window of a lesson at a moment, after some keys."""
    shown = Screen(session(at_s), ViewOptions(**desk), AnswerSheet([]), predict=False)
    surface = pygame.Surface(SIZE)
    shown.draw(surface)
    for key in keys:
        shown.handle(pygame.event.Event(pygame.KEYDOWN, key=ord(key), unicode=key, mod=0))
    return surface, shown.draw(surface)


# Name of a picture, and what draws it.
STATES = {
    "home-dark": lambda: home(),
    "home-light": lambda: home(theme="light"),
    "open-dark": lambda: screen(30.0),
    "open-light": lambda: screen(30.0, theme="light"),
    "shut-light-large": lambda: screen(1.0, theme="light", text_index=3),
    "forces-dark": lambda: screen(30.0, "wwwww"),
    "part-dark": lambda: screen(30.0, "f"),
    "part-light": lambda: screen(30.0, "f", theme="light"),
    "hands-dark": lambda: screen(0.0, "h112"),
    "hands-light": lambda: screen(0.0, "h112", theme="light"),
    "graph-light": lambda: screen(200.0, "g", theme="light"),
    "controls-dark": lambda: screen(30.0, "c"),
    "notes-light": lambda: screen(30.0, "n", theme="light"),
    "keys-dark": lambda: screen(30.0, "?"),
}
REFERENCES = (
    "home-dark",
    "open-dark",
    "shut-light-large",
    "forces-dark",
    "part-light",
    "hands-dark",
    "graph-light",
)
"""States of which a picture is kept in references/."""
