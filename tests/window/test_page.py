"""What all pages share: frame, keys, lists, lines, long texts; and other ways in from the first screen."""

import pygame
import pytest
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import TEXT_SCALES, ViewOptions
from glasscan.ui.widgets import Button
from glasscan.window import routes
from glasscan.window.app import Application
from glasscan.window.home import home as home_module
from glasscan.window.open_request import OpenRequest
from glasscan.window.routes import Route

from tests.window.test_layout import problems

LONG = "The oil enters outside, passes the medium and leaves by the centre. " * 40


class Sample(Page):
    """A page with one of everything."""

    def __init__(self):
        super().__init__(ViewOptions())
        self.name, self.picked = "", ""

    title = "A page with a heading"
    aside = "12 min"

    def widgets(self, canvas, body):
        """A list, a line and a long text."""
        third = body.w // 3
        rows = [Row(f"r{i}", f"Row {i}", "two lines", f"{i} min", i % 2 == 0) for i in range(20)]
        column = pygame.Rect(body.x, body.y, third - 30, body.h)
        line = column.move(third, 0).inflate(0, 80 - body.h)
        return [
            ListBox("list", "List", lambda: rows, self.pick, box=column, row_h=canvas.tp(84)),
            LineEntry("name", "Nickname", lambda: self.name, self.call, box=line),
            ScrollText("text", "", lambda: LONG, box=column.move(2 * third, 0)),
        ]  # fmt: skip

    def first(self):
        """The list has the focus."""
        return "list"

    def pick(self, word):
        """Remember the row."""
        self.picked = word

    def call(self, text):
        """Remember the line."""
        self.name = text


@pytest.mark.parametrize("text", range(len(TEXT_SCALES)))
@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080), (2560, 1440)])
def test_nothing_is_cut_or_covered(size, text):
    """Head, foot, lists and long texts fit at every size and text scale promised; so does the help."""
    page = Sample()
    page.desk.text_index = text
    surface = pygame.Surface(size)
    assert problems(page.draw(surface)) == []
    page.desk.help = True
    assert problems(page.draw(surface)) == []


def test_keys_of_a_page(press):
    """Arrows and Enter choose from a list; a line takes letters; a long text moves; Escape leaves."""
    page = Sample()
    page.draw(pygame.Surface((1280, 720)))
    for _ in range(3):
        page.handle(press(pygame.K_DOWN))
    page.handle(press(pygame.K_RETURN))
    assert page.picked == "r3"
    page.handle(press(pygame.K_TAB))
    for letter in "Wen":
        page.handle(press(ord(letter.lower()), letter))
    assert page.name == "Wen"
    page.handle(press(pygame.K_TAB))
    page.handle(press(pygame.K_DOWN))
    assert page.form.focused.top == 1
    page.handle(press(pygame.K_ESCAPE))
    assert page.leave


def test_escape_leaves_a_line_before_the_page(press):
    """What is being typed keeps the first Escape: the line is left, then the page."""
    page = Sample()
    page.draw(pygame.Surface((1280, 720)))
    page.handle(press(pygame.K_TAB))
    page.handle(press(pygame.K_w, "W"))
    page.handle(press(pygame.K_ESCAPE))
    assert not page.leave
    page.handle(press(pygame.K_ESCAPE))
    assert page.leave


def test_theme_and_text_size_are_kept_by_the_desk(press):
    """What is switched on one page holds for the next one."""
    page = Sample()
    page.draw(pygame.Surface((1280, 720)))
    page.handle(press(pygame.K_t, "t"))
    page.handle(press(pygame.K_PLUS, "+"))
    assert (page.desk.theme, page.desk.text_index) == ("light", 2)


def taken(front):
    """A way in that shows one page."""
    return front.show(Sample())


def test_a_way_in_is_a_button_of_its_mode_and_is_opened(monkeypatch, press):
    """The button stands only under its mode; pressed, the window opens the way's pages."""
    way = Route("sample", "practise", "Try the sample", "For the test.", f"{__name__}:taken")
    monkeypatch.setattr(routes, "ROUTES", (way,))
    from glasscan.window.home.resume_state import ResumeState

    from tests.window.test_home import shelf

    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: {})
    home = home_module.Home(ViewOptions(), shelf(), ResumeState())
    surface = pygame.Surface((1920, 1080))
    home.update(0.0)
    home.draw(surface)
    assert not any(isinstance(w, Button) and w.name == "way-sample" for w in home.form.widgets)
    home.handle(press(pygame.K_2, "2"))
    assert problems(home.draw(surface)) == []
    home.form.focus_on("way-sample")
    home.handle(press(pygame.K_RETURN))
    assert home.wanted == OpenRequest("", "practise", way="sample")
    seen = []
    monkeypatch.setattr("glasscan.window.app.run_loop", lambda page, _: seen.append(page.title))
    assert Application().open(home.wanted)
    assert seen == [Sample.title]
