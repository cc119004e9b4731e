"""The window itself: opening, loading, looping; and once on a real X display."""

import subprocess
import sys
import time
from types import SimpleNamespace

import pygame
import pytest
from glasscan.ui import progress_task
from glasscan.ui.view_options import ViewOptions
from glasscan.window import app, fault_log
from glasscan.window.lesson import lesson_loading
from glasscan.window.lesson.lesson_loading import Opened
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.questions.prompt_panel import AnswerSheet

from tests.window.realwindow import NEEDS_DISPLAY, strike
from tests.window.test_screen import cards

SCENARIO = SimpleNamespace(scenario="cold-start", title="Cold start", prompts=())


def test_window_opens_loads_and_runs_frames(make_session, monkeypatch):
    """The loop draws frames of the session that the thread has built, then leaves tidily."""
    session = make_session(5.0)
    told = []

    def build(scenario, tell, **_):
        tell(0.5, "half")
        told.append(scenario)
        return Opened(session, AnswerSheet([]))

    monkeypatch.setattr(app, "open_session", build)
    pygame.display.quit()
    assert app.open_window(SCENARIO, frames=3) == 0
    assert told == [SCENARIO]
    assert not pygame.display.get_init()


class Closed:
    """A first screen that is closed at once."""

    quit, leave, fullscreen, wanted = True, False, False, None

    def close(self):
        """Nothing to let go."""

    def stood(self):
        """Nothing marked."""


def test_a_fault_while_loading_leads_to_the_first_screen(monkeypatch, tmp_path):
    """No fault of a page ends the window: it is told where one can go on, and its place stands in a log."""

    def build(*_, **__):
        who = "Wen"
        raise ValueError(f"bad filter, answered by {who}")

    log, told = tmp_path / "window.log", []
    monkeypatch.setattr(app, "open_session", build)
    monkeypatch.setattr(fault_log, "log_path", lambda: log)
    monkeypatch.setattr(app, "Home", lambda *args: told.append(args[3]) or Closed())
    assert app.open_window(SCENARIO, frames=1) == 0
    assert told[0].startswith("A fault of Glasscan ended that page (ValueError)")
    assert "in build" in log.read_text()
    assert "Wen" not in log.read_text()


def test_closing_while_loading_leaves_at_once(make_session):
    """Who closes the window during loading need not wait."""
    gate = []

    def build(*_, **__):
        while not gate:
            time.sleep(0.01)
        return Opened(make_session(), AnswerSheet([]))

    pygame.event.post(pygame.event.Event(pygame.QUIT))
    assert progress_task.do_behind_bar(SCENARIO.title, build) is None
    gate.append(True)


def test_space_pressed_while_loading_runs_the_lesson(make_session, monkeypatch):
    """Enter, then Space at once: the oil moves as soon as the lesson is there."""
    gate = []

    def build(*_, **__):
        while not gate:
            time.sleep(0.01)
        return Opened(make_session(), AnswerSheet([]))

    real = progress_task.draw_bar

    def bar(*args):
        gate.append(True)
        return real(*args)

    monkeypatch.setattr(progress_task, "draw_bar", bar)
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_SPACE, unicode=" ", mod=0))
    opened = progress_task.do_behind_bar(SCENARIO.title, build)
    screen = Screen(opened.session)
    app.run_loop(screen, frames=2)
    assert screen.session.playing


def test_posted_events_reach_the_screen(make_session):
    """Through SDL's queue: Space runs, then closing ends the loop."""
    screen = Screen(make_session(5.0))
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_SPACE, unicode=" ", mod=0))
    app.run_loop(screen, frames=2)
    assert screen.session.playing
    pygame.event.post(pygame.event.Event(pygame.QUIT))
    app.run_loop(screen, frames=50)
    assert screen.quit


def test_keys_after_leaving_are_for_what_comes_next(make_session):
    """Two keys in one frame: the first leaves, the second must not reach what was left."""
    screen = Screen(make_session(5.0))
    for code, text in ((pygame.K_ESCAPE, ""), (pygame.K_SPACE, " ")):
        pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=0))
    app.run_loop(screen, frames=2)
    assert screen.leave
    assert not screen.session.playing
    assert [e.key for e in pygame.event.get(pygame.KEYDOWN)] == [pygame.K_SPACE]


