"""True motion: one slow-motion factor, marks that go with the flow, streams that do not sputter, dye."""

import numpy as np
import pygame
import pytest
from glasscan.filters.carriers import UNFILTERED_OIL
from glasscan.filters.section import THROAT
from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

FRAME_S = 1 / 60
SIZE = (1280, 720)


@pytest.fixture
def cold():
    """The shipped cold start with air at -18 degC, at 40 s in a window: the pump is starved by thick oil."""
    session = open_session(load_scenario("cold-start", ["air_c=-18"]), keys=False).session
    session.run_to(40.0)
    screen = Screen(session)
    screen.draw(pygame.Surface(SIZE))
    return screen


def shift_px(screen, seconds=0.2):
    """Median way of the marks per second of screen time, m, through the window's own frames."""
    session, surface = screen.session, pygame.Surface(SIZE)
    session.playing = True
    before, alive = session.carriers.positions_m.copy(), session.carriers.alive.copy()
    ages = session.carriers.age_s.copy()
    for _ in range(round(seconds / FRAME_S)):
        screen.draw(surface, FRAME_S)
    session.playing = False
    stayed = alive & (session.carriers.age_s > ages)
    way = np.hypot(*(session.carriers.positions_m - before)[stayed].T)
    return float(np.median(way)) / seconds


def test_twice_the_flow_is_twice_the_motion(cold):
    """The oil of creeping flow goes as fast as the flow is large: the same field, scaled."""
    session = cold.session
    one = session.snapshot
    slow = shift_px(cold)
    told = cold.draw(pygame.Surface(SIZE)).drawn["slow_motion"]
    session.run_to(140.0)
    two = session.snapshot
    fast = shift_px(cold)
    grown = (two.element_m3s + two.bypass_m3s) / (one.element_m3s + one.bypass_m3s)
    assert grown > 1.5
    assert fast / slow == pytest.approx(grown, rel=0.2)
    assert cold.draw(pygame.Surface(SIZE)).drawn["slow_motion"] == told


def test_the_factor_stands_beside_the_clock(cold):
    """It is said in words, and holds for the other filter beside it too."""
    canvas = cold.draw(pygame.Surface(SIZE))
    rate = canvas.drawn["slow_motion"]
    words = f"flow shown at 1/{round(1 / rate)}"
    top = [t for t in canvas.texts if t.text == words and t.box.y < 80]
    assert top


def test_a_constant_stream_does_not_sputter(cold):
    """Unfiltered marks in and just below the open throat over four seconds: near their mean all the time.

    Marks that entered at random gave counts from nought to three times the mean.
    """
    session, surface = cold.session, pygame.Surface(SIZE)
    frame = session.section.frame(session.snapshot)
    region = np.asarray(frame.region).T
    seat = np.argwhere(region == THROAT)
    low_z = session.section.grid.y[seat[:, 1].min()] - 0.02
    for _ in range(1500):
        session.carriers.step(frame, 0.003)
    counts = []
    session.playing = True
    for i in range(240):
        cold.draw(surface, FRAME_S)
        if i % 15 == 0:
            at, marks = session.carriers.positions_m, session.carriers
            counts.append(int(np.sum((at[:, 1] > low_z) & (marks.kind == UNFILTERED_OIL) & marks.alive)))
    mean = np.mean(counts)
    assert mean > 15
    assert np.std(counts) / mean < 0.25, counts


def test_dye_parts_as_the_flow_parts(cold, press):
    """Of a line of dye the valve takes the share of the flow that it takes (the line is even in flux)."""
    session = cold.session
    cold.handle(press(pygame.K_y, "y"))
    assert cold.draw(pygame.Surface(SIZE)).drawn["dye"]["points"] == 800
    frame = session.section.frame(session.snapshot)
    for _ in range(1500):
        session.dye.step(frame, 0.01)
    told = cold.draw(pygame.Surface(SIZE)).drawn["dye"]
    s = session.snapshot
    wanted = s.bypass_m3s / (s.element_m3s + s.bypass_m3s)
    assert told["through"] + told["past"] > 600
    assert told["past"] / (told["through"] + told["past"]) == pytest.approx(wanted, abs=0.05)


def test_port_arrows_widen_with_the_flow(cold):
    """More oil, broader arrows."""
    narrow = cold.draw(pygame.Surface(SIZE)).drawn["port_arrow_px"]
    cold.session.run_to(140.0)
    assert cold.draw(pygame.Surface(SIZE)).drawn["port_arrow_px"] > narrow
