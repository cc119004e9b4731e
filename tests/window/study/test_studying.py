"""Self-study at the screen: every kind of question from the keyboard, answers kept before they are told."""

import sqlite3
from dataclasses import replace
from datetime import date, timedelta

import pygame
import pytest
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scoring.confidence import ODDS, Said, calibration
from glasscan.learning.study.study_plan import Plan, WeakCode
from glasscan.ui.view_options import ViewOptions
from glasscan.window.questions.lesson_cards import line_of, restore
from glasscan.window.study import study_flow, user_prefs
from glasscan.window.study.aloud_page import AloudPage
from glasscan.window.study.study_page import StudyPage
from glasscan.window.study.today_page import TodayPage, Todo

from tests.learning.playing import right_answer
from tests.window.study.conftest import DoneRuns, Front, check_layout, focus, send, solve_case
from tests.window.test_layout import problems

LESSON = "where-the-oil-goes"


def plain(number):
    """A number as people type it: no powers of ten."""
    return f"{float(number.replace('−', '-')):.6f}"


def answer(page, item):
    """Give the right answer to the question shown, by keys where a form has them."""
    quiz, card = page.quiz, page.quiz.card
    given = right_answer(item.prompt, page.session.desk.log(item.lesson))
    if card.form in ("choice", "number-choice"):
        send(page, str([key for key, _ in quiz.choices()].index(given) + 1))
    elif card.form == "point":
        send(page, next(letter for letter, key, _ in card.parts if key == given))
    elif card.form == "case":
        solve_case(page, given)
    elif card.form in ("several", "order", "rank"):
        keys = [key for key, _ in card.choices]
        for g in given:
            if keys.index(g) < 10:
                send(page, str((keys.index(g) + 1) % 10))
            else:  # what comes after the tenth line is reached by Tab
                page.quiz.pick(g)
    elif card.form == "valve-strip":
        send(page, *(str(i + 1) for i, is_open in enumerate(given) if is_open))
    elif card.form == "curve":
        focus(page, "answer")
        for i in range(0, len(given), 8):
            quiz.plot([*quiz.now.points, given[i]])
    elif given == "never":
        quiz.answer(given)
    else:
        focus(page, "answer")
        number = plain(given.split(" ")[0]) if card.form == "number" else given
        send(page, f"text:{number}")


@pytest.mark.parametrize("name", scenario_names())
def test_a_session_is_played_to_its_end_with_full_marks(make_session, store, name):
    """Answer, odds, reason, next: right answers earn all, with the odds stored beside each."""
    session = make_session([name])
    page = StudyPage(ViewOptions(), session)
    page.draw(pygame.Surface((1280, 720)))
    told = 0
    while not page.leave:
        step = session.step
        if not step.tells and not page.quiz.now.locked:
            answer(page, step.item)
            focus(page, "odds-2")
            send(page, "enter")
            row = store.rows("SELECT prompt, confidence FROM answers ORDER BY id DESC LIMIT 1")[0]
            assert (row["prompt"], row["confidence"]) == (step.item.name, 2)
        if session.step is step or session.step.tells:
            assert page.quiz.now.result.share == 1.0, step.item.name
            told += 1
            focus(page, "next")
            send(page, "enter")
    assert told == len(session.items) == len(session.results)
    marked = store.rows("SELECT count(*) FROM marks")[0][0]
    assert marked == len(session.items)
    assert store.unfinished(session.desk.person) == []


def test_answers_are_on_the_disk_before_the_page_says_so(make_session, store):
    """At the moment the notice stands, another connection reads the answer; predictions wait for the run."""
    session = make_session([LESSON], held=True)
    page = StudyPage(ViewOptions(), session)
    page.draw(pygame.Surface((1280, 720)))
    first = page.quiz.card.choices[0][0]
    send(page, "1", "enter")
    assert page.notice == "Kept."
    with sqlite3.connect(store.path) as other:
        assert other.execute("SELECT given FROM answers").fetchall() == [(first,)]
    assert session.step.tells
    assert page.quiz.now.result is None
    assert "Working out the run" in session.notice
    assert any("40%" in t.text for t in page.draw(pygame.Surface((1280, 720))).texts)
    session.runs.held = False
    page.update(0.0)
    assert page.quiz.now.result is not None


