"""A case from the first key to the review: right, unsafe, left and resumed, wrong and played again."""

import pytest
from glasscan.learning.cases.case_files import read
from glasscan.learning.cases.case_play import hidden_of
from glasscan.ui.key_sheet import TEACHING
from glasscan.window.cases import case_flow, case_store
from glasscan.window.cases.case_page import CasePage
from glasscan.window.cases.debrief_page import DebriefPage
from glasscan.window.cases.start_page import Chosen, StartPage
from glasscan.window.cases.unsafe_page import UnsafePage
from glasscan.window.lesson.lesson_screen import Screen

from tests.window.cases.conftest import Front, Hands, decide, order, seeds_after


def test_a_right_verdict_by_keyboard(runnable, case_folder):
    """Start page, one test with a hypothesis, the right fault named: full marks for it, kept on disk."""
    seed = runnable[0]
    fault = hidden_of(seed, "can").code

    def choose(hands):
        hands.press("1", "5")
        hands.page.form.focus_on("seed")
        hands.page.seed = ""
        hands.type(str(seed))
        hands.press("enter")

    def sit(hands):
        order(hands, "read-log", "F06", "F12")
        decide(hands, fault, "Per the manual", "Found and put right")

    def learn(hands):
        hands.press(*"1234567")
        hands.press("escape")

    front = Front(choose, sit, learn, lambda hands: hands.press("escape"))
    assert case_flow.take(front)
    assert [type(page) for page in front.pages] == [StartPage, CasePage, DebriefPage, StartPage]
    told = front.pages[2].told
    assert told.right
    assert told.debrief.review.score.parts["correct"] == 0.5
    kept = read(case_folder / f"can-{seed}-level-2.json")
    assert kept.verdict == fault
    assert [e.words[0] for e in kept.entries if e.what in ("action", "log")] == [
        "Per the manual", "Found and put right",
    ]  # fmt: skip


def test_an_unsafe_act_ends_the_case_on_a_page_of_its_own(runnable):
    """Opened under pressure: stopped at once, the reason told, no marks, whatever else was done."""

    def sit(hands):
        order(hands, "read-log", "F06")
        order(hands, "cut-open", "F06")

    seen = []

    def stop(hands):
        seen.extend(hands.texts)
        hands.press("enter")

    front = Front(sit, stop)
    assert case_flow.play(front, Chosen(runnable[0], "can", 2))
    assert [type(page) for page in front.pages] == [CasePage, UnsafePage, DebriefPage]
    told = " ".join(seen).replace("\n", " ")
    assert "under pressure" in told
    assert "Let the pressure out first" in told
    score = front.pages[2].told.debrief.review.score
    assert score.score == 0.0
    assert score.gates


def test_a_dead_rig_is_not_started():
    """No oil pressure noted: the start itself is the unsafe act."""
    seed = next(seed for seed in seeds_after() if not hidden_of(seed, "can").runnable)
    front = Front(lambda hands: hands.press("1"), lambda hands: hands.press("enter"))
    assert case_flow.play(front, Chosen(seed, "can", 2))
    assert isinstance(front.pages[1], UnsafePage)


def test_a_case_left_in_the_middle_goes_on_exactly(runnable):
    """Escape keeps it; the start page offers it; record, engine and all that can be read are the same."""
    seed, before, after = runnable[0], {}, {}

    def leave(hands):
        order(hands, "read-log", "F06", "F12")
        hands.press("1")
        order(hands, "needle-fall", "F01")
        before.update(texts=[t.text for t in hands.look().texts if t.text != hands.page.notice])
        before.update(entries=list(hands.page.work.case.entries), ticks=set(hands.page.work.ticks))
        hands.press("escape")

    def back(hands):
        hands.page.form.focus_on("tests")
        hands.mark("tests", "needle-fall")
        case = hands.page.work.case
        assert case.running
        after.update(texts=[t.text for t in hands.look().texts])
        after.update(entries=list(case.entries), ticks=set(hands.page.work.ticks))
        hands.press("escape")

    assert case_flow.play(Front(leave), Chosen(seed, "can", 2))
    (kept,) = case_store.found()
    assert (kept.seed, kept.tests, kept.over) == (seed, 2, False)

    def go_on(hands):
        hands.mark("kept", "0")
        hands.press("enter")

    assert case_flow.take(Front(go_on, back, lambda hands: hands.press("escape")))
    assert before["entries"] == after["entries"]
    assert before["ticks"] == after["ticks"]
    assert set(after["texts"]) - set(before["texts"]) <= {TEACHING, "For teaching only."}


