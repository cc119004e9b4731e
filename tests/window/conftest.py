"""The window's tests run without a display: SDL's dummy driver."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"

import pygame
import pytest
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import Facts, LessonSession

from tests.window import standin
from tests.window.realwindow import display, env  # noqa: F401 (fixtures of all tests with a real window)

FLUIDS = {"sae-50": "SAE 50 mineral oil", "sae-30": "SAE 30 mineral oil"}


@pytest.fixture(autouse=True)
def _display():
    """A display for each test, no events left over."""
    pygame.display.init()
    pygame.font.init()
    pygame.display.set_mode((1280, 720))
    pygame.event.clear()
    return


@pytest.fixture
def make_session():
    """Builds a session on the made-up rig, run to a moment."""

    def make(at_s=0.0, **kwargs):
        facts = Facts(
            "Cold start on a spin-on filter", cracking_pa=96.5e3, max_lift_m=3e-3, end_s=900.0, fluids=FLUIDS
        )
        session = LessonSession(facts, standin.Engine(), standin.Section(), standin.Carriers(), **kwargs)
        session.run_to(at_s)
        return session

    return make


@pytest.fixture
def make_screen(make_session):
    """Builds a screen on the made-up rig."""

    def make(at_s=0.0, prompts=None, **desk):
        return Screen(make_session(at_s), ViewOptions(**desk), prompts)

    return make


@pytest.fixture
def press():
    """Builds key presses."""

    def make(code, text="", mod=0):
        return pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=mod)

    return make


def solved_filter(name):
    """A shipped filter, solved."""
    from glasscan.filters.build import build
    from glasscan.filters.filter_data import FilterData
    from glasscan.learning.catalogue import load_filter

    return build(FilterData(load_filter(name)))


@pytest.fixture(scope="session")
def real_can():
    """The shipped can, solved once."""
    return solved_filter("can-full-flow")


@pytest.fixture(scope="session")
def disc_section():
    """The shipped stacked-disc filter, solved once."""
    return solved_filter("disc-stack")


@pytest.fixture(autouse=True)
def _own_folders(monkeypatch, tmp_path):
    """What the window keeps on the disk goes into a folder of the test."""
    from glasscan.learning.store import connection
    from glasscan.window.home import resume_state, thumbnails
    from glasscan.window.lesson import takeaway

    monkeypatch.setattr(connection, "own_folder", lambda: tmp_path / "data")
    monkeypatch.setattr(takeaway, "home_folder", lambda: tmp_path / "documents")
    monkeypatch.setattr(resume_state, "state_path", lambda: tmp_path / "state" / resume_state.FILE)
    monkeypatch.setattr(thumbnails, "cache_folder", lambda: tmp_path / "cache")
