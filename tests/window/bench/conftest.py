"""Filters for the pages, made once; a window that shows pages by a script of keys."""

import pygame
import pytest
from glasscan.learning.catalogue import load_filter
from glasscan.ui.view_options import ViewOptions
from glasscan.window.bench.filter_sources import RIGS, sound_rig
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.inspection_data import story
from glasscan.workshop.inspection.planted_filters import planted

MADE = {}
LETTERS = {"enter": pygame.K_RETURN, "esc": pygame.K_ESCAPE, "tab": pygame.K_TAB, "pgdn": pygame.K_PAGEDOWN}
ARROWS = {"up": pygame.K_UP, "down": pygame.K_DOWN, "left": pygame.K_LEFT, "right": pygame.K_RIGHT}


@pytest.fixture
def inspection():
    """Makes a closed inspection of a story; the run behind it is made once."""

    def make(kind="can", word="bearing-spalls", seed=3):
        key = kind, word, seed
        if key not in MADE:
            MADE[key] = planted(story(word), seed, sound_rig(kind), load_filter(RIGS[kind][0]))
        return Inspection(MADE[key], seed)

    return make


def event(word):
    """A key by its word, or a letter."""
    code = (LETTERS | ARROWS).get(word, ord(word.lower()) if len(word) == 1 else 0)
    return pygame.event.Event(pygame.KEYDOWN, key=code, unicode=word if len(word) == 1 else "", mod=0)


class Front:
    """A window without a loop: each page gets the keys of the script until it is left."""

    def __init__(self, **scripts):
        self.desk, self.scripts, self.shown = ViewOptions(), scripts, []
        self.pages = []

    def show(self, page):
        """Press the keys that the script has for this kind of page."""
        name = type(page).__name__
        self.shown.append(name)
        self.pages.append(page)
        page.draw(pygame.Surface((1280, 720)))
        keys = self.scripts.get(name, "esc esc")
        for word in keys(page) if callable(keys) else keys.split():
            page.handle(event(word))
            page.draw(pygame.Surface((1280, 720)))
            if page.leave:
                break
        if not page.leave:
            raise AssertionError(f"{name} was not left")
        return True

    def behind_bar(self, title, work):
        """At once."""
        assert title
        return work(silent)


def silent(share, what):
    """Tell nobody how far it is."""
    del share, what


@pytest.fixture
def front():
    """Builds a scripted window."""
    return Front
