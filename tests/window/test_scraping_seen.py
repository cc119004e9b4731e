"""Turning the handle, through the window: keys, pointer, frame; what is checked was noted as it was drawn."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pygame
import pytest
from glasscan.learning.scenario_loading import load_scenario
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

SIZE = (1280, 720)
FRAME_S = 0.05


@pytest.fixture(scope="module")
def kept():
    """A warm stacked-disc filter full of carbon just before its timeline turns the handle at 40 s."""
    pygame.display.init()
    pygame.font.init()
    opened = open_session(load_scenario("turn-the-handle"), keys=False)
    opened.session.jump_to(30.0)
    return opened.session


@pytest.fixture
def screen(kept):
    """The lesson at 30 s, running, with nothing over the section."""
    kept.rewind(29.0)
    kept.change("air_c", 20.0)  # as it is: but what an earlier test did after this moment is forgotten
    kept.run_to(30.0)
    kept.wall = lambda: 0.0
    screen = Screen(kept, ViewOptions(), predict=False)
    screen.surface = pygame.Surface(SIZE)
    screen.draw(screen.surface)
    if not kept.playing:
        kept.toggle()
    return screen


def let_pass(screen, seconds):
    """Frames of the window for some seconds; the facts of the last one."""
    for _ in range(round(seconds / FRAME_S)):
        screen.update(FRAME_S)
    return screen.draw(screen.surface).drawn


def press(screen, code, text):
    """A key goes down."""
    screen.handle(pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=0))


def test_a_key_turns_the_handle_and_the_cake_comes_down(screen):
    """One press: a full turn in some seconds, discs with it, cake off, flakes, then a heap of it."""
    before = let_pass(screen, 0.1)
    press(screen, pygame.K_q, "q")
    half = let_pass(screen, 1.5)
    flakes = screen.session.flakes
    after = let_pass(screen, 8.0)
    assert (before["handle_deg"], before["combed_mg"], before["heap_mm3"]) == (0.0, 0.0, 0.0)
    assert 120 < half["handle_deg"] < 240
    assert half["disc_deg"] == half["handle_deg"]
    assert 0.3 < half["combed_mg"] / after["combed_mg"] < 0.7
    assert len(flakes.outlines) > 5
    assert after["handle_deg"] == 360.0
    assert after["heap_mm3"] > 1000.0


def test_the_heap_is_the_sludge_of_the_books(screen):
    """Once the flakes are down, the drawn heap has the volume of the settled sludge.

    530 kg of solids in a cubic metre of it: 20 % by volume (no source), quartz 2650 kg/m3 (handbook value).
    """
    press(screen, pygame.K_q, "q")
    facts = let_pass(screen, 9.9)  # up to 40 s, when the lesson's own turn begins
    rig = screen.session.engine.rig
    falling = screen.session.flakes.falling_kg
    sludge_kg = float(rig.state.dirt.sludge.sum())
    assert facts["heap_mm3"] == pytest.approx((sludge_kg - falling) / 530.0 * 1e9, rel=0.02)
    combed = (rig.start_dirt.held - rig.state.dirt.held).sum()
    assert facts["combed_mg"] == pytest.approx(1e6 * rig.state.handle.combed_kg, abs=0.1)
    assert rig.state.handle.combed_kg > 0.9 * combed


def test_going_back_puts_angle_cake_and_heap_back(screen):
    """Home-ward and forward again: the same picture facts to the last digit."""
    press(screen, pygame.K_q, "q")
    let_pass(screen, 2.0)
    then, at_s = screen.draw(screen.surface).drawn, screen.session.snapshot.t_s
    flakes = screen.session.flakes
    let_pass(screen, 4.0)
    screen.session.rewind(at_s)
    assert screen.draw(screen.surface).drawn == then
    assert np.array_equal(screen.session.flakes.outlines, flakes.outlines)
    screen.session.rewind(29.9)
    assert screen.draw(screen.surface).drawn["handle_deg"] == 0.0


def drag(screen, shares):
    """The left button down on the grip, moved to shares of the arm, and let go; frames pass in between."""
    scraper = screen.stage.cutaway(screen.canvas, screen.layout(SIZE)).scraper
    reach = scraper.shapes.arm * scraper.view.px_m
    y = scraper.grip_rect(0).centery
    at = lambda share: (round(scraper.view.axis_x + share * reach), y)  # noqa: E731
    screen.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=at(shares[0])))
    for share in shares:
        screen.handle(pygame.event.Event(pygame.MOUSEMOTION, pos=at(share), rel=(0, 0), buttons=(1, 0, 0)))
        let_pass(screen, 0.3)
    screen.handle(pygame.event.Event(pygame.MOUSEBUTTONUP, button=1, pos=at(shares[-1])))


def test_the_grip_follows_the_pointer_forwards_only(screen):
    """From right to left is half a turn, to the right again a whole one; a step back waits."""
    drag(screen, [1.0, 0.5, 0.0, -0.5, -0.99, -0.5, 0.0, 0.5, 0.99])
    once = let_pass(screen, 1.0)["handle_deg"]
    drag(screen, [0.99, 0.5, 0.8, 0.6, 0.0, -0.5, -1.0, -0.5, 0.0, 0.5, 1.0])
    assert once == pytest.approx(352.0, abs=3.0)
    # a pixel short of the end of the throw is acos(1 - 1/n) of a grip n pixels long: 6 to 8 degrees
    assert let_pass(screen, 1.0)["handle_deg"] == pytest.approx(720.0, abs=8.0)
    assert [e.word for e in screen.session.events].count("scraper-turned") == 2


def test_a_click_on_the_handle_still_puts_it_into_the_light(screen):
    """Pressed and let go in one place: no turn, but the spotlight of a click on a part."""
    drag(screen, [0.6])
    assert screen.spot.key == "handle"
    assert screen.draw(screen.surface).drawn["handle_deg"] == 0.0


def test_the_closer_look_turns_with_the_rig(screen):
    """Along the axis: the disc stands at the rig's angle, and the mass that is off is the rig's."""
    press(screen, pygame.K_z, "z")
    press(screen, pygame.K_q, "q")
    let_pass(screen, 1.5)
    screen.closer.wait()
    screen.update(0.0)
    screen.closer.wait()
    facts = screen.draw(screen.surface).drawn
    told = screen.session.snapshot.readings
    assert facts["disc_deg"] == pytest.approx(np.degrees(told["disc_rad"]), abs=0.2)
    assert facts["combed_mg"] == pytest.approx(1e6 * told["combed_kg"], rel=0.02)
    texts = " ".join(t.text for t in screen.canvas.texts)
    assert "resists with" in texts


def test_without_a_scraper_the_key_says_so():
    """A pleated filter has no handle."""
    told = SimpleNamespace(session=SimpleNamespace(has_scraper=False), taker=SimpleNamespace(notice=""))
    Screen.turn_handle(told)
    assert "no handle" in told.taker.notice
