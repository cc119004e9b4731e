"""Every form of answer at the screen: by keyboard and by mouse, locked, marked by the real lessons."""

from types import SimpleNamespace

import pygame
import pytest
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.scenario_loading import load_scenario
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import load_theme
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.lesson_loading import cards
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.questions.key_run import AnswersAwaitedError
from glasscan.window.questions.prompt_panel import AnswerSheet, QuestionCard, pages_of

from tests.window.test_layout import problems
from tests.window.test_screen import Marked

LONG = (
    "The oil passages are full, and the pressure that the gauge shows has reached the green mark again. " * 6
)
CHOICES = tuple((f"c{i}", f"Statement number {i}: " + LONG[: 30 + 9 * i]) for i in range(10))
FORMS = ("choice", "number", "valve-strip", "several", "order", "rank", "curve", "entry", "case")
SIZES = [((1280, 720), 1), ((1920, 1080), 1), ((1920, 1080), 3), ((2560, 1440), 1)]


TESTS = tuple(
    SimpleNamespace(word=f"t{i}", title=f"Test number {i}", minutes=5.0 * i, risk="run", result=LONG[:120])
    for i in range(1, 7)
)


class Axes:
    """Empty axes."""

    from_s, to_s, bottom, top, unit = 0.0, 60.0, 0.0, 200.0, "kPa"


def card(form, mark=lambda _: Marked(0.5, "key", LONG), **more):
    """A question of a form."""
    given = {
        "several": {"choices": CHOICES},
        "order": {"choices": CHOICES},
        "rank": {"choices": CHOICES},
        "curve": {"axes": Axes()},
    }
    given["case"] = {"choices": CHOICES[:5], "tests": TESTS}
    return QuestionCard("q", "after", "What do you see?", form, mark, **(given.get(form, {}) | more))


def screen_of(session, one, **desk):
    """A screen with one question open."""
    screen = Screen(session, ViewOptions(**desk), AnswerSheet([one]))
    screen.desk.prompt = True
    screen.draw(pygame.Surface((1920, 1080)))
    return screen


def type_in(screen, press, text):
    """Type letters."""
    for mark in text:
        screen.handle(press(pygame.key.key_code(mark) if mark.isalnum() else pygame.K_SPACE, mark))
        screen.draw(pygame.Surface((1920, 1080)))


@pytest.mark.parametrize("form", ["several", "order"])
def test_digits_tick_lines(make_session, press, form):
    """Several answers keep every tick; steps keep their order; a second press takes one out."""
    got = []
    one = card(form, lambda a: got.append(a) or Marked(1.0, "k", "Because."))
    screen = screen_of(make_session(900.0), one)
    type_in(screen, press, "3152")
    type_in(screen, press, "5")
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert got == [("c2", "c0", "c1")]
    type_in(screen, press, "4")
    assert screen.prompts.now.picked == ["c2", "c0", "c1"]


def test_a_case_by_keys(make_session, press):
    """Suspects, tests and verdict on their panes; a test needs a suspect first and is never given back."""
    got = []
    one = card("case", lambda a: got.append(a) or Marked(1.0, "k", "Because."))
    screen = screen_of(make_session(900.0), one)
    screen.handle(press(pygame.K_RIGHT))
    type_in(screen, press, "2")
    assert screen.prompts.now.picked == []
    assert "possible" in screen.prompts.now.trouble
    screen.handle(press(pygame.K_LEFT))
    type_in(screen, press, "13")
    screen.handle(press(pygame.K_RIGHT))
    type_in(screen, press, "22")
    assert screen.prompts.spent_min == 10.0
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert not screen.prompts.now.locked
    screen.panel.form.focus_on(None)
    screen.handle(press(pygame.K_RIGHT))
    type_in(screen, press, "1")
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert got == [("think:c0", "think:c2", "test:t2", "verdict:c0")]


@pytest.mark.parametrize(("size", "text"), SIZES)
@pytest.mark.parametrize("pane", [0, 1, 2])
def test_a_case_fits(make_session, pane, size, text):
    """Every pane, with all tests bought, page by page."""
    screen = screen_of(make_session(5.0), card("case"), text_index=text)
    screen.prompts.suspect("c0")
    for test in TESTS:
        screen.prompts.buy(test.word)
    screen.panel.answers.pane = pane
    for _ in range(4):
        assert problems(screen.draw(pygame.Surface(size))) == []
        for widget in [w for w in screen.panel.form.widgets if w.name == "page"]:
            widget.send()


def test_an_entry_is_written_with_spaces(make_session, press):
    """The page takes letters, spaces and Backspace, though Space runs the model elsewhere."""
    screen = screen_of(make_session(5.0), card("entry"))
    type_in(screen, press, "oil leak")
    screen.handle(press(pygame.K_BACKSPACE))
    assert screen.prompts.now.text == "oil lea"
    assert not screen.session.playing
    screen.handle(press(pygame.K_TAB))
    screen.handle(press(pygame.K_RETURN))
    assert screen.prompts.now.locked


