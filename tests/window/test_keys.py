"""One table of keys: what is dispatched, what the key sheet says, what captions and guide print."""

from __future__ import annotations

import inspect
import re
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages

import glasscan.window
import pygame
import pytest
from glasscan.reports.guide import FIRST_TEN
from glasscan.ui.bindings import Binding, acts_of
from glasscan.ui.page import Page
from glasscan.window.lesson.lesson_keys import acts, bindings, printed_sheet, sheet
from glasscan.window.presenter.notes_pane import KEYS as NOTE_KEYS

from tests.window.test_every_page_fits import PAGES

NAMES = {
    "Space": {"space"},
    "Home": {"home"},
    "Esc": {"escape"},
    "+": {"+"},
    "−": {"-"},
    "←": {"left"},
    "→": {"right"},
}
BY_WIDGETS = {"Tab", "Enter", "Tab, Enter", "↑  ↓", "Arrows", "Page ↑ ↓", "1 to 9", "1 to 4"}
"""Keys that the widget with the focus takes."""
TOP = Path(__file__).parents[2]


def stands_for(row: Binding) -> set[str]:
    """Keys that the sheet shows for a row, as they are dispatched."""
    if "…" in row.shown or "Page" in row.shown:
        return set(row.acts)
    return set().union(*(NAMES.get(word, {word.lower()}) for word in row.shown.replace(",  ", " ").split()))


def wrong(rows: tuple[Binding, ...]) -> list[str]:
    """Rows that show a key which does nothing, or do something on a key they do not show."""
    found = []
    for row in rows:
        hidden = set(row.acts) - stands_for(row) - {" ", "=", "f1"}
        idle = (
            stands_for(row) - set(row.acts) if row.shown not in BY_WIDGETS | {"F2", "F5", "←  →"} else set()
        )
        found += [f"{row.shown}: {row.what}"] if hidden or idle else []
    return found


def test_the_sheet_of_a_lesson_shows_every_key_and_no_other(make_screen):
    """Each key shown acts, each key that acts is shown."""
    screen = make_screen(20.0)
    assert wrong(bindings(screen)) == []
    assert sheet(screen) == printed_sheet()
    assert acts(screen).keys() == acts_of(bindings(screen)).keys()


@pytest.mark.parametrize("name", sorted(PAGES))
def test_the_sheet_of_a_page_shows_every_key_and_no_other(name):
    """The same for pages."""
    page = PAGES[name]()
    page.draw(pygame.Surface((1280, 720)))
    if isinstance(page, Page):
        assert wrong(page.all_bindings()) == []


def test_a_row_with_a_key_of_another_is_refused():
    """Two rows cannot claim one key; a row that hides one is seen."""
    with pytest.raises(ValueError, match="two rows"):
        acts_of((Binding("A", "one", {"a": print}), Binding("B", "two", {"a": print})))
    assert wrong((Binding("M", "magnet", {"m": print, "n": print}),)) == ["M: magnet"]
    assert wrong((Binding("M", "magnet", {"n": print}),)) == ["M: magnet"]


def test_no_page_keeps_a_second_table():
    """Every page of the window says its keys by `bindings` alone."""
    pages = []
    for module in walk_packages(glasscan.window.__path__, "glasscan.window."):
        for _, cls in inspect.getmembers(import_module(module.name), inspect.isclass):
            if issubclass(cls, Page):
                pages.append(cls)
    assert len(set(pages)) > 20
    assert [c.__name__ for c in set(pages) if {"acts", "keys"} & set(vars(c))] == []


def captions(canvas):
    """Keys named in brackets in what was drawn."""
    return {key for drawn in canvas.texts for key in re.findall(r"\(([A-Z])\)", drawn.text)}


def test_captions_name_keys_that_act(make_screen, press):
    """A key in brackets on the screen, with the controls open, is one that acts."""
    screen = make_screen(20.0)
    surface = pygame.Surface((1920, 1080))
    screen.draw(surface)
    screen.handle(press(pygame.K_c, "c"))
    named = set()
    for _ in range(12):
        named |= captions(screen.draw(surface))
        next(w for w in screen.form.widgets if w.name == "page").step(1)
    assert named
    assert named <= {key.upper() for key in acts(screen)}


@pytest.mark.parametrize("name", sorted(PAGES))
def test_captions_of_pages_name_keys_that_act(name):
    """The same on pages."""
    page = PAGES[name]()
    canvas = page.draw(pygame.Surface((1920, 1080)))
    if isinstance(page, Page):
        known = {key.upper() for key in acts_of(page.all_bindings())}
        assert captions(canvas) <= known


def test_the_guide_and_the_notes_name_keys_that_act(make_screen):
    """The first ten minutes of the printed guide and the foot of the notes agree with the table.

    That the guide prints the whole sheet is tested with the reports.
    """
    known = {key.upper() for key in acts(make_screen(20.0))}
    told = " ".join(how for _, how in FIRST_TEN)
    named = set(re.findall(r"(?:^|[.;] )([A-Z])(?=[:,; ]| freezes)", told)) - {"A", "I"}
    assert {"H", "W", "F", "B", "J", "Z", "K"} <= named
    assert named <= known
    assert set(re.findall(r"(?:^|\s)([A-Z])(?= [a-z])", NOTE_KEYS)) <= known


def test_the_readme_names_keys_that_act(make_screen):
    """Keys in the README's text on the window."""
    text = (TOP / "README.md").read_text("utf-8")
    known = {key.upper() for key in acts(make_screen(20.0))} | {"F2", "F5"}
    named = set(re.findall(r"\bF\d+\b(?!\w)", text)) & {f"F{i}" for i in range(1, 13)}
    assert named
    assert named <= known


@pytest.mark.parametrize("size", [(1280, 660), (1280, 720), (1920, 1080), (2560, 1440)])
@pytest.mark.parametrize("text", [0, 1, 3])
def test_the_key_sheet_is_whole_at_every_size(make_screen, size, text):
    """Nothing of the sheet leaves it or lies over something else, up to the largest text."""
    screen = make_screen(20.0, help=True, text_index=text)
    canvas = screen.draw(pygame.Surface(size))
    sheet_box = pygame.Rect(0, 0, *size).inflate(-20, 0)
    boxes = [drawn.drawn for drawn in canvas.texts if drawn.text.strip()]
    assert all(sheet_box.contains(box) for box in boxes)
    assert all(box.collidelist(boxes[i + 1 :]) < 0 for i, box in enumerate(boxes))