def test_loading_bar_text_fits():
    """The first thing a class sees."""
    canvas = progress_task.draw_bar(
        pygame.Surface((1280, 720)), "Cold start on a spin-on filter", 0.4, "Building"
    )
    assert all(t.fits for t in canvas.texts)


def test_without_a_display_it_says_so(monkeypatch):
    """An SDL driver that cannot start is told as no display."""
    pygame.display.quit()
    monkeypatch.setenv("SDL_VIDEODRIVER", "nosuchdriver")
    with pytest.raises(app.NoDisplay):
        app.open_display("x")


@pytest.mark.parametrize(
    ("desktop", "fitted"), [((1280, 720), True), ((1920, 1080), True), ((2560, 1440), False)]
)
def test_a_window_as_large_as_the_desktop_is_fitted_into_it(monkeypatch, desktop, fitted):
    """Between title bar and task list: else the foot with its buttons lies below the edge of the screen."""
    asked = []
    monkeypatch.setattr(pygame.display, "get_desktop_sizes", lambda: [desktop])
    monkeypatch.setattr(app, "_fit_desktop", lambda: asked.append(desktop))
    app.open_display("x")
    assert bool(asked) is fitted


def test_the_original_pygame_is_refused(monkeypatch):
    """pygame and pygame-ce share a folder; the wrong one is named with the repair."""
    monkeypatch.delattr(pygame, "IS_CE")
    with pytest.raises(app.WrongPygameError, match="pip install pygame-ce"):
        app.open_display("x")


def test_oils_offered_are_of_the_scenarios_kind():
    """An engine oil is not swapped for a hydraulic fluid by one arrow key."""
    titles = lesson_loading.fluid_titles("sae-50-mineral")
    assert "sae-50-mineral" in titles
    assert "sae-30-mineral" in titles
    assert not any(name.startswith(("mil", "iso", "turbine")) for name in titles)
    assert lesson_loading.fluid_titles("iso-vg-32").keys() >= {"iso-vg-32", "iso-vg-46"}


WINDOW = """
import sys
from glasscan.window import app
from tests.window import standin
from glasscan.window.lesson.lesson_session import Facts, LessonSession
from glasscan.window.lesson.lesson_screen import Screen
app.open_display("trial")
session = LessonSession(Facts("Trial", end_s=900.0), standin.Engine(), standin.Section(), standin.Carriers())
screen = Screen(session)
print("ready", flush=True)
app.run_loop(screen, frames=240)
print("theme", screen.desk.theme, "time", session.snapshot.t_s, flush=True)
"""


def _typed_into(window, env):
    """Wait for the window, type T and Space into it, and return what it says at the end."""
    try:
        while "ready" not in (line := window.stdout.readline()):
            assert line, "the window did not open"
        time.sleep(1.0)
        strike(env, "t", "space", wait_s=0.5)
        window.wait(timeout=60)
        return window.stdout.read()
    finally:
        window.kill()


@NEEDS_DISPLAY
def test_real_window_takes_real_keys(env):
    """Under a virtual X display real key strokes change the theme, and run the model."""
    command = [sys.executable, "-c", WINDOW]
    with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, text=True) as window:
        told = _typed_into(window, env)
    assert "theme light" in told
    assert float(told.split("time")[1]) > 0.3


@pytest.mark.parametrize("size", [(1280, 4), (8, 8), (1, 720)])
def test_keys_and_clicks_before_the_first_picture(make_session, size):
    """A click made while it was loading, and F2 in a window drawn thin, come before anything is drawn."""
    pygame.display.set_mode(size, pygame.RESIZABLE)
    screen = Screen(make_session(5.0), ViewOptions(prompt=True), AnswerSheet(cards()))
    for event in (
        pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=(3, 3), button=1),
        pygame.event.Event(pygame.MOUSEMOTION, pos=(3, 3), buttons=(0, 0, 0), rel=(1, 1)),
        pygame.event.Event(pygame.KEYDOWN, key=pygame.K_F2, unicode="", mod=0),
    ):
        pygame.event.post(event)
    app.run_loop(screen, frames=2)
    assert not screen.quit
