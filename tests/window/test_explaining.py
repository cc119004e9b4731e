"""Explaining a moment: cause and effect, ghost of the last run, what the colours mean, less motion, text."""

import re
from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.ui.display_units import SYSTEMS
from glasscan.ui.view_options import COLOURS, TEXT_SCALES, ViewOptions
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.shades import shade
from glasscan.window.lesson.comparison import verdict
from glasscan.window.lesson.lesson_screen import STILL_S, Screen
from glasscan.window.lesson.text_view import Voice, whole_view
from glasscan.window.lesson.valve_state import ValveMarks
from glasscan.window.lesson.why import chain
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.question_cards import QuestionCard

from tests.window import standin
from tests.window.test_layout import SIZES, problems

KPA = SYSTEMS[0]
SURFACE = (1280, 720)


def numbers(text):
    """All numbers of a text."""
    return [float(n.replace("\u2009", "")) for n in re.findall(r"\d[\d\u2009]*\.?\d*", text)]


def test_every_number_of_the_chain_is_of_the_snapshot():
    """Viscosity, flow, drop, force balance, lift and share are those of the moment."""
    s = replace(standin.snapshot_at(20.0), nu_m2_s=1.234e-3)
    oil, _, flow, drop, balance, lift, share = chain(s, KPA, ValveMarks(96.5e3))
    assert numbers(oil.number) == [1234]
    assert numbers(flow.number)[0] == pytest.approx((s.element_m3s + s.bypass_m3s) * 6e4, abs=0.05)
    assert numbers(drop.number)[0] == pytest.approx(s.dp_pa / 1e3, abs=0.5)
    assert "opens at 96" in drop.text or "opens at 97" in drop.text
    assert "−" not in balance.text
    v = s.valve
    opening, closing = (numbers(half) for half in balance.text.split("To shut:"))
    assert opening == pytest.approx([n for n in (v.pressure_n, v.flow_n, v.seat_n) if n > 0.05], abs=0.05)
    assert closing == pytest.approx([-n for n in (v.spring_n, v.flow_n) if n < -0.05], abs=0.05)
    assert numbers(balance.number)[0] == pytest.approx(
        abs(v.pressure_n + v.flow_n + v.seat_n + v.spring_n), abs=0.05
    )
    assert numbers(lift.number)[0] == pytest.approx(s.lift_m * 1e3, abs=0.005)
    assert numbers(share.number)[0] == pytest.approx(
        100 * s.bypass_m3s / (s.bypass_m3s + s.element_m3s), abs=0.5
    )


def test_the_chain_says_shut_where_it_is_shut():
    """Warm, with the drop below cracking: on its seat, all through the element."""
    links = chain(standin.snapshot_at(500.0), KPA, ValveMarks(96.5e3))
    assert links[5].head == "Lift: seated"
    assert "on its seat" in links[5].text
    assert "All oil goes through the element" in links[6].text
    moved = replace(standin.snapshot_at(500.0), regulator_before=True)
    assert "before" in chain(moved, KPA, ValveMarks(1e5))[2].text
    assert len(chain(replace(standin.snapshot_at(5.0), valve=None), KPA, None)) == 1


def test_w_steps_one_link_at_a_time(make_screen, press):
    """Each press shows one link more and freezes the run; after the last it closes."""
    screen = make_screen(20.0)
    screen.session.playing = True
    shown = []
    for _ in range(7):
        screen.handle(press(pygame.K_w, "w"))
        texts = [t.text for t in screen.draw(pygame.Surface(SURFACE)).texts]
        shown.append(sum(t.removeprefix("→ ") in HEADS for t in texts))
    assert not screen.session.playing
    assert shown[0] == 1
    assert shown[:3] == [1, 2, 3]
    assert "pressure" in texts
    screen.handle(press(pygame.K_w, "w"))
    assert screen.desk.why == 0


HEADS = ("Oil", "Pump", "Flow", "Drop", "Force balance", "Unfiltered")


