"""What an instructor does before a class: point at parts, count hands, show a large graph, read notes."""

import csv
import io
import itertools
from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.rig.records import Event
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.presenter.hands import Hands, Poll, Truth, polls, tally_csv, valve_truth
from glasscan.window.presenter.notes import COMES, DOES, SAY, NoteLine, cues, next_cue, to_say
from glasscan.window.presenter.notes_window import NoteWindow
from glasscan.window.presenter.spotlight import holds, polygons, top_down
from glasscan.window.questions.key_run import AnswersAwaitedError
from glasscan.window.questions.prompt_panel import AnswerSheet, QuestionCard

from tests.window.test_layout import problems
from tests.window.test_screen import Marked

SIZES = [((1280, 720), 1), ((1280, 720), 3), ((1920, 1080), 1), ((2560, 1440), 2)]
ANSWERS = (
    ("a", "It stays shut for the whole run, whatever the oil is like in the morning."),
    ("b", "It opens, stays open while the oil is cold, and goes back to its seat as the oil warms."),
    ("c", "It opens only while the oil passages fill, and then stays shut."),
)
REASON = "The run shows it open from 3 s to 137 s. The element could not take the whole flow. " * 3


def card(awaited=()):
    """A question with three answers, the second of them right; the key may have to be waited for."""
    waits = list(awaited)

    def mark(answer):
        if waits:
            raise AnswersAwaitedError(waits.pop())
        return Marked(float(answer == "b"), "b", REASON)

    return QuestionCard(
        "q", "before", "The oil is cold. What will the bypass valve do?", "choice", mark, ANSWERS
    )


@pytest.fixture
def showing(make_session):
    """A screen in demonstrate mode with one question of the lesson."""
    session = make_session(0.0)
    return Screen(session, ViewOptions(), AnswerSheet([card()]), predict=False)


def shown(screen, size=(1920, 1080)):
    """The words of one frame."""
    return " ".join(t.text for t in screen.draw(pygame.Surface(size)).texts).replace("\n", " ")


# --- one part in the light --------------------------------------------------------------------------


def test_point_freezes_and_walks_through_all_parts(showing, press):
    """F stops the run and lights the topmost part; arrows reach every named part with its sentence."""
    showing.session.playing = True
    showing.handle(press(pygame.K_f, "f"))
    assert not showing.session.playing
    seen = []
    for part in top_down(showing.session.section):
        assert showing.spot.key == part.key
        words = shown(showing)
        assert part.name[1:] in words
        assert part.about in words
        seen.append(part.key)
        showing.handle(press(pygame.K_RIGHT))
    assert showing.spot.key == seen[0]
    assert len(seen) == len(showing.session.section.parts)
    showing.handle(press(pygame.K_f, "f"))
    assert not showing.spot.key


def test_every_shipped_part_says_what_it_does():
    """All named parts of the three filters have one sentence or two, with a full stop."""
    from glasscan.filters.build import parts_of
    from glasscan.filters.filter_data import FilterData
    from glasscan.learning.catalogue import load_filter, names

    for name in names("filters"):
        for part in parts_of(FilterData(load_filter(name))):
            assert part.about.endswith("."), (name, part.key)
            assert 15 <= len(part.about) <= 120, (name, part.key)


def test_a_click_on_a_part_or_its_name_lights_it(showing):
    """Pointing with the mouse finds what lies under it; beside the filter nothing happens."""
    showing.draw(pygame.Surface((1920, 1080)))
    view = showing.stage.cutaway(showing.canvas, showing.layout((1920, 1080))).view
    target = next(p for p in top_down(showing.session.section) if p.outlines and not p.lifts)
    at = polygons(target, view, 0.0)[0].mean(axis=0)
    label = next(one for one in showing.stage.placed if one.text.lower() == target.name.lower())
    for pos in (tuple(at.astype(int)), label.box.center):
        showing.spot.key = ""
        showing.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=pos))
        hit = showing.spot.part
        assert hit is not None
        assert hit is target or any(holds(p, pos) for p in polygons(hit, view, 0.0))
        shown(showing)  # names are hidden while a part is lit
        showing.spot.key = ""
        shown(showing)
    showing.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=(200, 300)))
    assert showing.spot.key == ""


