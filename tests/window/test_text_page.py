"""F2 on any screen: all that is drawn as text on a page, and back again; through the window's own loop."""

from __future__ import annotations

import pygame
import pytest
from glasscan.ui.layout import Column, Item, Text
from glasscan.ui.page import Page
from glasscan.ui.text_input import LineEntry
from glasscan.ui.text_page import TextPage, text_lines
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button
from glasscan.window import app

SIZE = (1280, 720)


class Sample(Page):
    """A page with words, a field and a button."""

    title = "Change the filter"

    def compose(self, canvas):
        """Rows."""
        del canvas
        field = LineEntry("torque", "Torque, N m", lambda: "25", print)
        return Column(
            [Text("Read the torque in the manual."), Item(field), Item(Button("go", "Go on", self.back))]
        )


@pytest.fixture
def window(monkeypatch):
    """A window that nobody sees."""
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    pygame.display.init()
    pygame.font.init()
    pygame.display.set_mode(SIZE)
    yield
    pygame.display.quit()


def key(code):
    """A key pressed."""
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=code, unicode="", mod=0))


@pytest.mark.usefixtures("window")
def test_f2_shows_the_screen_as_text_and_goes_back(monkeypatch):
    """The loop hands the key to no page; Escape leads back to the screen as it was."""
    seen, loop = [], app.run_loop

    def watched(screen, _frames=None):
        seen.append(screen)
        if isinstance(screen, TextPage):
            key(pygame.K_ESCAPE)
        loop(screen, 3)

    monkeypatch.setattr(app, "run_loop", watched)
    page = Sample(ViewOptions())
    surface = pygame.display.get_surface()
    page.draw(surface)
    key(pygame.K_F2)
    app.run_loop(page)
    assert [type(one).__name__ for one in seen] == ["Sample", "TextPage"]
    assert "Read the torque in the manual." in seen[1].text
    assert seen[1].leave
    assert not page.quit


def test_all_that_is_drawn_is_there_and_what_can_be_pressed():
    """In the order of reading; the widget with the focus is marked."""
    page = Sample(ViewOptions())
    canvas = page.draw(pygame.Surface(SIZE))
    page.form.focus_on("torque")
    lines = text_lines(canvas, page.form)
    whole = "\n".join(lines)
    assert all(box.text.replace("\n", " ") in whole for box in canvas.texts)
    assert whole.index("Change the filter") < whole.index("Read the torque") < whole.index("Go on")
    assert "> Torque, N m (text to fill in)" in lines
    assert "  Go on (button)" in lines


def test_the_text_page_fits_at_every_size():
    """Long texts scroll; nothing is cut."""
    page = TextPage(ViewOptions(), ["A line of some length about oil and filters. " * 4] * 60)
    for size in ((1280, 720), (1920, 1080)):
        for _ in range(2):
            canvas = page.draw(pygame.Surface(size))
            page.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_m, unicode="m", mod=0))
            text = next(box for box in canvas.texts if box.text.startswith("A line of some length"))
            assert text.fits
    assert canvas.text_scale == 2.0
