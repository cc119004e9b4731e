"""The window by keyboard and mouse: every key does what the help sheet says."""

import pygame
import pytest
from glasscan.window.lesson.lesson_keys import sheet
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.questions.prompt_panel import AnswerSheet, QuestionCard

SIZE = (1920, 1080)


class Marked:
    """A result of marking."""

    def __init__(self, share, key, reason):
        self.share, self.marks, self.out_of, self.key, self.reason = share, share, 1.0, key, reason


def cards():
    """Two questions marked against fixed keys; a real lesson reads them from its run."""

    def choice(answer):
        return Marked(
            float(answer == "b"), "It opens, then seats.", "The run shows it open from 3 s to 137 s."
        )

    def number(answer):
        if not answer.replace(",", "").isdigit():
            raise ValueError("expected a number, such as 83 or 0,83")
        return Marked(float(answer == "205"), "205 kPa", "The run gives 205 kPa.")

    return [
        QuestionCard(
            "p1", "before", "What will the valve do?", "choice", choice, (("a", "Stay shut."), ("b", "Open."))
        ),
        QuestionCard("p2", "after", "Largest difference?", "number", number, unit="kPa"),
    ]


def drawn(screen):
    """The texts of one frame."""
    return [t.text for t in screen.draw(pygame.Surface(SIZE)).texts]


def test_space_runs_and_pauses(make_screen, press):
    """The one key everybody tries first."""
    screen = make_screen(5.0)
    screen.handle(press(pygame.K_SPACE, " "))
    assert screen.session.playing
    assert "Pause" in drawn(screen)
    screen.handle(press(pygame.K_SPACE, " "))
    assert not screen.session.playing


def test_space_runs_whatever_has_the_focus(make_screen, press):
    """With a slider focused Space still means run or pause."""
    screen = make_screen(5.0, drawer=True)
    drawn(screen)
    screen.form.focus_on("air")
    screen.handle(press(pygame.K_SPACE, " "))
    assert screen.session.playing


@pytest.mark.parametrize(
    ("code", "text", "what"),
    [
        (pygame.K_u, "u", lambda s: s.desk.units_index == 1),
        (pygame.K_u, "U", lambda s: s.desk.units_index == 1),
        (pygame.K_t, "t", lambda s: s.desk.theme == "light"),
        (pygame.K_l, "l", lambda s: not s.desk.names),
        (pygame.K_v, "v", lambda s: s.desk.slot == "valve"),
        (pygame.K_e, "e", lambda s: s.desk.slot == "events"),
        (pygame.K_c, "c", lambda s: s.desk.drawer),
        (pygame.K_r, "r", lambda s: s.session.snapshot.regulator_before),
        (pygame.K_RIGHTBRACKET, "]", lambda s: s.session.speed == 2.0),
        (pygame.K_LEFTBRACKET, "[", lambda s: s.session.speed == 0.5),
        (pygame.K_PERIOD, ".", lambda s: s.session.snapshot.t_s == pytest.approx(20.05)),
        (pygame.K_COMMA, ",", lambda s: s.session.snapshot.t_s == pytest.approx(15.0)),
        (pygame.K_HOME, "", lambda s: s.session.snapshot.t_s == 0.0),
        (pygame.K_PLUS, "+", lambda s: s.desk.text_scale == 1.25),
        (pygame.K_MINUS, "-", lambda s: s.desk.text_scale == 0.85),
        (pygame.K_F11, "", lambda s: s.fullscreen),
        (pygame.K_SLASH, "?", lambda s: s.desk.help),
        (pygame.K_i, "i", lambda s: s.desk.lesson),
    ],
)
def test_every_key_does_its_work(make_screen, press, code, text, what):
    """One key, one intent, seen in the state."""
    screen = make_screen(20.0)
    assert not what(screen)
    screen.handle(press(code, text))
    assert what(screen)


def test_help_sheet_names_the_keys_and_closes_on_any(make_screen, press):
    """The sheet is modal: the first key closes it and does nothing else."""
    screen = make_screen(20.0, help=True)
    texts = drawn(screen)
    assert {key for key, _ in sheet(screen)} <= set(texts)
    screen.handle(press(pygame.K_SPACE, " "))
    assert not screen.desk.help
    assert not screen.session.playing


def test_lesson_sheet_shows_the_caution(make_session, press):
    """What the lesson is about and the caution for the real work come first, whole, at large text too."""
    from dataclasses import replace

    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.ui.view_options import ViewOptions

    from tests.window.test_layout import problems

    scenario = load_scenario("cold-start")
    session = make_session(0.0)
    session.facts = replace(session.facts, about=scenario.about, safety=scenario.safety)
    for size, text in ((SIZE, 1), (SIZE, 3), ((1280, 720), 1)):
        screen = Screen(session, ViewOptions(lesson=True, text_index=text))
        canvas = screen.draw(pygame.Surface(size))
        shown = " ".join(t.text for t in canvas.texts).replace("\n", " ")
        assert problems(canvas) == []
        assert scenario.safety in shown
        screen.handle(press(pygame.K_SPACE, " "))
        assert not screen.desk.lesson
        assert not session.playing