def test_the_rest_is_dimmed_and_the_part_is_not(showing):
    """Pixels of the lit part keep their colours; those of the others lose contrast with the paper."""
    plain, lit = pygame.Surface((1920, 1080)), pygame.Surface((1920, 1080))
    showing.desk.names = False
    showing.draw(plain)
    shaped = [p for p in top_down(showing.session.section) if p.outlines and not p.lifts]
    part = max(shaped, key=lambda p: area(p.outlines[0]))
    showing.spot.key = part.key
    showing.draw(lit)
    view = showing.stage.cutaway(showing.canvas, showing.layout((1920, 1080))).view
    inside = polygons(part, view, 0.0)
    changed, total = {True: 0, False: 0}, {True: 0, False: 0}
    for x, y in itertools.product(range(view.area.x + 20, view.area.right - 20, 9), range(150, 850, 9)):
        deep = all(any(holds(p, (x + dx, y + dy)) for p in inside) for dx, dy in ((8, 8), (-8, -8)))
        near = any(holds(p, (x + dx, y + dy)) for p in inside for dx in (-9, 0, 9) for dy in (-9, 0, 9))
        if deep == near:
            total[deep] += 1
            changed[deep] += plain.get_at((x, y)) != lit.get_at((x, y))
    assert total[True] > 20
    assert changed[True] == 0
    assert changed[False] > 0.3 * total[False]


def area(polygon):
    """Area of a polygon (n, 2) by the shoelace formula."""
    x, y = polygon.T
    return abs(x @ np.roll(y, 1) - y @ np.roll(x, 1)) / 2


def test_inside_of_a_polygon():
    """A square with a notch: points inside, outside and in the notch."""
    shape = np.array([(0, 0), (10, 0), (10, 10), (6, 10), (6, 4), (4, 4), (4, 10), (0, 10)], float)
    assert holds(shape, (2, 8))
    assert holds(shape, (5, 2))
    assert not holds(shape, (5, 8))
    assert not holds(shape, (12, 2))


# --- hands of a class -------------------------------------------------------------------------------


def test_counted_hands_are_not_lost_by_one_key(showing, press):
    """Leaving with hands counted takes Escape twice, and says why; another key between begins anew."""
    for code, text in ((pygame.K_h, "h"), (pygame.K_2, "2"), (pygame.K_ESCAPE, "")):
        showing.handle(press(code, text))
        shown(showing)
    for _ in range(2):
        showing.handle(press(pygame.K_ESCAPE))
        assert "hands counted are not kept" in shown(showing)
        assert not showing.leave
        showing.handle(press(pygame.K_l, "l"))
        assert "hands counted" not in shown(showing)
    showing.handle(press(pygame.K_ESCAPE))
    showing.handle(press(pygame.K_ESCAPE))
    assert showing.leave


def test_predict_observe_explain(showing, press):
    """Count, lock, run to the end; then the truth stands beside the hands, with its reason."""
    for code, text in ((pygame.K_h, "h"), (pygame.K_2, "2"), (pygame.K_2, "2"), (pygame.K_1, "1")):
        showing.handle(press(code, text))
        shown(showing)
    hands = showing.hands.hands
    assert hands.now == [1, 2, 0]
    showing.handle(press(pygame.K_BACKSPACE))
    assert hands.now == [0, 2, 0]
    showing.handle(press(pygame.K_3, "3"))
    showing.handle(press(pygame.K_RETURN))
    showing.handle(press(pygame.K_1, "1"))
    assert hands.now == [0, 2, 1]  # locked
    assert REASON not in shown(showing)
    showing.handle(press(pygame.K_RETURN))
    assert hands.truth is None  # there was no run yet
    showing.handle(press(pygame.K_SPACE, " "))
    assert showing.session.playing
    assert not showing.desk.hands
    showing.session.run_to(899.9)
    showing.update(0.2)
    assert showing.session.finished
    words = shown(showing)
    assert "2 of 3 said so" in words
    assert "✓" in words
    assert "open from 3 s to 137 s" in words