def test_numbers_to_choose_from_are_awaited(make_session):
    """While the run is worked out the page says so in their place; then the three lines are there."""
    session = make_session([f"{LESSON}/difference-at-speed"], held=True)
    page = StudyPage(ViewOptions(), session)
    texts = [t.text for t in page.draw(pygame.Surface((1280, 720))).texts]
    assert any("Working out the run" in t for t in texts)
    assert not [w for w in page.form.widgets if w.name.startswith("choice")]
    session.runs.held = False
    page.update(0.0)
    page.draw(pygame.Surface((1280, 720)))
    assert len([w for w in page.form.widgets if w.name.startswith("choice")]) == 3


def test_nothing_to_keep_is_said_and_a_question_can_be_left(make_session, store):
    """Without an answer nothing is stored; N goes on, and the mark of what was left is not shown."""
    session = make_session([LESSON])
    page = StudyPage(ViewOptions(), session)
    page.draw(pygame.Surface((1280, 720)))
    focus(page, "odds-0")
    send(page, "enter")
    assert page.notice_bad
    assert store.rows("SELECT count(*) FROM answers")[0][0] == 0
    send(page, "n")
    assert not session.step.tells
    assert session.step.place == 1


def test_odds_not_feelings(make_session):
    """The levels are told as odds; no word such as sure is drawn."""
    page = StudyPage(ViewOptions(), make_session([LESSON]))
    canvas = page.draw(pygame.Surface((1920, 1080)))
    drawn = " ".join(t.text.replace("\n", " ") for t in canvas.texts)
    assert all(odds in drawn for odds in ODDS.values())
    assert "sure" not in drawn.lower()


@pytest.mark.parametrize("name", [LESSON, "turn-the-handle", "three-low-readings"])
def test_every_question_fits_before_and_after_its_mark(make_session, name):
    """No text is cut at any size promised, asked and told."""
    session = make_session([name])
    page = StudyPage(ViewOptions(), session)
    while not page.leave:
        check_layout(page)
        if not session.step.tells and not page.quiz.now.locked:
            answer(page, session.step.item)
            check_layout(page)
            page._keep(1)
        if page.quiz.now.result is not None:
            check_layout(page)
            page._next()


def test_a_part_is_pointed_at_in_the_picture(make_session):
    """The cut parts carry the letters; a click beside a part chooses it, as its letter does."""
    page = StudyPage(ViewOptions(), make_session([f"{LESSON}/way-in"]))
    texts = {t.text for t in page.draw(pygame.Surface((1920, 1080))).texts}
    parts = page.quiz.card.parts
    assert {letter.upper() for letter, _, _ in parts} <= texts
    assert not {name for _, _, name in parts} & texts
    picture = next(w for w in page.form.widgets if w.name == "picture")
    for label in picture._placed:
        at = tuple(round(x) for x in label.leader[-1])
        page.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=at))
        assert page.quiz.now.text == {a.upper(): key for a, key, _ in parts}[label.text]
    send(page, parts[0][0])
    assert page.quiz.now.text == parts[0][1]
    check_layout(page)
    send(page, "enter", parts[1][0])
    assert page.form.focused.name == "next"  # a letter after the mark changes nothing