def test_keys_survive_words_without_meaning(make_screen, press):
    """Keys nobody has given a meaning change nothing and fail nothing."""
    screen = make_screen(20.0)
    before = vars(screen.desk).copy()
    for code in (pygame.K_q, pygame.K_F7, pygame.K_LCTRL, pygame.K_KP5):
        screen.handle(press(code, "q" if code == pygame.K_q else ""))
    assert vars(screen.desk) == before


def test_tab_reaches_every_control_of_the_drawer(make_screen, press):
    """WCAG 2.1.1: run, speed, controls, the drawer's nine and the trace, all by Tab."""
    screen = make_screen(5.0, drawer=True)
    drawn(screen)
    names = set()
    for _ in range(len(screen.form.shown())):
        screen.handle(press(pygame.K_TAB))
        names.add(screen.form.focused.name)
    assert names == {w.name for w in screen.form.shown()}


def test_c_goes_into_the_controls_and_one_escape_out_of_them(make_screen, press):
    """By keyboard alone: C, then arrows turn the pages; Escape puts the controls away, and no more."""
    screen = make_screen(5.0)
    drawn(screen)
    screen.handle(press(pygame.K_c, "c"))
    assert screen.form.focused.name == "page"
    screen.handle(press(pygame.K_RIGHT))
    assert screen.desk.page != "rig"
    screen.handle(press(pygame.K_ESCAPE))
    drawn(screen)
    assert (screen.desk.drawer, screen.form.focused, screen.leave) == (False, None, False)


def test_drawer_changes_reach_the_engine(make_screen, press):
    """Air by arrow key, rpm by typing, oil and regulator by arrows."""
    screen = make_screen(20.0, drawer=True)
    drawn(screen)
    screen.form.focus_on("air")
    screen.handle(press(pygame.K_LEFT))
    screen.form.focus_on("rpm")
    for mark in "1500":
        screen.handle(press(ord(mark), mark))
    screen.handle(press(pygame.K_RETURN))
    screen.form.focus_on("fluid")
    screen.handle(press(pygame.K_RIGHT))
    screen.form.focus_on("regulator")
    screen.handle(press(pygame.K_RIGHT))
    wanted = {"air_c": -6, "rpm": 1500, "fluid": "sae-30", "regulator": "before"}
    assert screen.session.engine.controls == wanted


def test_air_is_set_in_the_unit_shown(make_screen, press):
    """Typing 14 with Fahrenheit on means 14 °F, which is −10 °C."""
    screen = make_screen(20.0, drawer=True, units_index=1)
    drawn(screen)
    screen.form.focus_on("air")
    for mark in "14":
        screen.handle(press(ord(mark), mark))
    screen.handle(press(pygame.K_RETURN))
    assert screen.session.engine.controls["air_c"] == pytest.approx(-10.0)


def test_click_on_run(make_screen):
    """A click at the button's place presses it."""
    screen = make_screen(5.0)
    drawn(screen)
    at = screen.layout(SIZE)["run"].center
    screen.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=1))
    assert screen.session.playing


def test_drag_on_the_trace_rewinds(make_screen):
    """Press, drag: the picture follows, back and on again; let go, and it stays."""
    screen = make_screen(60.0)
    drawn(screen)
    axis = screen.plot.axis
    y = axis.frame.centery
    screen.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=(axis.frame.right - 5, y), button=1))
    to = (int(axis.x(30.0)), y)
    screen.handle(pygame.event.Event(pygame.MOUSEMOTION, pos=to, buttons=(1, 0, 0), rel=(0, 0)))
    assert screen.session.snapshot.t_s == pytest.approx(30.0, abs=0.2)
    on = (int(axis.x(45.0)), y)
    screen.handle(pygame.event.Event(pygame.MOUSEMOTION, pos=on, buttons=(1, 0, 0), rel=(0, 0)))
    assert screen.session.snapshot.t_s == pytest.approx(45.0, abs=0.2)
    screen.handle(pygame.event.Event(pygame.MOUSEBUTTONUP, pos=on, button=1))
    assert screen.session.snapshot.t_s == pytest.approx(45.0, abs=0.2)
    assert screen.session.known_s == pytest.approx(60.0)