def test_a_case_only_looked_at_leaves_nothing(runnable, case_folder):
    """Opened and left again: no file; after one act it is there."""
    assert case_flow.play(Front(lambda hands: hands.press("escape")), Chosen(runnable[0], "can", 2))
    assert case_store.found() == []
    assert case_flow.play(Front(lambda hands: hands.press("1", "escape")), Chosen(runnable[0], "can", 2))
    (kept,) = case_store.found()
    assert kept.path.parent == case_folder


def test_wrong_turn_and_again_from_there(runnable, case_folder):
    """A wrong verdict is told as one; from a line of the record the case goes on, on a copy, on disk."""
    seed = runnable[0]
    fault = hidden_of(seed, "can").code
    wrong = next(c for c in ("F01", "F20", "F12") if c[:3] not in fault)

    def sit(hands):
        order(hands, "read-log", wrong)
        order(hands, "part-number", wrong)
        decide(hands, wrong)

    def again(hands):
        assert "Not right" in " ".join(hands.texts)
        hands.press("7")
        places = [row.word for row in hands.page._entries()]
        hands.mark("again", places[2])
        hands.press("enter")

    def better(hands):
        assert hands.page.work.case.tests_done == ["read-log"]
        assert not hands.page.work.case.ended
        decide(hands, fault)

    front = Front(sit, again, better)
    assert case_flow.play(front, Chosen(seed, "can", 2))
    assert [type(p) for p in front.pages] == [CasePage, DebriefPage, CasePage, DebriefPage]
    assert front.pages[3].told.right
    first, second = (read(case_folder / f"can-{seed}-level-2{tail}.json") for tail in ("", "-2"))
    assert (first.verdict, second.verdict) == (wrong, fault)
    assert second.tests_done == ["read-log"]


def test_the_rig_runs_after_the_verdict(runnable):
    """W and H open the live filter with the fault, beside it the one without; leaving it comes back."""
    fault = hidden_of(runnable[0], "can").code

    def watch(screen):
        assert isinstance(screen, Screen)
        screen.rivalry.wait()
        screen.session.run_to(4.0)
        screen.rivalry.update()
        assert screen.rivalry.rival.snapshot.t_s == pytest.approx(4.0)
        assert screen.session.snapshot.rpm == pytest.approx(900.0)
        screen.leave = True

    def watch_hot(screen):
        assert screen.session.snapshot.filter_c == pytest.approx(85.0)
        screen.rivalry.wait()
        screen.leave = True

    front = Front(
        lambda hands: decide(hands, fault),
        lambda hands: hands.press("w"),
        watch,
        lambda hands: hands.press("h"),
        watch_hot,
        lambda hands: hands.press("a"),
    )
    assert case_flow.play(front, Chosen(runnable[0], "can", 2))
    assert [type(p) for p in front.pages] == [
        CasePage, DebriefPage, Screen, DebriefPage, Screen, DebriefPage,
    ]  # fmt: skip


def test_a_damaged_file_is_told_on_the_start_page(case_folder):
    """A kept case that was changed by hand: one line at the foot, nothing lost, no traceback."""
    case_folder.mkdir()
    (case_folder / "can-9-level-2.json").write_text("{", encoding="utf-8")
    front = Front(lambda hands: hands.press("escape"))
    path = case_folder / "can-9-level-2.json"
    assert case_store.found() == []

    def pick(hands):
        hands.page.chosen, hands.page.leave = Chosen(9, "can", 2, path), True

    front = Front(pick, lambda hands: hands.press("escape"))
    assert case_flow.take(front)
    assert "can-9-level-2.json" in front.pages[1].notice or front.pages[1].leave


def test_keys_that_cannot_be_used_now_are_told(case):
    """A test that asks for a running engine is refused with its reason; no hypothesis, no test."""
    from glasscan.ui.view_options import ViewOptions
    from glasscan.window.cases.case_session import CaseSession

    page = CasePage(ViewOptions(), CaseSession(case), case_flow.section_of("can"))
    hands = Hands(page)
    hands.mark("tests", "needle-fall")
    hands.press("enter")
    assert page.work.pane == "tests"
    assert "start it first" in page.notice
    hands.mark("tests", "read-log")
    hands.press("enter", "g")
    assert "Tick" in page.notice
    assert page.work.pending == "read-log"
    hands.press("escape")
    assert not page.work.pending
    assert not page.leave
    assert case.tests_done == []
    hands.press("2")
    assert "already" in page.notice
    hands.press("n")
    assert page.number
    hands.press("3")
    assert not page.number
    assert case.trapped
