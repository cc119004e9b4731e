"""A paper at the screen: made, sat, resumed, handed in; no key anywhere before it is marked."""

import json
import sqlite3
from pathlib import Path

import pygame
import pytest
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey
from glasscan.files import write_whole
from glasscan.learning.exam.exam_sitting import begin, handed_in
from glasscan.learning.exam.paper import paper_text, read_questions
from glasscan.learning.exam.paper_making import Order, make
from glasscan.learning.prompts import NEVER
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.seals.instructor_key import PrivateKey
from glasscan.learning.store.results_files import load_results
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.learning.variants import load_variant
from glasscan.ui.view_options import ViewOptions
from glasscan.window.exam import paper_flow, sitting_flow
from glasscan.window.exam.make_page import MakePage
from glasscan.window.exam.papers_page import Found, PapersPage
from glasscan.window.exam.sit_page import SitPage
from glasscan.window.lesson import takeaway
from glasscan.window.study import user_prefs

from tests.learning.playing import form_of, right_answer
from tests.window.study.conftest import (
    SIZES,
    DoneRuns,
    Front,
    check_layout,
    focus,
    run,
    send,
    solve_case,
)

LESSONS = ("where-the-oil-goes", "dress-rehearsal")
SEED, PHRASE = 7, "lime tree at dusk"
KEY = PrivateKey(X25519PrivateKey.from_private_bytes(bytes(range(32))))
KEYS_LIVE_IN = (
    "glasscan.learning.exam.paper.Sources",
    "glasscan.learning.scenario_schema",
    "glasscan.learning.prompt_schema",
    "glasscan.learning.question_types",
    "glasscan.rig.run_log",
    "glasscan.learning.marking",
)


@pytest.fixture(scope="module")
def texts():
    """The paper of a seed, open and sealed, as files hold it."""
    made = make(Order("spring", LESSONS, SEED, 30.0), run)
    return paper_text(made.sources), paper_text(made.sources, KEY.public, PHRASE)


@pytest.fixture
def paper_file(texts):
    """An unsealed paper in the folder of papers."""
    return write_whole(user_prefs.papers_folder() / "spring-7.json", texts[0])


@pytest.fixture
def sealed_file(texts):
    """The sealed one."""
    return write_whole(user_prefs.papers_folder() / "sealed-7.json", texts[1])


@pytest.fixture(autouse=True)
def _here(monkeypatch, tmp_path):
    """Files for the instructor stay in the test's folder; runs are worked out once."""
    monkeypatch.setattr(takeaway, "home_folder", lambda: tmp_path / "documents")
    monkeypatch.setattr(paper_flow, "work_out", lambda scenario, _: run(scenario))
    user_prefs.change(nickname="Wen")


def prompts():
    """Prompts of the paper by question id, with their runs."""
    found = {}
    for name in LESSONS:
        scenario = load_variant(name, SEED)
        for prompt in scenario.prompts:
            found[f"{name}/{prompt.id}"] = prompt, DoneRuns(())(scenario)
    return found


def give_right(page):
    """The right answer to the question shown, by keys."""
    prompt, log = prompts()[page.questions[page.quiz.at].asked.id]
    card, given = page.quiz.card, right_answer(prompt, log)
    if card.form in ("choice", "number-choice"):
        send(page, str([key for key, _ in card.choices].index(given) + 1))
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
                page.keep()
    elif given == NEVER:
        focus(page, "never")
        send(page, "enter")
    else:
        focus(page, "answer")
        number = given.split(" ")[0].replace("−", "-") if card.form == "number" else given
        send(page, f"text:{number}")


def sit(page):
    """Answer all, going on by Page Down, and hand in."""
    while True:
        give_right(page)
        if page.quiz.at + 1 == len(page.questions):
            break
        send(page, "pagedown")
    send(page, "esc", "esc") if page.form.focused is not None else send(page, "esc")
    focus(page, "hand-in")
    send(page, "enter")


def test_a_rehearsal_from_making_to_its_marks(monkeypatch, store):
    """Made at the screen, sat from the keyboard, handed in, marked: right answers pass."""
    lessons = {name: load_scenario(name) for name in LESSONS}
    monkeypatch.setattr(paper_flow, "read_lessons", lambda _: lessons)
    seen = {}

    def order(page):
        page.texts["seed"] = str(SEED)
        focus(page, "make")
        send(page, "enter")

    def choose(page):
        seen["rows"] = [f.title for f in page.found]
        send(page, "enter")

    def ready(page):
        seen["rules"] = page.text
        send(page, "enter")

    def handed(page):
        seen["handed"] = page.text
        send(page, "enter")

    def marked(page):
        check_layout(page)
        seen["line"] = page.line
        send(page, "esc")

    def made(page):
        seen["made"] = page.summary
        check_layout(page)
        send(page, "enter")

    plays = (order, made, choose, ready, sit, handed, marked)
    front = Front(lambda p: send(p, "m"), *plays, lambda p: send(p, "esc"))
    assert sitting_flow.sit_a_paper(front)
    assert seen["rows"] == [f"rehearsal-{SEED}"]
    assert "12 questions, 23 marks, 30 minutes" in seen["rules"]
    assert "12 of 12 questions answered" in seen["handed"]
    assert seen["line"].startswith("Pass: 23 of 23 (100%")
    assert store.rows("SELECT count(*) FROM marks")[0][0] == 12