def test_a_curve_by_keys_and_by_mouse(make_session, press):
    """Arrows and Enter put points, a click puts one, the same place again takes it away."""
    got = []
    one = card("curve", lambda a: got.append(a) or Marked(1.0, "k", "Because."))
    screen = screen_of(make_session(900.0), one)
    screen.handle(press(pygame.K_RETURN))
    for _ in range(10):
        screen.handle(press(pygame.K_RIGHT))
    for _ in range(5):
        screen.handle(press(pygame.K_UP))
    screen.handle(press(pygame.K_RETURN))
    assert screen.prompts.now.points == [(0.0, 0.0), (15.0, 50.0)]
    pad = screen.panel.form.focused
    click = pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=pad.plot.midtop)
    screen.handle(click)
    assert screen.prompts.now.points[-1] == (30.0, 200.0)
    screen.handle(click)
    assert len(screen.prompts.now.points) == 2
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert got == [((0.0, 0.0), (15.0, 50.0))]


def test_a_part_is_pointed_at_by_letter_and_by_click(make_session, press):
    """Letters stand at the parts instead of their names; a click near one chooses it."""
    session = make_session(900.0)
    keys = [p.key for p in session.section.parts]
    parts = tuple((chr(97 + i), key, key) for i, key in enumerate(keys))
    screen = screen_of(session, card("point", parts=parts), names=False)
    shown = {t.text for t in screen.draw(pygame.Surface((1920, 1080))).texts}
    assert {letter.upper() for letter, _, _ in parts} <= shown
    assert "Pleated element" not in shown
    type_in(screen, press, "c")
    assert screen.prompts.now.text == keys[2]
    for label in screen.stage.placed:
        at = tuple(round(x) for x in label.leader[-1])
        screen.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=at))
        assert screen.prompts.now.text == keys[ord(label.text) - 65]
        screen.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=label.box.center))
        assert screen.prompts.now.text == keys[ord(label.text) - 65]


def test_numbers_to_choose_from_come_with_the_run(make_session):
    """Until the run is known a notice stands in their place; then the lines are there."""
    known = False

    def late():
        if not known:
            raise AnswersAwaitedError("Working out the answers: 40 % done.")
        return (("a", "12 kPa"), ("b", "120 kPa"))

    screen = Screen(make_session(900.0), ViewOptions(), AnswerSheet([card("choice", late=late)]))
    screen.desk.prompt = True
    surface = pygame.Surface((1280, 720))
    assert any("40 %" in t.text for t in screen.draw(surface).texts)
    known = True
    assert any("120 kPa" in t.text for t in screen.draw(surface).texts)


@pytest.mark.parametrize(("size", "text"), SIZES)
@pytest.mark.parametrize("form", ["several", "order", "curve", "entry"])
def test_long_questions_and_reasons_fit(make_session, form, size, text):
    """Ten long lines are turned over page by page, and so is a long reason; nothing is cut or covered."""
    screen = screen_of(make_session(900.0), card(form), text_index=text)
    surface, desk = pygame.Surface(size), screen.prompts
    assert problems(screen.draw(surface)) == []
    seen = set()
    for _ in range(6):
        seen |= {w.name for w in screen.panel.form.widgets if w.name.startswith("choice")}
        for widget in [w for w in screen.panel.form.widgets if w.name == "page"]:
            widget.send()
        assert problems(screen.draw(surface)) == []
    assert len(seen) == (10 if form in ("several", "order") else 0)
    desk.now.picked, desk.now.points, desk.now.text = ["c1"], [(0.0, 1.0), (9.0, 2.0)], LONG
    desk.lock()
    desk.reveal()
    told = ""
    for _ in range(6):
        canvas = screen.draw(surface)
        assert problems(canvas) == []
        told += " ".join(t.text for t in canvas.texts)
        for widget in [w for w in screen.panel.form.widgets if w.name == "more"]:
            widget.send()
    assert told.replace("\n", " ").count("green mark again.") >= LONG.count("green mark again.")


def test_pages_hold_every_word():
    """Cut into pages and put together again a text is the same."""
    canvas = Canvas(pygame.Surface((1280, 720)), load_theme("dark"))
    pages = pages_of(canvas, LONG, 300, 80)
    assert len(pages) > 3
    assert " ".join(pages) == LONG
    assert all(canvas.measure(p, wrap=300)[1] <= 80 for p in pages)


class Unrun:
    """Keys that are not worked out."""

    def __init__(self, scenario):
        self.scenario = scenario
        self.mark = self.log = dict


@pytest.mark.parametrize("name", scenario_names())
def test_every_shipped_question_can_be_shown(make_session, name):
    """Each question of each lesson becomes a card whose form the panel knows, and fits at two sizes."""
    desk = AnswerSheet(
        [c for c in cards(Unrun(load_scenario(name)), "") if c.late is None and c.form != "point"]
    )
    for size, text in (SIZES[0], SIZES[2]):
        screen = Screen(make_session(900.0), ViewOptions(text_index=text), desk)
        surface = pygame.Surface(size)
        for at in range(len(desk.cards)):
            desk.at, screen.desk.prompt = at, True
            assert desk.card.form in FORMS
            assert problems(screen.draw(surface)) == [], desk.card.id
            boxes = [w.box for w in screen.panel.form.widgets if w.box.w]
            assert all(b.collidelist(boxes[i + 1 :]) < 0 for i, b in enumerate(boxes)), desk.card.id
