"""Class results at the screen: files picked, marked, flags in words, written by one key."""

from pathlib import Path

import pygame
import pytest
from glasscan.cli.classwindow import class_view
from glasscan.files import write_whole
from glasscan.learning.exam.exam_sitting import begin
from glasscan.learning.exam.paper import paper_text, read_questions
from glasscan.learning.exam.paper_making import Order, make
from glasscan.learning.seals.instructor_key import make_key
from glasscan.learning.store.results_files import Loaded, marked_text
from glasscan.learning.store.store import Store
from glasscan.ui.view_options import ViewOptions
from glasscan.window.exam import class_flow, paper_flow, sitting_flow
from glasscan.window.exam.class_page import ClassPage
from glasscan.window.exam.results_page import ResultsPage
from glasscan.window.lesson import takeaway
from glasscan.window.study import user_prefs

from tests.reports.classroom.test_class_report import a_class
from tests.reports.classroom.test_reliability import TEN
from tests.window.study.conftest import Front, check_layout, focus, run, send

LESSONS, PHRASE, WORD = ("where-the-oil-goes",), "lime tree at dusk", "tulo-meva-kiru"


def ten_files(folder):
    """The published class of ten, as results files."""
    for i, results in enumerate(a_class(TEN)):
        text = marked_text(results, paper_flow.data_folder())
        write_whole(folder / f"person-{i}.marked.json", text)
    return folder


def texts_of(page, size=(1920, 1080)):
    """All that is drawn."""
    return [t.text for t in page.draw(pygame.Surface(size)).texts]


def test_published_figures_and_flags_in_words(tmp_path):
    """Ten people, ten questions (Wuensch, East Carolina University): KR-20 .70, two keys to check."""
    loaded = [(Path(f"{i}.json"), Loaded(r, False)) for i, r in enumerate(a_class(TEN))]
    page = ClassPage(ViewOptions(), class_view(loaded, None), tmp_path)
    texts = texts_of(page)
    assert "0.70" in texts  # KR-20 .6963
    assert texts.count("▲ check the key") == 2  # questions 7 and 9, corrected -.0274 and -.1236
    assert "−0.03" in texts
    assert "−0.12" in texts
    assert "0.71" in texts  # question 1 corrected .7059
    assert any("fewer than 30" in t.replace("\n", " ") for t in texts)
    names = {r.nickname for r in a_class(TEN)}
    assert not names & set(texts)
    check_layout(page)


def test_no_variance_is_a_dash(tmp_path):
    """Everyone right everywhere: a dash, never 0."""
    loaded = [(Path(f"{i}.json"), Loaded(r, False)) for i, r in enumerate(a_class(TEN * 0 + 1))]
    texts = texts_of(ClassPage(ViewOptions(), class_view(loaded, None), tmp_path))
    assert texts.count("–") == 10 + 3  # every question, and three figures of the paper
    assert texts.count("no variance") == 10


def test_from_a_folder_to_the_written_page(tmp_path):
    """The folder's marked files are ticked; G shows the figures; W writes page and tables."""
    folder = ten_files(tmp_path / "marked")
    user_prefs.change(folder=str(folder))
    seen = {}

    def pick(page):
        check_layout(page)
        seen["aside"] = page.aside
        send(page, "g")

    def figures(page):
        send(page, "w")
        seen["notice"] = page.notice
        send(page, "esc")

    front = Front(pick, figures, lambda p: send(p, "esc", "esc"))
    front.class_maker = class_view
    assert class_flow.class_results(front)
    assert seen["aside"] == "10 of 10 files"
    assert seen["notice"].startswith("Written: class.html, items.csv, people.csv")
    written = next(folder.glob("class-*"))
    assert "<svg" in (written / "class.html").read_text(encoding="utf-8")
    assert (written / "people.csv").read_text(encoding="utf-8").count("\n") >= 11


def handed_in(folder, phrase):
    """A sealed paper, and the results of two people who answered its first question."""
    made = make(Order("spring", LESSONS, None if phrase else 7, 30.0), run)
    key = make_key(paper_flow.data_folder(), phrase).public if phrase else None
    paper = write_whole(folder / "paper.json", paper_text(made.sources, key, WORD))
    opened = read_questions(paper, lambda: WORD)
    with Store(folder / "results.sqlite3") as store:
        for who, part in (("Priya", 0), ("Tomas", 1)):
            exam = begin(store, store.person(who), opened.paper)
            question = opened.paper.questions[0]
            exam.give(question, question.asked.parts[part][1], 5.0)
            sitting_flow.write_results(store, opened, exam.hand_in())
    return paper


@pytest.mark.parametrize("phrase", [None, PHRASE])
def test_files_that_are_not_marked_are_marked_first(monkeypatch, tmp_path, phrase):
    """Figures of unmarked files are refused in words; marked with paper and pass-phrase they are shown."""
    monkeypatch.setattr(takeaway, "home_folder", lambda: tmp_path / "handed")
    monkeypatch.setattr(paper_flow, "work_out", lambda scenario, _: run(scenario))
    paper = handed_in(tmp_path, phrase)
    user_prefs.change(folder=str(tmp_path / "handed"), paper=str(paper))
    seen = {}

    def pick(page):
        send(page, "g")
        seen["refused"] = page.notice
        focus(page, "phrase")
        send(page, f"text:{phrase or ''}")
        focus(page, "mark")
        send(page, "enter")

    def marked(page):
        check_layout(page)
        seen["marked"] = [row.right for row in page.rows]
        send(page, "enter")

    def figures(page):
        texts = " ".join(texts_of(page)).replace("\n", " ")
        seen["people"] = page.aside
        check_layout(page)
        assert "of 2 reached 75%" in texts
        send(page, "esc")

    front = Front(pick, marked, lambda p: send(p, "g"), figures, lambda p: send(p, "esc", "esc"))
    front.class_maker = class_view
    assert class_flow.class_results(front)
    assert seen["refused"] == "Some ticked files are not marked yet: mark them first."
    assert seen["marked"] == ["not yet", "not yet"]
    assert seen["people"] == "2 people"


def test_an_empty_folder_and_a_wrong_paper_are_said(tmp_path):
    """No traceback: one line in the foot."""
    page = ResultsPage(ViewOptions(), str(tmp_path / "nowhere"), "", class_flow.look)
    check_layout(page)
    send(page, "tab")
    page._go("figures")
    assert page.notice == "Tick at least one file."
    page.texts["folder"] = str(ten_files(tmp_path))
    page._looked()
    page._go("mark")
    assert page.notice == "To mark, type where the paper lies."
