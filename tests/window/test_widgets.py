"""Widgets by events alone, as a keyboard or a mouse would send them."""

import pygame
import pytest
from glasscan.ui import text_input
from glasscan.ui.canvas import Canvas, cut, font
from glasscan.ui.focus import Form
from glasscan.ui.slider import Slider, parse_number
from glasscan.ui.text_input import LineEntry, NumberField, TextPad
from glasscan.ui.theme import load_theme
from glasscan.ui.widgets import Button, Choice, Toggle


def key(code, text="", mod=0):
    """A key press."""
    return pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=mod)


def click(x, y):
    """A left click."""
    return pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=(x, y), button=1)


@pytest.fixture
def bench():
    """A form with one widget of each kind and the values they set."""
    seen = {"slide": 20.0, "grade": "thin", "on": False, "text": "", "pressed": 0}

    def bump():
        seen["pressed"] += 1

    form = Form(
        [
            Button("go", "Go", bump, box=pygame.Rect(10, 10, 200, 50)),
            Slider(
                "air",
                "Air",
                -50,
                50,
                1,
                lambda: seen["slide"],
                lambda v: seen.update(slide=v),
                "°C",
                box=pygame.Rect(10, 70, 400, 80),
            ),
            Choice(
                "oil",
                "Oil",
                ("thin", "thick"),
                lambda: seen["grade"],
                lambda v: seen.update(grade=v),
                box=pygame.Rect(10, 160, 400, 50),
            ),
            Toggle(
                "names",
                "Names",
                lambda: seen["on"],
                lambda v: seen.update(on=v),
                box=pygame.Rect(10, 220, 400, 50),
            ),
            NumberField(
                "answer",
                "Answer",
                lambda: seen["text"],
                lambda v: seen.update(text=v),
                box=pygame.Rect(10, 280, 400, 70),
            ),
        ]
    )
    return form, seen


def test_tab_visits_every_widget_in_order_and_comes_round(bench):
    """WCAG 2.1.1 and 2.4.3: all of it by keyboard, in the order declared, with no trap."""
    form, _ = bench
    visited = []
    for _ in range(6):
        form.handle(key(pygame.K_TAB))
        visited.append(form.focused.name)
    assert visited == ["go", "air", "oil", "names", "answer", "go"]
    form.handle(key(pygame.K_TAB, mod=pygame.KMOD_SHIFT))
    assert form.focused.name == "answer"


def test_disabled_and_hidden_widgets_are_passed_over(bench):
    """Focus on something that cannot be used would strand a keyboard user."""
    form, _ = bench
    form.widgets[1].enabled = False
    form.widgets[2].visible = False
    form.handle(key(pygame.K_TAB))
    form.handle(key(pygame.K_TAB))
    assert form.focused.name == "names"


def test_button_by_enter_and_by_click(bench):
    """Both ways press it once; Space is not taken, it belongs to run and pause."""
    form, seen = bench
    form.focus_on("go")
    form.handle(key(pygame.K_RETURN))
    form.handle(click(50, 30))
    assert seen["pressed"] == 2
    assert not form.handle(key(pygame.K_SPACE, " "))


def test_slider_by_arrows_typing_and_drag(bench):
    """A drag has an arrow-key twin and a typed twin (WCAG 2.5.7)."""
    form, seen = bench
    form.focus_on("air")
    form.handle(key(pygame.K_RIGHT))
    assert seen["slide"] == 21
    for mark in "-12":
        form.handle(key(ord(mark), mark))
    form.handle(key(pygame.K_RETURN))
    assert seen["slide"] == -12
    track = form.widgets[1].groove()
    form.handle(click(track.x, track.centery))
    assert seen["slide"] == -50
    form.handle(pygame.event.Event(pygame.MOUSEMOTION, pos=(5000, track.centery), buttons=(1, 0, 0)))
    assert seen["slide"] == 50