def opened_page(store, path):
    """A page in mid-paper."""
    paper = read_questions(path, lambda: PHRASE).paper
    page = SitPage(ViewOptions(), begin(store, store.person("Wen"), paper))
    page.draw(pygame.Surface((1280, 720)))
    return page


def test_answers_and_time_come_back_after_a_crash(store, paper_file):
    """Without handing in, a second page has every answer, the time left, and the first open question."""
    page = opened_page(store, paper_file)
    for _ in range(6):
        give_right(page)
        send(page, "pagedown")
    page.exam._left_s -= 600.0
    page.exam._unnoted_s += 10.0
    page.update(0.0)
    lines = {c.id: page.exam.answers.get(c.id) for c in page.quiz.cards}
    again = opened_page(store, paper_file)
    assert again.quiz.at == 6
    assert {c.id: again.exam.answers.get(c.id) for c in again.quiz.cards} == lines
    assert again.exam.left_s == pytest.approx(1200.0, abs=30.0)
    for i in range(6):
        again.go(i)
        assert again.heading()[1].endswith("✓ kept"), again.quiz.card.form


def test_what_is_typed_is_kept_after_a_pause_and_on_leaving(store, paper_file):
    """A number is on the disk one second after the last key, or when another question is shown."""
    page = opened_page(store, paper_file)
    page.go(next(i for i, q in enumerate(page.questions) if q.asked.form == "number"))
    name = page.quiz.card.id
    focus(page, "answer")
    send(page, "text:12,5")
    assert name not in page.exam.answers
    page.update(1.5)
    with sqlite3.connect(store.path) as other:
        assert other.execute("SELECT given FROM answers WHERE prompt = ?", (name,)).fetchall() == [("12,5",)]
    send(page, "text:,,")
    send(page, "pagedown")
    assert page.notice.startswith("Not kept")
    assert page.exam.answers[name] == "12,5"


def test_the_end_of_the_time_hands_in(store, paper_file):
    """At zero the paper is handed in with what was kept, and nothing more is taken."""
    page = opened_page(store, paper_file)
    give_right(page)
    page.exam._left_s = 0.0
    page.update(0.0)
    assert page.leave
    assert page.handed
    assert page.late
    done = handed_in(store, page.exam.sitting.person, read_questions(paper_file, str).paper)
    assert len(store.answers(done)) == 1


def test_tests_of_a_case_are_kept_as_they_are_bought(store):
    """What was bought stands on the disk before there is a verdict; the cell is ticked only with one."""
    made = make(Order("case", ("three-low-readings",), SEED, 30.0), run)
    page = SitPage(ViewOptions(), begin(store, store.person("Wen"), made.paper))
    page.draw(pygame.Surface((1280, 720)))
    place = next(i for i, q in enumerate(page.questions) if q.asked.form == "case")
    page.go(place)
    send(page, "3", "right", "2")
    kept_now = store.rows("SELECT given FROM answers ORDER BY id DESC LIMIT 1")[0]["given"]
    asked = page.questions[place].asked
    suspect, bought = asked.choices[2][0], asked.tests[1].word  # lines 3 and 2 of the panes
    assert kept_now == f"think:{suspect} test:{bought}"
    assert not page._has(place)
    again = SitPage(ViewOptions(), begin(store, store.person("Wen"), made.paper))
    again.go(place)
    again.draw(pygame.Surface((1280, 720)))
    assert again.quiz.bought == [bought]
    send(again, "right", "right", "5")
    assert again._has(place)
    check_layout(again)


def drawn(page):
    """All that is drawn of every question, on both left sides."""
    texts = []
    for i in range(len(page.questions)):
        page.go(i)
        for told in (False, True):
            page.told = told
            texts += [t.text.replace("\n", " ") for t in page.draw(pygame.Surface((1920, 1080))).texts]
    return " ".join(texts)


