"""Before the start and starting again: a rig at rest, air that soaks, the card, and scales that say so."""

from __future__ import annotations

import pygame
import pytest
from glasscan.learning.scenario_loading import load_scenario
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

SIZE = (1920, 1080)


def opened(name):
    """A lesson at its start, and its screen."""
    session = open_session(load_scenario(name), keys=False).session
    session.wall = lambda: 0.0
    screen = Screen(session, ViewOptions(), predict=False)
    screen.surface = pygame.Surface(SIZE)
    screen.draw(screen.surface)
    return screen


def press_button(screen, name):
    """The button of that name, by the keyboard."""
    screen.layout(SIZE)
    screen.form.focus_on(name)
    screen.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_RETURN, unicode="\r", mod=0))


@pytest.mark.parametrize("name", ["cold-start", "warm-start", "scraper-day"])
def test_before_the_start_nothing_pushes_and_nothing_flows(name):
    """At rest the forces on the valve sum to nought (Newton), and no gauge shows a flow."""
    screen = opened(name)
    forces = screen.session.snapshot.valve
    total = forces.pressure_n + forces.spring_n + forces.flow_n + forces.friction_n + forces.seat_n
    assert abs(total) < 0.005
    texts = [t.text for t in screen.draw(screen.surface).texts]
    assert texts.count("0.0") >= 2
    assert not any(t.startswith(("-0", "−0")) for t in texts)


def test_air_set_before_the_start_soaks_the_oil():
    """The first question of any class: and at minus twenty? Later it is the air round the engine only."""
    screen = opened("cold-start")
    screen.session.change("air_c", -20.0)
    assert screen.session.snapshot.sump_c == pytest.approx(-20.0)
    assert screen.session.snapshot.filter_c == pytest.approx(-20.0)
    screen.session.run_to(5.0)
    screen.session.change("air_c", 10.0)
    assert screen.session.snapshot.sump_c < -19.0
    assert screen.session.snapshot.air_c == 10.0


def test_the_card_starts_another_morning():
    """By its own controls: warmer, with less oil, a loaded element; the run before stays as the last run."""
    screen = opened("cold-start")
    screen.session.run_to(6.0)
    screen.desk.drawer, screen.desk.page = True, "start again"
    screen.session.wanted = screen.session.wanted.__class__(air_c=15.0, level=0.8, dirt_kg=0.005)
    press_button(screen, "start-again")
    session = screen.session
    assert session.snapshot.t_s == 0.0
    assert session.snapshot.sump_c == pytest.approx(15.0)
    assert float(session.snapshot.deposit_kg.sum()) == pytest.approx(0.005)
    assert session.engine.rig.setup.plant.sump.volume_l == pytest.approx(0.8 * load_rig_volume(), rel=1e-6)
    assert session.ghost is not None
    session.run_to(1.0)
    assert session.started.words == "soaked at 15 °C, oil at 80 %, 5 g of dirt"


def load_rig_volume():
    """Oil of the sound sump, L, from the rig's data file."""
    from glasscan.learning.catalogue import load_plant

    return load_plant(load_scenario("cold-start").plant.rig).sump.volume_l


def test_a_scale_that_grows_says_so():
    """The colours keep one span for a lesson; a difference beyond it makes them reach further, in words."""
    screen = opened("cold-start")
    screen.session.peak_dp_pa = 1.3e5
    screen.draw(screen.surface)
    assert "colours" not in screen.taker.notice
    screen.session.peak_dp_pa = 3.0e5
    screen.draw(screen.surface)
    assert "The colours now reach" in screen.taker.notice


def test_the_key_of_colours_stays_beside_the_controls():
    """O changes what the colours mean: the key has to be there while the controls are open."""
    screen = opened("cold-start")
    screen.desk.drawer = True
    words = {t.text for t in screen.draw(screen.surface).texts}
    assert {"dirty", "filtered", "unfiltered"} <= words