def test_trace_by_arrow_keys(make_screen, press):
    """The drag's keyboard twin: arrows choose, Enter goes there, Escape forgets."""
    screen = make_screen(60.0)
    drawn(screen)
    screen.form.focus_on("trace")
    screen.handle(press(pygame.K_LEFT))
    screen.handle(press(pygame.K_ESCAPE))
    assert screen.session.snapshot.t_s == pytest.approx(60.0)
    for _ in range(5):
        screen.handle(press(pygame.K_LEFT))
    screen.handle(press(pygame.K_RETURN))
    assert screen.session.snapshot.t_s == pytest.approx(54.0)


def test_prediction_is_locked_before_the_run_starts(make_screen, press):
    """Space does not start the run while a prediction is open; once locked, the answer stays."""
    desk = AnswerSheet(cards())
    screen = make_screen(0.0, desk)
    assert "Predict first" in drawn(screen)
    screen.handle(press(pygame.K_SPACE, " "))
    assert not screen.session.playing
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert "Give an answer first." in drawn(screen)
    screen.handle(press(pygame.K_2, "2"))
    drawn(screen)
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert desk.given["p1"].locked
    screen.handle(press(pygame.K_SPACE, " "))
    assert screen.session.playing
    desk.at = 0
    desk.answer("a")
    assert desk.given["p1"].text == "b"


def test_prediction_is_marked_after_the_run_with_its_reason(make_session, press):
    """Before the end there is no way to the mark; after it, sign, word and reason are shown."""
    desk = AnswerSheet(cards())
    session = make_session(0.0, wall=lambda: 0.0)
    screen = Screen(session, None, desk)
    desk.answer("b")
    desk.lock()
    drawn(screen)
    assert "reveal" not in [w.name for w in screen.panel.form.widgets]
    session.run_to(899.9)
    session.toggle()
    screen.update(0.2)
    texts = drawn(screen)
    assert screen.desk.prompt
    assert "Mark my answer" in texts
    screen.panel.form.focus_on("reveal")
    screen.handle(press(pygame.K_RETURN))
    texts = " ".join(drawn(screen)).replace("\n", " ")
    assert "✓ Right" in texts
    assert "open from 3 s to 137 s" in texts


def test_number_is_typed_and_a_bad_one_is_asked_again(make_session, press):
    """Digits go to the answer; what cannot be read is opened again with a plain sentence, never lost."""
    desk = AnswerSheet(cards())
    session = make_session(900.0)
    screen = Screen(session, None, desk)
    desk.at = 1
    drawn(screen)
    screen.handle(press(pygame.K_MINUS, "-"))
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert not desk.now.locked
    assert any("expected a number" in t for t in drawn(screen))
    screen.panel.form.focus_on("answer")
    screen.handle(press(pygame.K_BACKSPACE))
    for mark in "205":
        screen.handle(press(ord(mark), mark))
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert desk.now.result.share == 1.0


def test_number_may_be_given_in_another_unit(make_session, press):
    """Chosen by arrow keys; the unit goes with the number to be marked, and never is never in any unit."""
    heard = []

    def mark(answer):
        heard.append(answer)
        return Marked(1.0, "205 kPa", "Right.")

    for answer in ("30", "never"):
        card = QuestionCard(
            "n", "after", "Largest difference?", "number", mark, (), "kPa", ("kPa", "bar", "psi")
        )
        desk = AnswerSheet([card])
        screen = Screen(make_session(900.0), None, desk)
        screen.desk.prompt = True
        drawn(screen)
        screen.panel.form.focus_on("unit")
        screen.handle(press(pygame.K_LEFT))
        assert "psi" in drawn(screen)
        desk.answer(answer)
        desk.lock()
        desk.reveal()
    assert heard == ["30 psi", "never"]


def test_question_about_the_run_leaves_the_trace_in_view(make_session):
    """Who is asked to read the trace can see it: panel and plot lie apart."""
    desk = AnswerSheet(cards())
    session = make_session(900.0)
    screen = Screen(session, None, desk)
    desk.at = 1
    screen.desk.prompt = True
    texts = drawn(screen)
    layout = screen.layout(SIZE)
    assert "Largest difference?" in texts
    assert "dp" in texts
    assert not screen.panel_box(layout).colliderect(layout["slot"])


def test_prompt_texts_fit_and_lie_apart(make_session):
    """Question, choices, feedback and buttons at 1080p and with large text."""
    from glasscan.ui.view_options import ViewOptions

    from tests.window.test_layout import problems

    for text in (1, 3):
        for at in (0, 1):
            desk = AnswerSheet(cards())
            screen = Screen(make_session(900.0), ViewOptions(text_index=text), desk)
            screen.desk.prompt, desk.at = True, at
            desk.answer("205" if at else "a")
            assert problems(screen.draw(pygame.Surface(SIZE))) == []
            desk.lock()
            desk.reveal()
            assert problems(screen.draw(pygame.Surface(SIZE))) == []