def test_numbers_can_be_typed_into_a_focused_answer(showing, press):
    """Tab to the second answer, type 14: large classes are not counted hand by hand."""
    showing.handle(press(pygame.K_h, "h"))
    shown(showing)
    for code, text in ((pygame.K_TAB, ""), (pygame.K_TAB, ""), (pygame.K_1, "1"), (pygame.K_4, "4")):
        showing.handle(press(code, text))
    assert showing.hands.hands.now == [0, 14, 0]
    showing.handle(press(pygame.K_UP))
    assert showing.hands.hands.now == [0, 15, 0]


def test_a_click_counts_one_hand(showing, press):
    """And digits go on counting afterwards."""
    showing.handle(press(pygame.K_h, "h"))
    shown(showing)
    row = next(w for w in showing.hands.form.widgets if w.name == "hands-3")
    showing.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=row.box.center))
    showing.handle(press(pygame.K_3, "3"))
    assert showing.hands.hands.now == [0, 0, 2]


def test_without_a_hand_nothing_is_locked():
    """A question nobody answered stays open."""
    hands = Hands([Poll("p", "?", ANSWERS, lambda: Truth("a", "Because."))])
    assert not hands.lock()
    assert "at least one" in hands.notice
    assert hands.right_ones() is None


def test_a_key_still_being_worked_out_is_asked_for_again(make_session):
    """As long as the run of the lesson is not there, the reason stands in the panel."""
    found = polls(make_session(0.0), AnswerSheet([card(["Working out the answers: 40 % done."])]))
    hands = Hands(found)
    hands.add(1)
    hands.lock()
    hands.reveal()
    assert "40 %" in hands.notice
    hands.reveal()
    assert hands.truth.right == "b"


def test_what_the_valve_did_is_read_from_the_run(make_session):
    """The made-up run opens at 3 s and seats later: the answer changes with the moment."""
    session = make_session(1.0)
    assert valve_truth(session).right == "shut"
    session.run_to(30.0)
    assert valve_truth(session).right == "open"
    session.run_to(890.0)
    assert valve_truth(session).right == "seats"


def test_an_exam_gives_nothing_away(make_session, press):
    """Where marks are kept back there are no hands to count."""
    screen = Screen(make_session(0.0), ViewOptions(), AnswerSheet([card()], exam=True))
    assert screen.hands is None
    screen.desk.prompt = False
    screen.handle(press(pygame.K_h, "h"))
    assert not screen.desk.hands


def test_hands_are_taken_away_as_a_table(showing, tmp_path):
    """Stamped; every answer with its hands, the right one with its reason."""
    hands = showing.hands.hands
    hands.put(1, 12)
    hands.put(0, 7)
    hands.lock()
    hands.reveal()
    showing.taker._folder = tmp_path
    showing.keep_hands()
    showing.taker.wait()
    text = next(tmp_path.glob("*-hands.csv")).read_text(encoding="utf-8")
    assert text.startswith("# Glasscan")
    assert "Teaching only" in text
    rows = list(csv.DictReader(io.StringIO(text.split("\n", 1)[1])))
    assert [(r["hands"], r["right"]) for r in rows] == [("7", "no"), ("12", "yes"), ("0", "no")]
    assert rows[1]["reason"].startswith("The run shows")
    assert tally_csv(Hands(hands.polls), "x").count("\n") == 2


@pytest.mark.parametrize(("size", "text"), SIZES)
def test_everything_shown_to_a_class_fits(showing, size, text):
    """Spotlight, hands before and after, large graph and notes: nothing cut, nothing covered."""
    showing.desk.text_index = text
    showing.session.run_to(30.0)
    surface = pygame.Surface(size)
    for part in top_down(showing.session.section):
        showing.spot.key = part.key
        assert problems(showing.draw(surface)) == [], part.key
    showing.spot.key = ""
    showing.desk.graph = True
    assert problems(showing.draw(surface)) == []
    showing.desk.graph, showing.desk.notes = False, "here"
    assert problems(showing.draw(surface)) == []
    showing.desk.notes = "off"
    showing.desk.hands = True
    hands = showing.hands.hands
    assert problems(showing.draw(surface)) == []
    hands.put(0, 888)
    hands.lock()
    assert problems(showing.draw(surface)) == []
    hands.reveal()
    assert problems(showing.draw(surface)) == []
    showing.desk.drawer = True
    showing.desk.hands = False
    for showing.desk.page in ("class", "take away"):
        showing._built = ()
        assert problems(showing.draw(surface)) == []


