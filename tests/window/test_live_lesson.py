"""A lesson opened from a file follows it: a change is offered, mistakes are lines, the good lesson stays."""

import pygame
import pytest
from glasscan.learning.catalogue import scenario_path
from glasscan.learning.live_reload import LiveLesson
from glasscan.window import app
from glasscan.window.app import Application
from glasscan.window.lesson.lesson_loading import Opened
from glasscan.window.lesson.live_lesson import EVERY_S, LiveScreen, watched
from glasscan.window.open_request import OpenRequest
from glasscan.window.questions.answer_sheet import AnswerSheet

from tests.window.test_layout import problems

TITLE = "Oil flow through a spin-on filter, part by part"


@pytest.fixture
def lesson(tmp_path):
    """A lesson as a file of its own."""
    path = tmp_path / "where-the-oil-goes.yaml"
    path.write_text(scenario_path("where-the-oil-goes").read_text(encoding="utf-8"), encoding="utf-8")
    return path


def change(path, old, new):
    """Write another text into the file."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_change_is_offered_and_taken_by_f5(lesson, make_screen, press):
    """Within half a second the band stands; F5 leaves for the new lesson."""
    live = LiveScreen(make_screen(5.0), LiveLesson(str(lesson)))
    assert problems(live.draw(pygame.Surface((1280, 720)))) == []
    change(lesson, TITLE, "Another title")
    live.update(EVERY_S)
    canvas = live.draw(pygame.Surface((1280, 720)))
    assert any("has changed" in t.text.replace("\n", " ") for t in canvas.texts)
    assert problems(canvas) == []
    assert not live.leave
    live.handle(press(pygame.K_F5))
    assert live.leave
    assert live.fresh.title == "Another title"


def test_mistakes_are_told_by_line_and_the_good_lesson_stays(lesson, make_screen, press):
    """File, line and key; any key hides them and still works; mended, the change is offered."""
    screen = make_screen(5.0)
    live = LiveScreen(screen, LiveLesson(str(lesson)))
    change(lesson, "level: 1", "level: 9")
    live.update(EVERY_S)
    for size, text in (((1280, 720), 3), ((1920, 1080), 1)):
        screen.desk.text_index = text
        canvas = live.draw(pygame.Surface(size))
        told = " ".join(t.text.replace("\n", " ") for t in canvas.texts)
        assert "where-the-oil-goes.yaml:" in told
        assert "level" in told
        assert problems(canvas) == []
    live.handle(press(pygame.K_F5))
    assert live.fresh is None
    live.update(EVERY_S)
    assert live.band == ""
    change(lesson, "level: 9", "level: 2")
    live.update(EVERY_S)
    assert "has changed" in live.band


def test_saved_as_it_was_nothing_is_offered(lesson, make_screen):
    """The same bytes written again are no change."""
    live = LiveScreen(make_screen(5.0), LiveLesson(str(lesson)))
    lesson.write_bytes(lesson.read_bytes())
    live.update(EVERY_S)
    assert live.band == ""


def test_shipped_lessons_are_not_watched(make_screen):
    """A lesson by its id has no author beside the window."""
    screen = make_screen(0.0)
    assert watched(screen, "cold-start") is screen


def test_the_window_goes_on_with_the_new_lesson(lesson, make_session, monkeypatch):
    """After F5 the lesson is loaded anew as the file says now, in the same mode."""
    loaded, loops = [], []

    def load(scenario, *_, **__):
        loaded.append(scenario.title)
        return Opened(make_session(5.0), AnswerSheet([]))

    def loop(shown, _frames):
        loops.append(type(shown))
        if len(loops) == 1:
            change(lesson, TITLE, "Another title")
            shown.look()
            shown.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_F5, unicode="", mod=0))
        else:
            shown.screen.leave = True

    monkeypatch.setattr(app, "open_session", load)
    monkeypatch.setattr(app, "do_behind_bar", lambda _, work, __: work(lambda *_: None))
    monkeypatch.setattr(app, "run_loop", loop)
    assert Application().open(OpenRequest(str(lesson), "practise"))
    assert loaded == [TITLE, "Another title"]
    assert loops == [LiveScreen, LiveScreen]
