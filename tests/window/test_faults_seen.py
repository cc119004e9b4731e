"""Every fault has a picture where it may be seen, and none while a question on it is open."""

from pathlib import Path

import numpy as np
import pygame
import pytest
from glasscan.faults.fault_data import faults
from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.faults.circuit_glyphs import CIRCUIT_GLYPHS
from glasscan.window.faults.fault_pictures import ShownFault, fault_pictures
from glasscan.window.faults.section_glyphs import GLYPHS
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.questions.prompt_panel import AnswerSheet

from tests.window.test_screen import cards

SIZE = (1280, 720)
LESSON = {"can": "cold-start", "cartridge": "cartridge-cold-start", "disc": "turn-the-handle"}
README = Path(__file__).parents[2] / "sim/glasscan/window/README.md"


@pytest.fixture(scope="module", params=LESSON)
def rig(request):
    """A lesson on each kind of filter, at 20 s, and its picture without a fault."""
    session = open_session(load_scenario(LESSON[request.param], []), keys=False).session
    session.run_to(20.0)
    return request.param, session, picture(session, ())


def picture(session, shown):
    """Canvas and pixels of a demonstration with some faults, circuit and section in view."""
    session.own_faults = shown
    screen = Screen(session, predict=False)
    screen.desk.circuit = "strip"
    surface = pygame.Surface(SIZE)
    return screen.draw(surface), pygame.surfarray.array3d(surface)


def test_every_fault_has_a_picture_and_a_glyph():
    """As many lines as there are faults; each names a way of drawing that exists."""
    assert set(fault_pictures()) == set(faults())
    for code, shown in fault_pictures().items():
        known = GLYPHS if shown.view == "section" else CIRCUIT_GLYPHS
        assert shown.draw in known, code
    drawn = [p.draw for p in fault_pictures().values()]
    assert len(set(drawn)) == len(drawn)


def test_each_fault_is_seen_where_it_is(rig):
    """With the fault the drawn facts tell it, pixels differ and its words stand there; without, nothing."""
    kind, session, (bare, pixels) = rig
    assert "faults" not in bare.drawn
    for code, fault in faults().items():
        if kind not in fault.filters:
            continue
        canvas, seen = picture(session, (ShownFault(code, 1.0),))
        told = canvas.drawn["faults"]
        assert [one["fault"] for one in told] == [code]
        assert min(told[0]["px"]) >= 2, code
        assert int((np.abs(seen.astype(int) - pixels).sum(axis=2) > 60).sum()) > 60, code
        words = fault_pictures()[code].words
        assert any(t.text.replace("\n", " ") == words for t in canvas.texts), code
        assert all(t.fits for t in canvas.texts if t.essential), code


def test_a_graver_tear_is_a_wider_hole():
    """Read off the picture: the hole drawn has the area of the fault's data (15 mm2 at the gravest)."""
    session = open_session(load_scenario("cold-start", []), keys=False).session
    wide = faults()["F08"].changes[0].at(1.0)
    session.own_faults = (ShownFault("F08", 1.0),)
    screen = Screen(session, predict=False)
    screen.desk.circuit = "off"
    hole = screen.draw(pygame.Surface((1920, 1080))).drawn["hole"]
    assert hole["at"] == "middle"
    assert hole["area_mm2"] == pytest.approx(wide, rel=0.15)


def test_nothing_is_seen_while_a_question_is_open():
    """Practising, the picture keeps the secret until every question has its mark."""
    session = open_session(load_scenario("pleats-give-way", []), keys=False).session
    session.own_faults = (ShownFault("F08", 1.0),)
    asking = Screen(session, prompts=AnswerSheet(cards()), predict=True)
    asking.desk.prompt = False
    assert "faults" not in asking.draw(pygame.Surface(SIZE)).drawn
    showing = Screen(session, prompts=AnswerSheet(cards()), predict=False)
    assert showing.draw(pygame.Surface(SIZE)).drawn["faults"]


def test_the_fault_beside_is_drawn_beside():
    """B with a fault: it is drawn in the right half; a fault of the circuit brings the circuit along."""
    session = open_session(load_scenario("cold-start", []), keys=False).session
    screen = Screen(session, predict=False)
    for title, code in ((faults()["F08"].title, "F08"), (faults()["F20"].title, "F20")):
        screen.rivalry.choose_fault(title)
        screen.rivalry.wait()
        canvas = screen.draw(pygame.Surface((1920, 1080)))
        assert [one["fault"] for one in canvas.drawn["faults"]] == [code]


def test_the_table_of_the_room_is_the_file():
    """The page of the room lists every fault with its view and its words."""
    text = README.read_text(encoding="utf-8")
    for code, shown in fault_pictures().items():
        assert f"| {code} | {shown.view} | {shown.words} |" in text, code
