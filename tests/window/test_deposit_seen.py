"""Dirt on the element is seen: darker and thicker in the section, in the closer look and on the bench."""

from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.filters.section import CLEAN
from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.cutaway.deposit import loads_g_m2
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

SIZE = (1920, 1080)


@pytest.fixture(scope="module")
def clogging():
    """The shipped lesson of a clogging element."""
    return open_session(load_scenario("element-clogs", []), keys=False).session


def loaded(session, grams):
    """The lesson's window with so much dirt on the element, evenly over its segments."""
    s = session.snapshot
    k = len(s.deposit_kg)
    session.snapshot = replace(s, deposit_kg=np.full(k, 1e-3 * grams / k))
    return Screen(session)


def element_grey(session, screen, canvas):
    """Mean lightness of the outer half of the pleats, 0..255."""
    cut = screen.stage.cutaway(canvas, screen.layout(SIZE))
    r = 0.9 * session.section.layout.r_dirty
    z = np.mean(session.section.layout.bands)
    x, y = cut.view.points(np.array([[r, z]]))[0]
    box = pygame.Rect(0, 0, 12, 120)
    box.center = round(x), round(y)
    return float(pygame.surfarray.array3d(canvas.surface)[box.x : box.right, box.y : box.bottom].mean())


def test_the_load_drawn_is_mass_over_area(clogging):
    """15 g on 50 pleats x 2 panels x 16 mm x 84 mm = 0.1344 m2 (assets/filters): 112 g/m2."""
    canvas = loaded(clogging, 15.0).draw(pygame.Surface(SIZE))
    assert canvas.drawn["deposit_g_m2"] == pytest.approx([15.0 / 0.1344] * 12, rel=0.03)


def test_a_clogged_element_is_darker_than_a_new_one(clogging):
    """By half and more, outside more than inside, and the key says what it stands for."""
    new = loaded(clogging, 0.0)
    clean = element_grey(clogging, new, new.draw(pygame.Surface(SIZE)))
    old = loaded(clogging, 14.0)
    canvas = old.draw(pygame.Surface(SIZE))
    assert element_grey(clogging, old, canvas) < 0.6 * clean
    assert any("g/m²" in t.text and "thicker" in t.text.replace("\n", " ") for t in canvas.texts)


def test_dirt_held_is_a_colour_of_its_own(clogging, press):
    """O goes on to it: the media by the ramp of the load, read off its colours, under a scale in g/m2."""
    screen = loaded(clogging, 8.0)
    while screen.desk.colours != "held":
        screen.handle(press(pygame.K_o, "o"))
    canvas = screen.draw(pygame.Surface(SIZE))
    assert canvas.drawn["deposit_g_m2"] == pytest.approx([8.0 / 0.1344] * 12, abs=1.0)
    assert any("dirt held" in t.text.replace("\n", " ") for t in canvas.texts)


def test_the_unfiltered_share_is_carried_by_the_flow():
    """White at the wall, orange in the middle: the share is high under the valve, low along the media.

    At the outlet the flux-weighted mean is the valve's share of the flow (conservation).
    """
    session = open_session(load_scenario("cold-start", []), keys=False).session
    session.run_to(40.0)
    screen = Screen(session)
    frame = session.section.frame(session.snapshot)
    share = screen.stage.share.look(frame, 2000)
    region, grid = np.asarray(frame.region), session.section.grid
    low = int(np.flatnonzero((region == CLEAN).any(axis=1))[2])
    inside = region[low] == CLEAN
    flux = -np.asarray(frame.u_z_m_s)[low] * np.diff(grid.x**2) * inside
    s = session.snapshot
    wanted = s.bypass_m3s / (s.bypass_m3s + s.element_m3s)
    assert (flux * share[low]).sum() / flux.sum() == pytest.approx(wanted, abs=0.05)
    middle = len(region) // 2
    across = share[middle][region[middle] == CLEAN]
    assert across[0] > 0.9
    assert across[-1] < 0.2


def test_loads_of_a_made_up_section_are_nothing(make_session):
    """Where no areas are known nothing is drawn."""
    session = make_session(5.0)
    assert len(loads_g_m2(session.section, session.snapshot)) == 0