@pytest.mark.parametrize("text", range(len(TEXT_SCALES)))
@pytest.mark.parametrize("size", SIZES)
def test_every_link_and_every_colouring_fits(make_session, size, text):
    """Chain, legends and the page of the view fit at every size and text scale."""
    screen = Screen(make_session(20.0), ViewOptions(text_index=text))
    surface = pygame.Surface(size)
    for why in range(1, 8):
        screen.desk.why = why
        screen.desk.units_index = why % 3
        canvas = screen.draw(surface)
        assert problems(canvas) == []
    screen.desk.why = 0
    for kind in COLOURS:
        screen.desk.colours = kind
        assert problems(screen.draw(surface)) == []
    screen.desk.drawer, screen.desk.page = True, "view"
    assert problems(screen.draw(surface)) == []
    screen.desk.drawer, screen.desk.help = False, True
    assert problems(screen.draw(surface)) == []


def test_the_last_run_stays_as_a_ghost(make_session):
    """A control moved at an earlier moment: the run before is kept whole, drawn and named."""
    session = make_session(30.0)
    rows = session.trace.rows
    session.rewind(28.5)
    session.change("rpm", 900)
    assert session.ghost is None
    session.run_to(30.0)
    session.rewind(22.0)
    assert session.ghost is None
    session.change("rpm", 900)
    assert session.ghost.rows >= rows - 2
    assert session.trace.rows < session.ghost.rows
    screen = Screen(session)
    with_ghost = pygame.surfarray.array3d(_drawn(screen))
    assert any("last run" in text.text for text in screen.canvas.texts)
    session.ghost = None
    without = pygame.surfarray.array3d(_drawn(Screen(session)))
    assert (with_ghost != without).any()


def _drawn(screen):
    surface = pygame.Surface(SURFACE)
    screen.draw(surface)
    return surface


def test_colours_by_speed_and_by_unfiltered_share():
    """Speed is the length of the velocity; by load the oil is left alone; the share is what it is given."""
    s = standin.snapshot_at(20.0)
    frame = standin.Section().frame(s)
    scale = PressureScale(0.0, 1e5)

    def tint(kind):
        return shade(kind, frame, scale, KPA, lambda: np.full(frame.region.shape, 0.3), 120.0)

    assert tint("pressure").values is None
    assert tint("pressure").scale is scale
    speed = tint("speed")
    assert speed.values == pytest.approx(np.hypot(frame.u_r_m_s, frame.u_z_m_s))
    assert speed.scale.span_pa >= np.percentile(speed.values[speed.values > 0], 97)
    assert tint("unfiltered").values == pytest.approx(0.3)
    assert tint("held").load
    assert tint("held").scale.span_pa == 120.0


def test_o_changes_the_picture_and_its_legend(make_screen, press):
    """Each press of O gives another picture under another legend, and after the last the first again."""
    screen = make_screen(20.0)
    seen = []
    for _ in range(len(COLOURS) + 1):
        surface = pygame.Surface(SURFACE)
        canvas = screen.draw(surface)
        area = screen.layout(SURFACE)["can"]
        title = next(t.text for t in canvas.texts if t.text.startswith(("kPa", "m/s", "%", "°C: ")))
        seen.append((title, pygame.surfarray.array3d(surface.subsurface(area)).tobytes()))
        screen.handle(press(pygame.K_o, "o"))
    assert len({t for t, _ in seen}) == len({p for _, p in seen}) == len(COLOURS)
    assert seen[0] == seen[-1]


def test_less_motion_moves_the_oil_seldom(make_screen, press):
    """The marks stand between two steps that are far apart; without it they drift in every frame."""
    screen = make_screen(20.0)
    screen.session.playing = True
    steps = []
    screen.session.carriers.step = lambda _, dt: steps.append(dt)
    surface = pygame.Surface(SURFACE)
    for _ in range(5):
        screen.draw(surface, 0.1)
    assert sum(dt > 0 for dt in steps) == 5
    steps.clear()
    screen.handle(press(pygame.K_m, "m"))
    for _ in range(31):
        screen.draw(surface, 0.1)
    assert 1 <= sum(dt > 0 for dt in steps) <= 31 * 0.1 / STILL_S + 1