def test_instruments_read_a_moment(make_session):
    """The cursor moves with the arrows over the table's rows; pressures change with the units."""
    page = StudyPage(ViewOptions(), make_session([f"{LESSON}/keeps-apart"]))
    focus(page, "strips")
    send(page, "left", "left")
    strips = page.form.focused
    row = strips.readings.rows[-3]
    texts = [t.text for t in page.draw(pygame.Surface((1920, 1080))).texts]
    assert f"at {row[0]:g} s" in texts
    kpa = row[strips.readings.names.index("inlet_kpa")]
    assert f"{kpa:.1f} kPa" in texts
    send(page, "u")
    texts = [t.text for t in page.draw(pygame.Surface((1920, 1080))).texts]
    assert f"{kpa / 6.894757:.1f} psi" in texts  # 1 psi = 6.894757 kPa (NIST SP 811, appendix B)


def lists(lessons):
    """A plan with everything in it."""
    items = tuple(f"{n}/{p.id}" for n, s in lessons.items() for p in s.prompts)
    weak = (WeakCode("acs-iii-g-k2", "Oil systems: pressure, screen, filter", 0.41, (LESSON,)),)
    said = [Said(1, True), Said(2, False), Said(3, True)]
    return Plan(items[:3], items[3:], weak, (LESSON,), calibration(said))


def test_today_shows_counts_calibration_and_weak_codes():
    """Due, new, each level's share right, the weak code with its lesson; all of it fits."""
    lessons = {n: load_scenario(n) for n in (LESSON, "cold-start")}
    page = TodayPage(ViewOptions(), "Wen", lists(lessons), lessons, date(2031, 3, 1))
    check_layout(page)
    texts = [t.text for t in page.draw(pygame.Surface((1920, 1080))).texts]
    assert "1 of 1: fits what came" in texts
    assert "0 of 1: too bold: lower odds" in texts
    assert "41%" in texts
    focus(page, "weak")
    send(page, "enter")
    assert page.todo == Todo("lesson", (LESSON,))


def test_what_would_be_known_on_the_day_of_the_exam():
    """The line of the exam tells it, and fits."""
    lessons, today = {LESSON: load_scenario(LESSON)}, date(2031, 3, 1)
    page = TodayPage(ViewOptions(), "Wen", replace(lists(lessons), exam_recall=0.637), lessons, today)
    page.exam_on = today + timedelta(days=14)
    check_layout(page)
    told = [t.text for t in page.draw(pygame.Surface((1280, 720))).texts]
    assert "Exam: in 14 days; if you stop now, 64% known by then" in told


def test_only_one_kind_of_filter():
    """Chosen, the session and the list hold the lessons about that filter."""
    lessons = {n: load_scenario(n) for n in ("cold-start", "turn-the-handle")}
    page = TodayPage(ViewOptions(), "Wen", lists(lessons), lessons, date(2031, 3, 1))
    focus(page, "kind")
    send(page, "right", "right", "right")
    assert {n.partition("/")[0] for n in page.names} == {"turn-the-handle"}
    check_layout(page)
    send(page, "left", "left")
    assert {n.partition("/")[0] for n in page.names} == {"cold-start"}


def test_exam_in_n_days_is_kept_and_replans():
    """The stepper moves the day of the exam, and the lists are asked for anew."""
    lessons, asked = {LESSON: load_scenario(LESSON)}, []
    page = TodayPage(ViewOptions(), "Wen", lists(lessons), lessons, date(2031, 3, 1))
    page.replan = lambda day: asked.append(day) or page.plan
    focus(page, "exam")
    send(page, "right", "right", "right")
    assert asked[-1] == date(2031, 3, 1) + timedelta(days=3)
    assert "Exam: in 3 days" in [t.text for t in page.draw(pygame.Surface((1920, 1080))).texts]