# --- notes --------------------------------------------------------------------------------------------

LINES = (
    NoteLine(SAY, "Ask: who thinks it opens?", 0.0),
    NoteLine(DOES, "shaft to 900 rpm within 3 s", 2.0),
    NoteLine(SAY, "Point at the disc.", event="bypass-cracks"),
    NoteLine(SAY, "Seats: why now?", event="bypass-seats"),
    NoteLine(SAY, "Never said.", event="indicator-pops"),
)


def event(word, t_s):
    """An event as the rig writes it."""
    return Event(t_s, word, 100e3, -5.0)


def test_cues_stand_at_their_moments():
    """What came stands at its own time, what is expected at that of the lesson as written."""
    expected = [event("bypass-cracks", 3.0), event("bypass-seats", 137.0)]
    found = cues(LINES, expected, [event("bypass-cracks", 4.5)], 10.0)
    times = {c.text: c.t_s for c in found}
    assert times["Point at the disc."] == 4.5
    assert times["Seats: why now?"] == 137.0
    assert [c.t_s for c in found] == sorted(c.t_s for c in found)
    assert sum(c.kind == COMES for c in found) == 2
    assert found[-1].t_s == float("inf")
    assert "Never said" in found[-1].text
    assert to_say(found, 10.0).text == "Point at the disc."
    assert next_cue(found, 10.0).t_s == 137.0


@pytest.mark.parametrize("displays", [1, 2])
def test_notes_cycle_and_stay_out_of_the_class_window(make_session, press, monkeypatch, displays):
    """N: own window, here, off; with one display here first. In their own window the main one has none."""
    monkeypatch.setattr(pygame.display, "get_num_displays", lambda: displays)
    session = make_session(5.0)
    session.facts = replace(session.facts, lines=LINES)
    screen = Screen(session, expected=lambda: [event("bypass-seats", 137.0)])
    order = ("window", "here", "off") if displays > 1 else ("here", "window", "off")
    for wanted in order:
        screen.handle(press(pygame.K_n, "n"))
        assert screen.desk.notes == wanted
        assert ("who thinks it opens" in shown(screen) or "Point at the disc" in shown(screen)) == (
            wanted == "here"
        )


@pytest.mark.parametrize("lines", [(), LINES[-2:]])
def test_notes_never_say_that_nothing_comes_above_what_waits(make_session, lines):
    """A note whose event has no time yet is still to come; where none is left the notes say so."""
    session = make_session(5.0)
    session.facts = replace(session.facts, lines=lines)
    screen = Screen(session, ViewOptions(notes="here"), expected=list)
    words = shown(screen)
    assert ("Nothing more to come" in words) == (not lines)
    assert ("waits for its event" in words) == bool(lines)


@pytest.mark.parametrize("mode", ["demonstrate", "practise", "exam"])
def test_only_a_presenter_reads_what_will_come(make_session, monkeypatch, tmp_path, mode):
    """Expected events are those of the key: who predicts or is examined does not get them."""
    from types import SimpleNamespace

    from glasscan.window import app
    from glasscan.window.home import resume_state
    from glasscan.window.lesson.lesson_loading import Opened
    from glasscan.window.open_request import OpenRequest

    log = SimpleNamespace(events=(event("bypass-seats", 137.0),))
    keys = SimpleNamespace(peek=lambda: log, log=lambda: log, stop=lambda: None)
    opened = Opened(make_session(5.0), AnswerSheet([]), keys)
    monkeypatch.setattr(resume_state, "state_path", lambda: tmp_path / "left.json")
    monkeypatch.setattr(app, "open_session", lambda *_, **__: opened)
    seen = []
    monkeypatch.setattr(app, "do_behind_bar", lambda _, work, __: work(lambda *_: None))
    monkeypatch.setattr(app, "run_loop", lambda screen, _: seen.append(screen))
    app.Application().lesson(
        SimpleNamespace(title="Cold", scenario="cold-start", prompts=()), OpenRequest("cold-start", mode)
    )
    screen = next(s for s in seen if hasattr(s, "expected"))
    assert (len(screen.expected()) == 1) == (mode == "demonstrate")


