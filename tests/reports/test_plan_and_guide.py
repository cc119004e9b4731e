"""Pages for whoever teaches: every lesson has a plan without answers, the keys are the window's."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.scenario_loading import load_scenario
from glasscan.reports.guide import guide_page
from glasscan.reports.lesson_plan import lesson_plan
from glasscan.window.lesson.lesson_keys import printed_sheet


class Texts(HTMLParser):
    """All words of a page, and its elements."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.words, self.tags = "", []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        """Note it."""
        del attrs
        self.tags.append(tag)

    def handle_data(self, data):
        """Add words."""
        self.words += data + " "


@pytest.mark.parametrize("name", scenario_names())
def test_every_lesson_has_a_plan(name):
    """Title, objective, caution, every note and every question; a page with landmarks."""
    lesson = load_scenario(name)
    page = Texts(lesson_plan(lesson))
    for words in (lesson.title, lesson.objective, lesson.safety, *(note.say for note in lesson.notes)):
        assert " ".join((words or "").split()) in " ".join(page.words.split())
    assert page.tags.count("main") == page.tags.count("footer") == 1
    assert page.words.count("after the run") + page.words.count("before the run") >= len(lesson.prompts)


def test_the_plan_tells_no_reason():
    """It may lie on the desk in front of the class."""
    lesson = load_scenario("cold-start")
    page = Texts(lesson_plan(lesson)).words
    assert not [p.id for p in lesson.prompts if p.why and p.why in page]


def test_the_guide_has_the_keys_of_the_window():
    """One page, made from the same table as the sheet of keys."""
    page = Texts(guide_page(printed_sheet())).words
    assert all(what in page for _, what in printed_sheet())


def test_the_command_writes_them_and_replaces_nothing(tmp_path, capsys):
    """As a user types it."""
    from glasscan.cli.main import main

    path = tmp_path / "plan.html"
    assert main(["plan", "cold-start", "--out", str(path)]) == 0
    assert main(["plan", "cold-start", "--out", str(path)]) == 2
    assert "--force" in capsys.readouterr().err
    assert main(["guide", "--out", str(tmp_path / "g.html")]) == 0