def test_the_text_view_says_what_the_window_shows(make_session):
    """Every number of the gauges, every event and every part stands in the text."""
    session = make_session(30.0)
    for units in SYSTEMS:
        screen = Screen(session, ViewOptions(units_index=SYSTEMS.index(units)))
        said = whole_view(session, units)
        shown = [t for t in screen.draw(pygame.Surface((1920, 1080))).texts if t.role in ("number", "hero")]
        for text in shown[1:]:
            assert text.text in said, text.text
    for part in session.section.parts:
        assert part.name in said
    assert said.count("Bypass valve fully open") == 1


def test_the_text_view_says_what_is_open_beside(make_session, capsys):
    """The other filter's readings and the open question with its lines stand in the text as in the window."""
    session = make_session(30.0)
    session.rivals = {"regulator before the filter": lambda: make_session(30.0)}
    lines = (("a", "Stay shut."), ("b", "Open."))
    card = QuestionCard("p", "before", "What will the valve do?", "choice", lambda _: None, lines)
    screen = Screen(session, ViewOptions(), AnswerSheet([card]), predict=False)
    screen.rivalry.next()
    screen.rivalry.wait()
    screen.update(0.0)
    screen.ask(True)
    screen.say()
    said = capsys.readouterr().out
    readings = verdict(screen.rivalry.rival.snapshot, screen.desk.units)
    assert all(text in said for text in ("Beside it, regulator before the filter:", *readings))
    assert "Question: What will the valve do?\n  1: Stay shut.\n  2: Open.\n" in said


def test_arrows_go_along_the_chain_of_causes(make_screen, press):
    """As from part to part: right goes on, left goes back, and neither leaves the chain."""
    screen = make_screen(20.0)
    screen.handle(press(pygame.K_w, "w"))
    for _ in range(9):
        screen.handle(press(pygame.K_RIGHT))
    assert screen.desk.why == len(screen.links())
    screen.handle(press(pygame.K_LEFT))
    assert screen.desk.why == len(screen.links()) - 1
    for _ in range(9):
        screen.handle(press(pygame.K_LEFT))
    assert screen.desk.why == 1


def test_s_says_all_then_each_new_event(make_screen, press, capsys):
    """S tells the whole view once, then only what happens; S again is silent."""
    screen = make_screen(1.0)
    screen.handle(press(pygame.K_s, "s"))
    assert "Readings:" in capsys.readouterr().out
    screen.session.run_to(6.0)
    screen.update(0.01)
    said = capsys.readouterr().out.splitlines()
    assert [line.split(": ")[1].split(",")[0] for line in said] == [
        "Bypass valve cracks open",
        "Bypass valve fully open",
    ]
    screen.update(0.01)
    assert capsys.readouterr().out == ""
    screen.handle(press(pygame.K_s, "s"))
    screen.session.run_to(30.0)
    screen.update(0.01)
    assert capsys.readouterr().out == ""


def test_a_closed_output_is_no_trouble(make_session, monkeypatch):
    """Where nobody reads, the window goes on."""

    class Closed:
        def write(self, _):
            raise BrokenPipeError

        def flush(self):
            raise BrokenPipeError

    monkeypatch.setattr("sys.stdout", Closed())
    Voice().toggle(make_session(5.0), KPA)
    Voice().toggle(make_session(5.0), KPA)


def test_a_small_difference_is_enlarged_beside_high_pressure_only():
    """21 MPa hides 0.3 MPa: it is drawn 50 times as large and says so; an oil system is drawn as it is."""
    from glasscan.window.lesson.trace_log import TraceLog
    from glasscan.window.lesson.trace_plot import enlarged

    def log(inlet_pa, dp_pa):
        made = TraceLog()
        made.add(replace(standin.snapshot_at(5.0), inlet_pa=inlet_pa, dp_pa=dp_pa))
        return made

    assert enlarged([log(21.4e6, 290e3)], 24e6) == 50
    assert enlarged([log(21.4e6, 1e3)], 24e6) == 100
    assert enlarged([log(21.4e6, 9e6)], 24e6) == 1
    assert enlarged([log(400e3, 5e3)], 600e3) == 1
