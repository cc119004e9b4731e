"""The circuit of the oil: ribbons as wide as the flow, the regulator where it sits, the starved pump told."""

import pygame
import pytest
from glasscan.learning.scenario_loading import load_scenario
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import SYSTEMS
from glasscan.ui.theme import load_theme
from glasscan.window.circuit.circuit_flows import flows_of, scale_m3s
from glasscan.window.circuit.circuit_layout import places
from glasscan.window.circuit.circuit_of_session import rig_numbers
from glasscan.window.circuit.circuit_view import draw_circuit
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

BOX = pygame.Rect(20, 20, 1230, 300)
LPM = 6e4


@pytest.fixture(scope="module")
def cold():
    """The shipped cold start at 40 s: the pump starved, the valve open."""
    session = open_session(load_scenario("cold-start", []), keys=False).session
    session.run_to(40.0)
    return session


def picture(session, box=BOX):
    """The circuit of a session's moment."""
    canvas = Canvas(pygame.Surface((1280, 720)), load_theme("dark"))
    canvas.surface.fill((0, 0, 0))
    draw_circuit(canvas, box, session.snapshot, SYSTEMS[0], rig_numbers(session))
    return canvas


def by_ends(canvas):
    """L/min of the ribbons by their two ends, added where several have the same."""
    found = {}
    for told in canvas.drawn["ribbons"]:
        key = told["from"], told["to"]
        found[key] = found.get(key, 0.0) + told["lpm"]
    return found


def test_what_flows_in_flows_out(cold):
    """At the filter and at the regulator's branch the ribbons add up: oil is next to incompressible."""
    told = by_ends(picture(cold))
    through = told["filter inlet", "element"] + told["filter inlet", "bypass valve"]
    assert told["pump", "filter"] == pytest.approx(through, rel=1e-3)
    spill = told["regulator", "sump"]
    assert told["gallery", "bearings"] + spill == pytest.approx(through, rel=2e-3)


def test_a_ribbon_is_as_wide_as_its_flow(cold):
    """Counted in pixels across the suction pipe: the width over the pipe's is the flow over the scale's."""
    canvas = picture(cold)
    at = places(canvas, BOX.inflate(-canvas.dp(28), -canvas.dp(16)))
    x = round(at.x("sump"))
    y = round((at.main_y + at.sump.y) / 2) + 3
    colour = load_theme("dark")["dirty"]
    row = [canvas.surface.get_at((x + dx, y))[:3] == colour for dx in range(-at.pipe, at.pipe)]
    full = scale_m3s(cold.snapshot, rig_numbers(cold))
    wanted = at.pipe * flows_of(cold.snapshot).m3s("suction") / full
    assert sum(row) == pytest.approx(wanted, abs=3.0)


def test_the_starved_pump_is_told(cold):
    """Half empty in the picture, and said in words with both numbers."""
    canvas = picture(cold)
    s = cold.snapshot
    assert canvas.drawn["pump_fill"] == pytest.approx(1.0 - s.readings["suction_starved"], abs=0.03)
    words = next(t.text for t in canvas.texts if "lets it draw" in t.text)
    assert "13.5" in words  # 15 mL/rev at 900 rpm: the displacement of assets/plants/piston-single.yaml


def test_the_regulator_moves_with_its_key(cold, press):
    """R puts it on the other side of the filter, in the picture too."""
    cold.rewind(40.0)
    screen = Screen(cold)
    assert screen.desk.circuit == "strip"  # a cold start shows the circuit first
    first = screen.draw(pygame.Surface((1280, 720)))
    assert first.drawn["regulator"]["place"] == "after"
    screen.handle(press(pygame.K_r, "r"))
    moved = screen.draw(pygame.Surface((1280, 720)))
    assert moved.drawn["regulator"]["place"] == "before"
    screen.handle(press(pygame.K_r, "r"))


def test_one_key_away(make_screen, press):
    """J: a strip, the whole, nothing."""
    screen = make_screen(5.0)
    assert "ribbons" not in screen.draw(pygame.Surface((1280, 720))).drawn
    for _ in range(2):
        screen.handle(press(pygame.K_j, "j"))
        assert screen.draw(pygame.Surface((1280, 720))).drawn["ribbons"]
    screen.handle(press(pygame.K_j, "j"))
    assert "ribbons" not in screen.draw(pygame.Surface((1280, 720))).drawn


def test_the_scale_of_a_lesson_is_one(cold):
    """The flow that fills a pipe does not change along a run, so ribbons can be compared by eye."""
    rig = rig_numbers(cold)
    scales = set()
    for at_s in (0.0, 6.0, 20.0):
        cold.rewind(at_s)
        scales.add(round(scale_m3s(cold.snapshot, rig) * LPM, 6))
    assert len(scales) == 1
