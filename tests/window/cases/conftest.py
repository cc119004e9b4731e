"""Cases for the window's tests: a small atlas, one solved filter, and hands that press keys page by page."""

from __future__ import annotations

import zlib

import numpy as np
import pygame
import pytest
from glasscan.learning.cases import atlas as store
from glasscan.learning.cases.case_play import Case, hidden_of
from glasscan.ui.page import Page
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cases import case_flow, case_store, debrief_runs
from glasscan.window.study import user_prefs

from tests.window.cases.smallworld import forget, small_world

KIND = "can"
SHORT_S = 4.0  # length of the run told after the verdict: a minute is for people


@pytest.fixture(scope="module", autouse=True)
def case_cache(tmp_path_factory, real_can):
    """Few faults, worked out once for each file of tests; the filter is solved once."""
    patch = pytest.MonkeyPatch()
    patch.setattr(store, "build", lambda _: real_can)
    patch.setattr(debrief_runs, "END_S", SHORT_S)
    small_world(patch, tmp_path_factory.mktemp("cases"))
    yield
    patch.undo()
    forget()


@pytest.fixture(autouse=True)
def case_folder(monkeypatch, tmp_path, real_can):
    """Cases, results and what is remembered are kept in a folder of the test."""
    folder = tmp_path / "cases"
    monkeypatch.setattr(case_store, "folder", lambda: folder)
    monkeypatch.setattr(user_prefs, "store_file", lambda: tmp_path / "data" / "results.sqlite3")
    monkeypatch.setattr(user_prefs, "path", lambda: tmp_path / "state" / "study.json")
    monkeypatch.setattr(case_flow, "section_of", lambda _: real_can)
    return folder


def seeds_after():
    """Seeds whose case has the regulator after the filter: the first draw of the generator."""
    for seed in range(1, 400):
        if np.random.default_rng([seed, zlib.crc32(KIND.encode())]).random() < 0.5:
            yield seed


@pytest.fixture(scope="module")
def runnable():
    """Seeds of cases that may be run, with faults that differ."""
    found = {}
    for seed in seeds_after():
        hidden = hidden_of(seed, KIND)
        if hidden.runnable and hidden.code not in found:
            found[hidden.code] = seed
        if len(found) == 3:
            return list(found.values())
    raise AssertionError("too few cases")


@pytest.fixture
def case(runnable):
    """A case that may be run."""
    return Case.begin(runnable[0], KIND, 2)


def key(code, text="", mod=0):
    """A key press."""
    return pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=mod)


NAMED = {
    "enter": pygame.K_RETURN, "down": pygame.K_DOWN, "up": pygame.K_UP, "tab": pygame.K_TAB,
    "escape": pygame.K_ESCAPE,
}  # fmt: skip


class Hands:
    """Presses keys on a page and draws it after each, as the frame loop does."""

    def __init__(self, page, size=(1280, 720)):
        self.page, self.surface = page, pygame.Surface(size)
        self.texts = []
        self.look()

    def look(self):
        """Draw once; the texts are collected."""
        canvas = self.page.draw(self.surface)
        self.texts += [t.text for t in canvas.texts]
        return canvas

    def press(self, *names):
        """Named keys or single letters, one after another; none once the page is left."""
        for name in names:
            if not self.page.leave:
                event = key(NAMED[name]) if name in NAMED else key(ord(name.lower()), name)
                self.page.handle(event)
                self.look()

    def type(self, text):
        """Letters into the field that has the focus."""
        self.press(*text)

    def mark(self, name, word):
        """Move a list's mark to a row by arrow keys."""
        widget = next(w for w in self.page.form.widgets if w.name == name)
        self.page.form.focus_on(name)
        rows = [row.word for row in widget.rows()]
        way = rows.index(word) - widget.at
        self.press(*(["down"] * way if way > 0 else ["up"] * -way))


def silent(share, what):
    """Tell nobody how far a piece of work is."""
    del share, what


class Front:
    """Stands for the window: gives each page to the next script in turn."""

    def __init__(self, *scripts):
        self.desk, self.scripts, self.pages = ViewOptions(), list(scripts), []

    def show(self, page):
        """Run a page by its script; a page without one is left by Escape."""
        self.pages.append(page)
        hands = Hands(page) if isinstance(page, Page) else None
        script = self.scripts.pop(0) if self.scripts else lambda h: h.press("escape")
        script(hands if hands is not None else page)
        assert page.leave, "the page was not left"
        return not page.quit

    def behind_bar(self, title, work):
        """Do the work at once."""
        del title
        return work(silent)


def order(hands, word, *suspects):
    """Ask for a test, tick suspects, order it."""
    hands.mark("tests", word)
    hands.press("enter")
    for code in suspects:
        hands.mark("suspects", code)
        if code not in hands.page.work.ticks:
            hands.press("enter")
    hands.press("g")


def decide(hands, code, action="", log=""):
    """Name a fault, write what shall be done and the entry, and give the verdict."""
    hands.press("6")
    hands.mark("verdict", code)
    hands.press("enter", "tab")
    hands.type(action)
    hands.press("tab")
    hands.type(log)
    hands.press("tab", "enter")