def test_the_way_from_nickname_to_answers(monkeypatch, store):
    """Asked once for a nickname; a session; its end; due again tomorrow or today; Escape leaves."""
    monkeypatch.setattr(study_flow, "Runs", DoneRuns)
    monkeypatch.setattr(study_flow, "read_lessons", lambda _: {LESSON: load_scenario(LESSON)})
    seen = []

    def name(page):
        send(page, "text:Wen", "enter")

    def today(page):
        seen.append(page.title)
        focus(page, "start")
        send(page, "enter")

    def study(page):
        send(page, "1", "enter", "enter")
        send(page, *"nnnnnn")

    def over(page):
        check_layout(page)
        seen.append(page.title)
        send(page, "enter")

    def again(page):
        seen.append(len(page.plan.new))
        send(page, "esc")

    assert study_flow.due_today(Front(name, today, study, over, again))
    assert seen == ["Due today", "Session over", len(load_scenario(LESSON).prompts) - 1]
    assert user_prefs.load().nickname == "Wen"
    assert store.rows("SELECT count(*) FROM marks")[0][0] == 1
    assert study_flow.due_today(Front(lambda page: send(page, "esc")))


def test_a_weak_code_opens_its_lesson(monkeypatch):
    """Enter on a weak code opens the lesson that teaches it, to practise."""
    lesson = load_scenario(LESSON)
    monkeypatch.setattr(study_flow, "read_lessons", lambda _: {LESSON: lesson})
    monkeypatch.setattr(study_flow, "plan", lambda *_: lists({LESSON: lesson}))
    user_prefs.change(nickname="Wen")

    def weak(page):
        focus(page, "weak")
        send(page, "enter")

    front = Front(weak, lambda page: send(page, "esc"))
    assert study_flow.due_today(front)
    assert [(w.scenario, w.mode) for w in front.opened] == [(LESSON, "practise")]


def test_a_session_cut_off_is_marked_when_it_is_opened_again(monkeypatch, make_session, store):
    """An answer that was kept while its run was still worked out gets its mark the next time."""
    session = make_session([LESSON], held=True)
    page = StudyPage(ViewOptions(), session)
    page.draw(pygame.Surface((1280, 720)))
    send(page, "1", "enter")
    assert store.rows("SELECT count(*) FROM marks")[0][0] == 0
    monkeypatch.setattr(study_flow, "work_out", lambda scenario, _: DoneRuns(())(scenario))
    monkeypatch.setattr(study_flow, "read_lessons", lambda _: {LESSON: load_scenario(LESSON)})
    user_prefs.change(nickname="Wen")
    assert study_flow.due_today(Front(lambda page: send(page, "esc")))
    assert store.rows("SELECT count(*) FROM marks")[0][0] == 1


def test_answer_aloud_uncovers_and_grades(make_session, store):
    """The key shows only when asked for; a grade of 1 to 4 sets the next review and is no mark."""
    session = make_session([LESSON])
    page = AloudPage(ViewOptions(), session)
    key = session.desk.key(session.items[0])
    before = " ".join(t.text.replace("\n", " ") for t in page.draw(pygame.Surface((1920, 1080))).texts)
    assert key not in before
    check_layout(page)
    send(page, "enter")
    check_layout(page)
    assert key in page.answer
    send(page, "3")
    cards = store.rows("SELECT item, wait_days FROM cards")
    assert [tuple(c) for c in cards] == [
        (session.items[0].name, 2)
    ]  # first stability of "good" in the library fsrs: 2.3 days
    assert store.rows("SELECT count(*) FROM marks")[0][0] == 0
    assert page.quiz.at == 1


@pytest.mark.parametrize("name", ["turn-the-handle", "dress-rehearsal", "three-low-readings"])
def test_a_stored_answer_comes_back_as_it_was(make_session, name):
    """Line, stored, restored, line again: the same for every form."""
    session = make_session([name])
    for i, item in enumerate(session.items):
        session.quiz.at = i
        page = StudyPage(ViewOptions(), session)
        page.draw(pygame.Surface((1280, 720)))
        answer(page, item)
        line = session.desk.readable(item, line_of(session.quiz))
        given = type(session.quiz.now)("", session.quiz.card.unit, [False] * len(session.quiz.now.strip))
        restore(session.desk.asked(item), line, given)
        session.quiz.given[session.quiz.card.id] = given
        assert session.desk.readable(item, line_of(session.quiz)) == line, item.name
    assert problems(page.draw(pygame.Surface((1280, 720)))) == []
