"""Words of the valve come from its state and from all forces: along a cold start nothing contradicts."""

import pygame
import pytest
from glasscan.learning.scenario_loading import load_scenario
from glasscan.ui.display_units import SYSTEMS
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.valve_state import STATES, state_of, total_n
from glasscan.window.lesson.why import chain

SIZE = (1920, 1080)


@pytest.fixture(scope="module")
def run():
    """The cold start on the shipped can with air at -10 degC, and its moments until the valve has seated."""
    session = open_session(load_scenario("cold-start", ["air_c=-10"]), keys=False).session
    seen = []
    while session.snapshot.t_s < 400.0 and "bypass-seats" not in [e.word for e in session.events]:
        before = session.snapshot
        session._advance(0.05 if session.snapshot.t_s < 12 else 0.5)
        seen.append((before, session.snapshot))
    return session, seen


def test_the_state_is_what_the_lift_does(run):
    """Opening: the lift grows; closing: it falls; on the stop: it is the largest there is."""
    session, seen = run
    travel = session.facts.max_lift_m
    found = set()
    for _, s in seen:
        state = state_of(s, travel)
        found.add(state)
        assert state in STATES
        speed = s.readings["valve_speed_m_s"]
        if state in ("cracking", "opening"):
            assert speed > 0
        elif state == "closing":
            assert speed < 0
        elif state == "on the stop":
            assert s.lift_m == pytest.approx(travel, rel=0.03)
        elif state == "seated":
            assert s.lift_m < 2e-6
    assert {"seated", "held open by friction"} <= found


def test_no_stronger_oil_beside_a_negative_balance(run):
    """Where the oil is called the stronger it is; where friction holds, the spring is stronger without it."""
    session, seen = run
    for _, s in seen[::7]:
        links = chain(s, SYSTEMS[0], session.facts.marks)
        v = s.valve
        text = next(link.text for link in links if link.head.startswith("Lift"))
        if "stronger than spring and friction" in text or "has just overcome" in text:
            assert v.pressure_n + v.flow_n + v.spring_n + v.friction_n > -0.6
        if "Friction of the guide holds" in text:
            assert v.pressure_n + v.flow_n + v.spring_n < 0 < v.friction_n
        assert next(x.number for x in links if x.head == "Force balance") in (
            f"{total_n(s):.1f} N".replace("-", "−"), f"{abs(total_n(s)):.1f} N",
        )  # fmt: skip


def test_the_pump_is_told_in_why(run):
    """15 mL a revolution at 900 rpm could send 13.5 L/min (assets/plants); thick oil lets it draw less."""
    session, seen = run
    s = next(s for _, s in seen if s.readings["suction_starved"] > 0.1 and s.rpm > 899)
    link = next(x for x in chain(s, SYSTEMS[0], session.facts.marks) if x.head == "Pump")
    assert "13.5" in link.text
    assert "thick oil lets it draw" in link.text


def test_the_valve_opens_by_its_own_pressure(run):
    """As it leaves its seat, the pressure over itself is the spring's and the friction's over the bore."""
    session, seen = run
    marks = session.facts.marks
    first = next(s for before, s in seen if before.lift_m <= 2e-6 < s.lift_m)
    assert marks.own_drop_pa(first) == pytest.approx(marks.opens_pa, rel=0.1)
    assert marks.reseats_pa < marks.opens_pa


def test_each_link_lights_its_part(run, press):
    """W, link by link: the part it speaks of is framed, and its number stands large over the picture."""
    session, _ = run
    screen = Screen(session)
    screen.desk.circuit = "off"
    lit = []
    for _ in range(len(screen.links())):
        screen.handle(press(pygame.K_w, "w"))
        canvas = screen.draw(pygame.Surface(SIZE))
        lit.append(canvas.drawn["lit"])
        number = screen.links()[screen.desk.why - 1].number
        assert any(t.text == number and t.role in ("hero", "number") for t in canvas.texts)
    assert lit == ["", "pump", "base", "medium", "valve-poppet", "valve-poppet", "core"]


def test_the_lens_is_five_times_the_section(run, press):
    """V: the lift in the lens is five times that of the section, the forces are those of the moment."""
    session, seen = run
    session.snapshot = next(s for _, s in seen if s.lift_m > 2e-4)
    screen = Screen(session)
    screen.desk.circuit = "off"
    screen.handle(press(pygame.K_v, "v"))
    canvas = screen.draw(pygame.Surface(SIZE))
    s, cut = session.snapshot, screen.stage.cutaway(canvas, screen.layout(SIZE))
    assert canvas.drawn["lens_lift_px"] == pytest.approx(5 * s.lift_m * cut.view.px_m, abs=0.1)
    told = canvas.drawn["forces_n"]
    assert told["oil"] == pytest.approx(s.valve.pressure_n, abs=0.01)
    assert told["spring"] == pytest.approx(s.valve.spring_n, abs=0.01)