def test_notes_window_opens_draws_and_lets_keys_through(make_session):
    """Keys pressed in it reach the lesson; clicks in it and its closing do not."""
    screen = Screen(make_session(5.0))
    notes = NoteWindow()
    notes.show()
    if notes.trouble:
        pytest.skip(notes.trouble)
    window = notes._window
    notes.draw(screen.paint_notes, "dark", 1.0, 1.0)
    assert window.get_surface().get_bounding_rect().w > 100
    key = pygame.event.Event(pygame.KEYDOWN, key=pygame.K_SPACE, unicode=" ", mod=0, window=window)
    click = pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=(5, 5), window=window)
    assert not notes.mine(key)
    assert notes.mine(click)
    assert not notes.mine(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=(5, 5)))
    assert notes.mine(pygame.event.Event(pygame.WINDOWCLOSE, window=window))
    assert notes.was_closed
    assert not notes.open


def test_lines_of_a_scenario_are_notes_and_timeline():
    """Every shipped lesson can be presented: timeline and faults to come in words, notes with moments."""
    from glasscan.learning.catalogue import scenario_names
    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.window.presenter.notes import lines_of

    presented = 0
    for name in scenario_names():
        scenario = load_scenario(name)
        lines = lines_of(scenario)
        coming = sum(ill.comes for ill in scenario.faults)
        assert len(lines) == len(scenario.notes) + len(scenario.timeline) + coming
        assert all(line.text for line in lines)
        presented += bool(scenario.notes)
    assert presented >= 6


def test_a_bad_note_is_told_in_one_line(tmp_path):
    """An event that there is not, with the nearest valid word; a run cut short keeps its notes."""
    from glasscan.content import BadInput
    from glasscan.learning.catalogue import scenario_path
    from glasscan.learning.scenario_loading import load_scenario

    text = scenario_path("cold-start").read_text(encoding="utf-8")
    head = text.split("\nnotes:")[0]
    path = tmp_path / "cold-start.yaml"
    path.write_text(f"{head}\nnotes:\n  - {{event: bypass-crack, say: Look.}}\n", encoding="utf-8")
    with pytest.raises(BadInput, match="bypass-cracks"):
        load_scenario(str(path))
    assert load_scenario("warm-start", ["end_s=5", "timeline=[]"]).notes


def test_the_big_number_keeps_its_place(make_session):
    """From one digit to three neither the last figure nor the unit moves, at one full scale."""
    from glasscan.ui.canvas import Canvas
    from glasscan.ui.display_units import SYSTEMS
    from glasscan.ui.theme import load_theme
    from glasscan.window.lesson.gauges import Hero, draw_hero
    from glasscan.window.lesson.window_layout import arrange

    session = make_session(30.0)
    ends, texts = set(), set()
    for dp_pa in (7e3, 41e3, 152e3):
        s = replace(session.snapshot, dp_pa=dp_pa)
        canvas = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"))
        draw_hero(canvas, arrange((1920, 1080), 1.0), s, SYSTEMS[0], Hero(240e3, None))
        number = next(t for t in canvas.texts if t.role == "hero")
        unit = next(t for t in canvas.texts if t.text == "kPa")
        ends.add((number.drawn.right, unit.drawn.x))
        texts.add(number.text)
    assert texts == {"7", "41", "152"}
    assert len(ends) == 1


def test_figures_are_of_equal_width():
    """The shipped faces are tabular: every digit takes the same room, in both weights."""
    from glasscan.ui.canvas import font

    for bold in (False, True):
        assert len({font(44, bold).size(digit)[0] for digit in "0123456789"}) == 1
