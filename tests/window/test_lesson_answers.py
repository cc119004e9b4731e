"""Answers given in a lesson are in the results store, marked, and there again when the lesson goes on.

No outside number: the README says that what a learner enters is kept.
"""

import sqlite3
from contextlib import closing

import pytest
from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.lesson.lesson_answers import LessonAnswers
from glasscan.window.lesson.lesson_loading import cards
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.study import user_prefs

from tests.learning.handmade import HandLog


class HandRun:
    """The run made by hand in place of the model's."""

    def __init__(self, scenario):
        self.scenario = scenario

    def log(self):
        """The whole run."""
        return HandLog()

    def mark(self, prompt, answer, shown=None):
        """Marked by the rules of the lessons."""
        from glasscan.learning.prompts import mark

        return mark(prompt, answer, self.log(), shown)


def rows(query):
    """Rows of the store, read by SQLite itself."""
    with closing(sqlite3.connect(user_prefs.store_file())) as db:
        return db.execute(query).fetchall()


@pytest.fixture
def scenario():
    """The first lesson."""
    return load_scenario("cold-start")


def sheet_of(scenario, resume=False):
    """The cards of a lesson with what keeps their answers."""
    kept = LessonAnswers(scenario, resume)
    sheet = AnswerSheet(cards(HandRun(scenario), kept.salt), recorder=kept)
    kept.put_back(sheet)
    return sheet, kept


def answered(sheet, form):
    """The first question of a form is shown, answered with its first line and locked."""
    sheet.at = next(i for i, card in enumerate(sheet.cards) if card.form == form)
    word = sheet.card.choices[0][0] if form == "choice" else "3"
    sheet.answer(word)
    assert sheet.lock()
    return sheet.card.id, word


def test_a_committed_answer_is_in_the_store_and_its_mark_with_it(scenario):
    """Who is at the screen, which lesson, what was given; the mark comes with the reason."""
    user_prefs.change(nickname="Wen")
    sheet, kept = sheet_of(scenario)
    name, word = answered(sheet, "choice")
    query = """SELECT nickname, kind, paper, prompt, given FROM answers
        JOIN sittings s ON s.id = sitting JOIN people p ON p.id = person"""
    assert rows(query) == [("Wen", "lesson", "cold-start", name, word)]
    assert rows("SELECT count(*) FROM marks") == [(0,)]
    sheet.reveal()
    assert rows("SELECT count(*) FROM marks") == [(1,)]
    kept.close(False)


def test_a_lesson_gone_on_with_has_its_answers_and_its_order(scenario):
    """The same salt, the same order of the lines, and the locked answer; begun anew it is another sitting."""
    sheet, kept = sheet_of(scenario)
    name, word = answered(sheet, "choice")
    kept.close(False)
    again, more = sheet_of(scenario, resume=True)
    assert more.salt == kept.salt
    assert [card.choices for card in again.cards] == [card.choices for card in sheet.cards]
    assert (again.given[name].text, again.given[name].locked) == (word, True)
    more.close(False)
    fresh, _ = sheet_of(scenario)
    assert not fresh.given[name].locked
    assert rows("SELECT ended_utc IS NULL FROM sittings ORDER BY id DESC LIMIT 1") == [(0,)]


def test_a_disk_that_refuses_is_told_and_the_lesson_goes_on(scenario, monkeypatch, tmp_path):
    """Where nothing can be kept the card says so."""
    (tmp_path / "file").write_text("x")
    monkeypatch.setattr(user_prefs, "store_file", lambda: tmp_path / "file" / "results.sqlite3")
    sheet, _ = sheet_of(scenario)
    answered(sheet, "choice")
    assert sheet.now.trouble.startswith("Not kept: ")
    assert sheet.now.locked