def test_slider_keeps_its_range_whatever_is_typed(bench):
    """Typed numbers out of range are clamped, and nonsense leaves the value alone."""
    form, seen = bench
    form.focus_on("air")
    for mark in "999":
        form.handle(key(ord(mark), mark))
    form.handle(key(pygame.K_RETURN))
    assert seen["slide"] == 50
    for mark in "--":
        form.handle(key(ord("-"), mark))
    form.handle(key(pygame.K_RETURN))
    assert seen["slide"] == 50


def test_choice_steps_and_stops_at_the_ends(bench):
    """Arrows walk the list and do not fall off it."""
    form, seen = bench
    form.focus_on("oil")
    form.handle(key(pygame.K_RIGHT))
    form.handle(key(pygame.K_RIGHT))
    assert seen["grade"] == "thick"
    form.handle(click(20, 180))
    assert seen["grade"] == "thin"


def test_toggle_and_entry(bench):
    """A toggle flips; an entry takes digits, sign and comma, refuses letters, and deletes."""
    form, seen = bench
    form.focus_on("names")
    form.handle(key(pygame.K_RETURN))
    assert seen["on"] is True
    form.focus_on("answer")
    for mark in "1a2,5":
        form.handle(key(ord(mark), mark))
    assert seen["text"] == "12,5"
    form.handle(key(pygame.K_BACKSPACE))
    assert seen["text"] == "12,"


def test_the_clipboard_is_pasted_as_far_as_it_fits(monkeypatch):
    """Ctrl and V put in what is taken: a path into a line, only the digits of it into a number."""
    monkeypatch.setattr(text_input, "pasted", lambda: "a 12\tb")
    kept = {"line": "", "number": "", "page": ""}
    made = [
        LineEntry("line", "File", lambda: kept["line"], lambda t: kept.update(line=t), most=4),
        NumberField("number", "", lambda: kept["number"], lambda t: kept.update(number=t)),
        TextPad("page", "", lambda: kept["page"], lambda t: kept.update(page=t)),
    ]
    for widget in made:
        assert widget.handle(key(pygame.K_v, mod=pygame.KMOD_LCTRL))
    assert kept == {"line": "a 12", "number": "12", "page": "a 12b"}
    assert made[2].handle(key(pygame.K_RETURN))
    assert kept["page"].endswith("\n")


def test_numbers_as_people_write_them():
    """Decimal comma and point are the same; words are no number."""
    assert parse_number("0,83") == parse_number("0.83") == 0.83
    assert parse_number("−4") == -4
    assert parse_number("abc") is None


def test_focus_ring_can_be_seen(bench):
    """WCAG 2.4.7: drawing with and without focus differs, outside the control's own box."""
    form, _ = bench
    plain = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"))
    ringed = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"))
    form.draw(plain)
    form.focus_on("oil")
    form.draw(ringed)
    box = form.widgets[2].box
    spot = (box.centerx, box.y - 3)
    assert plain.surface.get_at(spot) != ringed.surface.get_at(spot)
    ring, accent = ringed.surface.get_at(spot), load_theme("dark")["accent"]
    assert max(abs(a - b) for a, b in zip(ring[:3], accent, strict=True)) < 12


def test_text_records_whether_it_fits():
    """The record is what the layout test relies on: a text wider than its box is reported."""
    canvas = Canvas(pygame.Surface((1920, 1080)), load_theme("light"))
    canvas.text("short", pygame.Rect(0, 0, 400, 40))
    canvas.text("far too long for this box", pygame.Rect(0, 50, 60, 40))
    assert [t.fits for t in canvas.texts] == [True, False]


def test_ellipsis_only_where_it_is_needed():
    """A text that fits is left whole, one that does not ends in an ellipsis and then fits."""
    face = font(24)
    assert cut("abc", face, 500) == "abc"
    short = cut("a rather long caption", face, 120)
    assert short.endswith("…")
    assert face.size(short)[0] <= 120
