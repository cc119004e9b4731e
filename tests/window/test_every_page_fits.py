"""Pages, sheets, notices and bars with the longest words they may show: nothing cut, nothing covered."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pygame
import pytest
from glasscan.ui import progress_task
from glasscan.ui.page_widgets import Row
from glasscan.ui.view_options import ViewOptions
from glasscan.window.bench.choose_filter_page import ChoosePage
from glasscan.window.bench.choose_job_page import ChooseJobPage
from glasscan.window.exam import paper_flow, sitting_flow
from glasscan.window.exam.class_figures import ChoiceUse, ClassView, ItemView
from glasscan.window.exam.class_page import ClassPage
from glasscan.window.exam.gate_pages import PassPage, ReadyPage
from glasscan.window.exam.marked_page import MarkedPage, MarkedPaper
from glasscan.window.exam.papers_page import Found, PapersPage
from glasscan.window.exam.results_page import ResultRow, ResultsPage
from glasscan.window.home.home import Home
from glasscan.window.home.resume_state import ResumeState
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.study.nickname_page import WhoPage
from glasscan.window.study.session_end_page import OverPage

from tests.window.test_home import Idle, shelf
from tests.window.test_layout import problems

LONG = "a-paper-with-a-name-that-nobody-would-give-but-somebody-will"
FOLDER = "School drive/Documents/Marrow Hill/2026/Autumn term/Group B/second attempt"
FILE = Path(FOLDER) / f"{LONG}-9946.json"
WHERE = paper_flow.user_prefs.told(FILE)
SIZES = [((1280, 660), 1), ((1280, 720), 3), ((1920, 1080), 1), ((1920, 1080), 3), ((2560, 1440), 1)]
"""Window in pixels and step of the text size; the first is a small screen less the bars of its desktop."""
ASKED = "The air was at −6 °C. What was the largest pressure difference across the filter, and when? " * 2


def item(i, choices=()):
    """A question of a class with the longest name."""
    uses = tuple(ChoiceUse(f"{text} " * 5, 0.25, j == 0) for j, text in enumerate(choices))
    return ItemView(
        f"where-the-oil-goes/difference-at-speed-{i}", 0.5, -0.21, "▲ check the key", True, 1, uses, ASKED
    )


def a_class(choices=()):
    """Figures of a class."""
    figures = (("Reliability at twice the length", "0.71"),) * 3
    warnings = ("Only 1 taker, fewer than 30: the figures are a hint only.",) * 3
    items = tuple(item(i, choices) for i in range(14))
    return ClassPage(
        ViewOptions(), ClassView(LONG, (0.3, 0.9), 1, 0.75, figures, items, warnings), Path(FOLDER)
    )


def results(folder):
    """Results files with long names."""
    return [
        ResultRow(folder / f"{LONG}-{i}.results.json", f"Person {i}", LONG, bool(i % 2)) for i in range(12)
    ]


ROWS = [
    Row("a", "A question whose words go on for quite a while, as they do", f"Not yet: {LONG}", "not yet")
] * 9
PAGES = {
    "who": lambda: WhoPage(ViewOptions(), []),
    "who-known": lambda: WhoPage(
        ViewOptions(), [f"Person {i} of the longest name there is" for i in range(30)]
    ),
    "pass-phrase": lambda: PassPage(ViewOptions(), LONG, str),
    "ready": lambda: ReadyPage(ViewOptions(), LONG, f"12 questions, 23 marks.\n\n{ASKED}", "Mark it now"),
    "over": lambda: OverPage(ViewOptions(), "That did not work", f"{FILE}: {ASKED}", ROWS),
    "made-sealed": lambda: OverPage(
        ViewOptions(), "The paper is made", f"{WHERE}\n\n{paper_flow.SEALED}", []
    ),
    "made-open": lambda: OverPage(ViewOptions(), "The paper is made", f"{WHERE}\n\n{paper_flow.OPEN}", []),
    "time-is-up": lambda: OverPage(ViewOptions(), "The time is up", sitting_flow.TIME_IS_UP, []),
    "marked": lambda: MarkedPage(ViewOptions(), LONG, "Not yet: 3 of 23 (13%, pass mark 75%).", False,
                                 [MarkedPaper(ASKED, "no answer", 0.0, 2.0, ASKED)] * 9),
    "papers": lambda: PapersPage(
        ViewOptions(), "Wen", [Found(FILE, LONG, "sealed", "under way, 12:30 left")] * 9
    ),
    "no-papers": lambda: PapersPage(ViewOptions(), "Wen", []),
    "results": lambda: ResultsPage(ViewOptions(), FOLDER, str(FILE), results),
    "no-results": lambda: ResultsPage(ViewOptions(), FOLDER, str(FILE), lambda _: []),
    "class": a_class,
    "class-choices": lambda: a_class(("the drop", "the gauge", "the lift")),
    "bench": lambda: ChoosePage(ViewOptions()),
    "jobs": lambda: ChooseJobPage(ViewOptions()),
}  # fmt: skip


@pytest.mark.parametrize("name", PAGES)
def test_a_page_and_its_sheet_of_keys_fit(name):
    """As it opens, with a long notice, with a bad one, and under its sheet of keys, in both themes."""
    page = PAGES[name]()
    for n, (size, text) in enumerate(SIZES):
        surface, page.desk.text_index = pygame.Surface(size), text
        page.desk.theme = ("dark", "light")[n % 2]
        for notice, bad, sheet in (
            ("", False, False),
            (f"There is no file '{FILE}'.", True, False),
            ("", False, True),
        ):
            page.notice, page.notice_bad, page.desk.help = notice, bad, sheet
            assert problems(page.draw(surface)) == [], (size, text, notice, sheet)
        assert all(surface.get_rect().contains(w.box) for w in page.form.widgets if w.visible)


@pytest.mark.parametrize(("size", "text"), SIZES)
def test_the_first_screen_fits_between_the_bars_of_a_small_desktop(monkeypatch, size, text):
    """With what went wrong in its heading, for each of the three things to do."""
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: {})
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.WorkerProcess", Idle)
    left = ResumeState(scenario="l1", title="Lesson 1 of a rather long name, and then some more", t_s=3723.4)
    home = Home(
        ViewOptions(text_index=text), shelf(), left, f"{FILE}:12:3: plant.regulator: expected before or after"
    )
    for home.mode in ("demonstrate", "practise", "exam"):
        home.update(0.0)
        assert problems(home.draw(pygame.Surface(size))) == []


@pytest.mark.parametrize(("size", "text"), SIZES)
def test_a_lesson_with_long_words_fits(make_session, size, text):
    """Notices of saved files, the end of the model, and the loading bar."""
    session = make_session(30.0)
    session.facts = replace(
        session.facts, title="Where the oil goes when the filter is old and the morning cold"
    )
    screen = Screen(session, ViewOptions(text_index=text))
    for notice in ("", f"Saved: {FILE} and {LONG}-key.html", "No hands were counted yet (H)."):
        screen.taker.notice = notice
        assert problems(screen.draw(pygame.Surface(size))) == []
    session.trouble = "the flow at 3,720.4 s was not found: residual 3.2e-4 after 60 steps"
    assert problems(screen.draw(pygame.Surface(size))) == []
    bar = progress_task.draw_bar(
        pygame.Surface(size), session.facts.title, 0.4, "Working out the faults, once for all"
    )
    assert problems(bar) == []
