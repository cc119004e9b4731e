"""A front that plays pages with keys instead of a window, and runs of lessons that are worked out once."""

from datetime import date

import pygame
import pytest
from glasscan.learning.exam.paper_making import Run
from glasscan.learning.store.store import Store
from glasscan.learning.study.study_session import StudySession as Study
from glasscan.learning.variants import load_variant
from glasscan.ui.view_options import ViewOptions
from glasscan.window.study import user_prefs
from glasscan.window.study.review_session import ReviewSession

from tests.learning.playing import kept_run
from tests.window.test_layout import problems

SIZES = [((1280, 720), 1), ((1920, 1080), 1), ((2560, 1440), 1), ((1280, 720), 3), ((1920, 1080), 3)]
SEED = 7  # one seed for all, so that each run is worked out once
KEYS = {
    "enter": pygame.K_RETURN, "tab": pygame.K_TAB, "esc": pygame.K_ESCAPE, "left": pygame.K_LEFT,
    "right": pygame.K_RIGHT, "up": pygame.K_UP, "down": pygame.K_DOWN, "pageup": pygame.K_PAGEUP,
    "pagedown": pygame.K_PAGEDOWN, "back": pygame.K_BACKSPACE, "f2": pygame.K_F2,
}  # fmt: skip


def send(page, *words):
    """Press keys: a name of `KEYS`, "text:..." to type, or one letter; a frame is drawn after each word."""
    for word in words:
        marks = list(word.removeprefix("text:")) if word.startswith("text:") else [word]
        for mark in marks:
            code = KEYS.get(mark, pygame.K_UNKNOWN)
            text = "" if mark in KEYS else mark
            page.handle(pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=0))
        page.update(0.0)
        page.draw(pygame.Surface((1280, 720)))


def focus(page, name):
    """Reach a widget by Tab alone."""
    page.draw(pygame.Surface((1280, 720)))
    for _ in range(60):
        if page.form.focused is not None and page.form.focused.name == name:
            return
        send(page, "tab")
    raise AssertionError(f"Tab does not reach {name}: {[w.name for w in page.form.widgets]}")


def solve_case(page, words):
    """Answer a case by keys: suspects, tests and verdict, each on its pane."""
    suspects, tests = [c for c, _ in page.quiz.card.choices], [t.word for t in page.quiz.card.tests]
    for head, names in (("think:", suspects), ("test:", tests), ("verdict:", suspects)):
        mine = [w.removeprefix(head) for w in words if w.startswith(head)]
        send(page, *(str(names.index(name) + 1) for name in mine))
        if head != "verdict:":
            send(page, "right")


def check_layout(page):
    """Nothing cut or covered at any size promised, in both themes."""
    for size, text in SIZES:
        page.desk.text_index = text
        assert problems(page.draw(pygame.Surface(size))) == [], (size, text)
    page.desk.text_index = 1


class Front:
    """Plays pages: for each page shown, the next function of `plays` is called with it."""

    def __init__(self, *plays):
        self.desk, self.plays, self.opened = ViewOptions(), list(plays), []
        self.class_maker = None

    def show(self, page):
        """Draw the page and let the next player have it."""
        page.draw(pygame.Surface((1280, 720)))
        if not self.plays:
            page.quit = True
            return False
        self.plays.pop(0)(page)
        return not page.quit

    def open(self, wanted):
        """Remember what was opened."""
        self.opened.append(wanted)
        return True

    def behind_bar(self, _title, work):
        """Work at once."""
        return work(lambda *_: None)


class DoneRuns:
    """Runs that are there at once; `held` keeps them back."""

    def __init__(self, scenarios, held=False):
        self.held = held
        del scenarios

    def update(self):
        """Nothing goes on beside."""

    def ready(self, name):
        """Whether a run is there."""
        del name
        return not self.held

    def share(self, name):
        """How far a run is."""
        del name
        return 0.4 if self.held else 1.0

    def __call__(self, scenario):
        """The run."""
        from glasscan.window.questions.key_run import AnswersAwaitedError

        if self.held:
            raise AnswersAwaitedError("Working out the run: 40 % done.")
        return kept_run(scenario)

    def stop(self):
        """Nothing to stop."""


run: Run = DoneRuns(())


@pytest.fixture(autouse=True)
def _own_store(monkeypatch, tmp_path):
    """Answers and papers of a test stay in its folder."""
    monkeypatch.setattr(user_prefs, "store_file", lambda: tmp_path / "data" / "results.sqlite3")


@pytest.fixture
def store():
    """The results store of the test."""
    with Store(user_prefs.store_file()) as opened:
        yield opened


@pytest.fixture
def make_session(store):
    """Builds a session of questions, by name."""

    def make(names, held=False):
        lessons = {n: load_variant(n, SEED) for n in dict.fromkeys(x.partition("/")[0] for x in names)}
        runs = DoneRuns(lessons.values(), held)
        day = date(2031, 3, 1)
        desk = Study(store, store.person("Wen"), SEED, lambda name, _: lessons[name], runs, day)
        every = [[n] if "/" in n else [f"{n}/{p.id}" for p in lessons[n].prompts] for n in names]
        return ReviewSession(desk, runs, desk.items([name for group in every for name in group]))

    return make
