"""The tour on the model's own run: every step comes, its words fit, and a key takes over."""

from __future__ import annotations

import pygame
import pytest
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.tour import STEPS, TourScreen

FRAME_S = 0.25


def test_every_step_comes_within_the_time_of_a_tour(make_session):
    """At the pace of a window; events are those of the run."""
    screen = Screen(make_session(0.0), ViewOptions())
    tour, seen, wall = TourScreen(screen), [], 0.0
    surface = pygame.Surface((1920, 1080))
    while tour.on and wall < 400:
        tour.update(FRAME_S)
        wall += FRAME_S
        if tour.text and tour.text not in seen:
            seen.append(tour.text)
            canvas = tour.draw(surface)
            assert [t for t in canvas.texts if t.text.replace("\n", " ") == tour.text and t.fits]
    assert seen == [step.text for step in STEPS]


@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080)])
def test_the_longest_words_fit(make_session, size):
    """At both sizes."""
    tour = TourScreen(Screen(make_session(0.0), ViewOptions()))
    tour.text = max((step.text for step in STEPS), key=len)
    canvas = tour.draw(pygame.Surface(size))
    assert next(t for t in canvas.texts if t.text.replace("\n", " ") == tour.text).fits


def test_a_key_takes_over(make_session):
    """The tour ends, the key does what it always does."""
    tour = TourScreen(Screen(make_session(0.0), ViewOptions()))
    tour.update(0.1)
    tour.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_SPACE, unicode=" ", mod=0))
    assert not tour.on
    assert tour.text == ""
    assert tour.screen.session.playing