def test_numbers_say_their_unit_and_kind_of_pressure(make_screen):
    """Inlet and outlet are called gauge, the difference differential; psi are psi."""
    screen = make_screen(30.0, units_index=1)
    texts = drawn(screen)
    assert {"Inlet (gauge)", "Outlet (gauge)", "Across the filter (differential)"} <= set(texts)
    dp = screen.session.snapshot.dp_pa
    assert f"{dp / 6894.757:.1f}" in texts
    assert "psi" in texts


def test_open_and_shut_are_told_by_word(make_screen):
    """The valve's state does not rest on colour."""
    assert any(t.startswith("OPEN") for t in drawn(make_screen(8.0)))
    assert "bypass shut" in drawn(make_screen(0.5))


def test_newest_event_is_spoken_in_words(make_screen):
    """The caption names the event, its pressure as differential, and the oil's temperature."""
    caption = next(t for t in drawn(make_screen(8.0)) if "Bypass valve fully open" in t)
    assert "205 kPa differential" in caption.replace("\n", " ")
    assert "−5.0 °C" in caption.replace("\n", " ")


def test_force_balance_shows_every_force_and_a_sum_of_nought(make_screen):
    """On a valve at rest the forces drawn add up to nothing."""
    texts = drawn(make_screen(1.0, slot="valve"))
    assert {"pressure", "spring", "flow", "friction", "seat/stop", "sum"} <= set(texts)
    assert texts[texts.index("sum") + 1] == "0.0 N"


def test_closing_the_window_ends_the_loop(make_screen):
    """QUIT is an intent like any other."""
    screen = make_screen(1.0)
    screen.handle(pygame.event.Event(pygame.QUIT))
    assert screen.quit


def test_marking_waits_with_a_notice(make_screen, press):
    """While the keys are being worked out a notice stands where the mark will be; then the mark."""
    from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError

    said = [
        AnswersMissingError("The answers could not be worked out."),
        AnswersAwaitedError("Working out: 40 %."),
    ]

    def mark(_):
        if said:
            raise said.pop()
        return Marked(1.0, "b", "The run shows it.")

    choices = (("a", "Shut."), ("b", "Open."))
    screen = make_screen(900.0, AnswerSheet([QuestionCard("p", "after", "What?", "choice", mark, choices)]))
    screen.prompts.open_first("after")
    screen.desk.prompt = True
    drawn(screen)
    screen.handle(press(pygame.K_2, "2"))
    screen.panel.form.focus_on("lock")
    screen.handle(press(pygame.K_RETURN))
    assert any("40 %" in text for text in drawn(screen))
    screen.update(0.01)
    assert any("could not be worked out" in text for text in drawn(screen))
    screen.panel.form.focus_on("reveal")
    screen.handle(press(pygame.K_RETURN))
    assert any("Right" in text for text in drawn(screen))


def test_escape_leaves_only_when_nothing_is_open(make_screen, press):
    """Escape closes what is open first; the next one goes back to the first screen."""
    screen = make_screen(5.0, drawer=True)
    drawn(screen)
    screen.handle(press(pygame.K_ESCAPE))
    assert not screen.leave
    screen.handle(press(pygame.K_ESCAPE))
    assert screen.leave


def test_demonstrating_runs_without_a_prediction(make_session, press):
    """In front of a class Space moves the oil at once, though the lesson has questions; P shows them."""
    screen = Screen(make_session(0.0), prompts=AnswerSheet(cards()), predict=False)
    drawn(screen)
    assert not screen.desk.prompt
    screen.handle(press(pygame.K_SPACE, " "))
    assert screen.session.playing
    screen.handle(press(pygame.K_p, "p"))
    assert screen.desk.prompt


def test_exam_keeps_marks_back_until_every_answer_is_locked(make_session):
    """With one question open no result is shown; with the last one locked the sum stands at the top."""
    desk = AnswerSheet(cards(), exam=True)
    screen = Screen(make_session(900.0), prompts=desk)
    desk.at, desk.now.text, desk.now.locked = 0, "b", True
    desk.reveal()
    assert desk.now.result is None
    desk.at = 1
    desk.answer("205")
    desk.lock()
    for desk.at in (0, 1):
        desk.reveal()
    screen.desk.prompt = True
    assert desk.total() == (2.0, 2.0)
    assert "2 of 2 marks" in drawn(screen)


def test_a_digit_then_enter_locks_the_prediction(make_screen, press):
    """Choosing by digit leads to the lock: the next Enter locks the answer, Space then runs."""
    desk = AnswerSheet(cards())
    screen = make_screen(0.0, desk)
    drawn(screen)
    screen.handle(press(pygame.K_SPACE, " "))
    drawn(screen)
    screen.handle(press(pygame.K_2, "2"))
    drawn(screen)
    screen.handle(press(pygame.K_RETURN))
    assert desk.given["p1"].locked
    screen.handle(press(pygame.K_SPACE, " "))
    assert screen.session.playing
