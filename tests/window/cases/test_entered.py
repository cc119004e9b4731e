"""A case that is over stands in the results of the one at the screen: by itself, or when asked."""

import pytest
from glasscan.learning.store.history_report import told_of
from glasscan.learning.store.store import Store
from glasscan.window.cases import case_flow
from glasscan.window.cases.debrief_page import DebriefPage
from glasscan.window.cases.start_page import Chosen
from glasscan.window.study import user_prefs
from glasscan.window.study.nickname_page import WhoPage

from tests.window.cases.conftest import Front, decide, order


def sit(hands):
    """One test with a hypothesis and some minutes, then a verdict that is no fault."""
    hands.page.update(90.0)
    order(hands, "read-log", "F06", "F12")
    hands.page.update(30.0)
    decide(hands, "cannot-tell")


def leave(hands):
    """Look at the score, and go."""
    hands.press("2")
    hands.press("escape")


def sittings(nickname):
    """What stands in the results of a person."""
    with Store(user_prefs.store_file()) as store:
        return told_of(store, store.person(nickname))


@pytest.fixture
def chosen(runnable):
    """A case that may be run."""
    return Chosen(runnable[0], "can", 2)


def test_by_itself_where_a_name_is_remembered(chosen, case_folder):
    """Score, time at the case and level are there; looked at again, it is still there once."""
    user_prefs.change(nickname="Wen")
    front = Front(sit, leave)
    assert case_flow.play(front, chosen)
    page = front.pages[-1]
    assert page.entered.words == "Entered in the results of Wen."
    (told,) = sittings("Wen")
    assert told.paper == f"case-can-{chosen.seed}-level-2"
    assert told.share == pytest.approx(page.told.debrief.review.score.score, abs=1e-6)
    assert told.spent_s == pytest.approx(120.0)
    again = Front(leave)
    assert case_flow.play(again, Chosen(path=next(case_folder.glob("*.json"))))
    assert again.pages[-1].entered == page.entered
    assert len(sittings("Wen")) == 1


def test_nobody_is_asked_unless_they_want(chosen):
    """Without a name nothing is kept; E asks for one, enters the case, and comes back to the page."""
    quiet = Front(sit, leave)
    assert case_flow.play(quiet, chosen)
    assert not user_prefs.store_file().exists()

    def ask(hands):
        hands.press("2")
        assert any("Not entered" in text for text in hands.texts)
        hands.press("e")

    def name(hands):
        hands.page.form.focus_on("name")
        hands.type("Priya")
        hands.press("enter")

    seen = []

    def back(hands):
        seen.extend(hands.texts)
        hands.press("e", "escape")

    front = Front(sit, ask, name, back)
    assert case_flow.play(front, chosen)
    assert [type(page) for page in front.pages[1:]] == [DebriefPage, WhoPage, DebriefPage]
    assert "Entered in the results of Priya." in [text.replace("\n", " ") for text in seen]
    assert len(sittings("Priya")) == 1


def test_played_again_is_not_entered(chosen):
    """Who knows the fault goes on for practice: the first verdict alone counts."""
    user_prefs.change(nickname="Wen")

    def again(hands):
        hands.press("7", "enter")

    front = Front(sit, again, lambda hands: decide(hands, "cannot-tell"), leave)
    assert case_flow.play(front, chosen)
    assert "known" in front.pages[-1].entered.words
    assert len(sittings("Wen")) == 1


def test_a_store_that_cannot_be_written_is_told(chosen, tmp_path):
    """The case goes on; the page says in one line that it is not entered, and offers it again."""
    user_prefs.change(nickname="Wen")
    (tmp_path / "data").write_text("no folder")
    front = Front(sit, leave)
    assert case_flow.play(front, chosen)
    entered = front.pages[-1].entered
    assert entered.open
    assert entered.words.startswith("Not entered: ")