def test_no_key_is_drawn_in_memory_or_in_the_results_before_marking(store, paper_file, tmp_path):
    """No reason of any line is drawn; the page reaches no scenario and no mark; results hold no key."""
    page = opened_page(store, paper_file)
    reasons = [
        line.because
        for prompt, _ in prompts().values()
        for field in ("choices", "options", "steps", "targets", "near", "items")
        for line in getattr(form_of(prompt), field, ())
    ]
    assert len(reasons) > 40
    shown = drawn(page)
    assert not [r for r in reasons if r in shown]
    known = reached(page)
    assert "glasscan.learning.exam.paper.Paper" in known
    assert not [name for name in known if name.startswith(KEYS_LIVE_IN)]
    page.go(0)
    give_right(page)
    page._hand_in()
    path = sitting_flow.write_results(
        store, read_questions(paper_file, str), store.sitting(page.exam.sitting.id)
    )
    assert path.parent == tmp_path / "documents"
    items = json.loads(path.read_text())["results"]["items"]
    assert [item["mark"] for item in items] == [None]
    assert store.rows("SELECT count(*) FROM marks")[0][0] == 0


def reached(root):
    """Names of the classes of all records that an object holds, directly or not."""
    names, seen, queue = set(), set(), [root]
    while queue:
        one = queue.pop()
        if id(one) in seen or isinstance(one, (str, bytes, int, float, type)):
            continue
        seen.add(id(one))
        names.add(f"{type(one).__module__}.{type(one).__name__}")
        if isinstance(one, dict):
            queue += [*one.keys(), *one.values()]
        elif isinstance(one, (list, tuple, set, frozenset)):
            queue += list(one)
        else:
            queue += list(getattr(one, "__dict__", {}).values())
            queue += [getattr(one, "func", None), getattr(one, "args", None), getattr(one, "__self__", None)]
            queue += [cell.cell_contents for cell in getattr(one, "__closure__", None) or ()]
    return names


@pytest.mark.usefixtures("store", "sealed_file")
def test_a_sealed_paper_asks_for_its_start_word_and_seals_the_results(tmp_path):
    """Dots instead of letters; another word is refused; what is handed in is a box; no marking here."""
    seen = {}

    def phrase(page):
        check_layout(page)
        send(page, "text:lime tree")
        texts = [t.text for t in page.draw(pygame.Surface((1280, 720))).texts]
        assert any("•" * 9 in t for t in texts)
        assert not any("lime" in t for t in texts)
        send(page, "enter")
        seen["refused"] = page.notice
        send(page, f"text:{PHRASE}", "enter")

    def handed(page):
        check_layout(page)
        seen["handed"] = page.summary
        send(page, "enter")

    plays = (lambda p: send(p, "enter"), phrase, lambda p: send(p, "enter"), sit, handed)
    assert sitting_flow.sit_a_paper(Front(*plays, lambda p: send(p, "esc")))
    assert "another secret" in seen["refused"].lower()
    assert "only your instructor's key opens it" in seen["handed"]
    files = list((tmp_path / "documents").glob("*.results.json"))
    assert load_results(files[0], lambda: KEY).checked
    with pytest.raises(StoreProblem, match="only its instructor opens it"):
        load_results(files[0])


def test_every_question_of_a_paper_fits(store, paper_file):
    """At every size promised: question, map, instruments, the paper's words, and handing in."""
    page = opened_page(store, paper_file)
    for i in range(0, len(page.questions), 2):
        page.go(i)
        page.told = i % 4 == 0
        check_layout(page)
    page.back()
    check_layout(page)


def test_pages_before_the_paper_fit():
    """Papers, an empty list of papers, and the form for a new one."""
    found = [Found(Path("a.json"), "spring-7", "12 questions, 30 min, seed 7", "under way, 12:30 left")]
    check_layout(PapersPage(ViewOptions(), "Wen", found * 12))
    check_layout(PapersPage(ViewOptions(), "Wen", []))
    lessons = {name: load_scenario(name) for name in LESSONS}
    check_layout(MakePage(ViewOptions(), lessons, set(lessons), 7))
    sealed = MakePage(ViewOptions(), lessons, set(lessons), 7)
    sealed.sealed = True
    check_layout(sealed)
    assert len(SIZES) == 5


def test_a_form_that_is_not_complete_says_what_is_missing():
    """One line for each thing that is wrong; nothing is made before all is right."""
    lessons = {name: load_scenario(name) for name in LESSONS}
    page = MakePage(ViewOptions(), lessons, set(), 7)
    page.draw(pygame.Surface((1280, 720)))
    told, at = [], []
    changes = [{}, {"seed": "-1"}, {"seed": "7", "minutes": "0"}, {"minutes": "30", "phrase": "short"}]
    for change in [*changes, {"phrase": PHRASE}, {"phrase": PHRASE, "again": PHRASE}]:
        page.texts |= change
        if "phrase" in change:
            page.sealed = True
            page.draw(pygame.Surface((1280, 720)))
        page._make()
        told.append(page.notice.split(" ")[0])
        at.append(page.form.focused.name if page.form.focused else "")
        page.ticked = set(lessons)
    assert told[:5] == ["Tick", "Seed:", "Minutes:", "Pass-phrase:", "The"]
    assert at[:5] == ["lessons", "seed", "minutes", "phrase", "again"]  # where it is to be mended
    assert page.ordered.phrase == PHRASE
