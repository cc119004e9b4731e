"""A class leans on the keyboard: any order of keys, clicks and time leaves a window that can be drawn."""

import random

import pygame
import pytest
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.questions.prompt_panel import AnswerSheet

from tests.window.test_screen import cards

CODES = [getattr(pygame, name) for name in dir(pygame) if name.startswith("K_")]
SIZES = [(1280, 720), (1600, 1200), (2560, 1080)]


def some_event(rng, size):
    """A random key press or mouse event."""
    at = (rng.randrange(size[0]), rng.randrange(size[1]))
    kind = rng.randrange(5)
    if kind == 0:
        return pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=at, button=rng.choice((1, 1, 1, 2, 3, 4)))
    if kind == 1:
        return pygame.event.Event(pygame.MOUSEMOTION, pos=at, buttons=(rng.randrange(2), 0, 0), rel=(0, 0))
    if kind == 2:
        return pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1)
    code = rng.choice(CODES)
    text = rng.choice("abcdefghijklmnopqrstuvwxyz0123456789 []+-.,?\x00é→")
    return pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=rng.choice((0, pygame.KMOD_SHIFT)))


@pytest.mark.parametrize("seed", range(4))
def test_no_order_of_events_breaks_the_window(make_session, seed):
    """250 random events with frames between: no exception, time within the run, all values allowed."""
    rng = random.Random(seed)
    size = SIZES[seed % len(SIZES)]
    session = make_session(rng.choice((0.0, 30.0, 899.0)))
    screen = Screen(session, None, AnswerSheet(cards()) if seed % 2 else None)
    surface = pygame.Surface(size)
    for i in range(250):
        if not (screen.quit or i % 10):
            screen.update(1 / 60)
            screen.draw(surface, 1 / 60)
        screen.handle(some_event(rng, size))
        assert 0.0 <= session.snapshot.t_s <= session.facts.end_s + 1e-6
    low, high = session.facts.air_c
    assert low - 1 <= session.engine.controls.get("air_c", 0.0) <= high + 1
    assert 0 <= session.engine.controls.get("rpm", 0) <= session.facts.rpm_max
