"""A still window waits for events; panels that tell nothing new are not drawn anew, and look the same."""

import time

import numpy as np
import pygame
from glasscan.window.app import AWAKE_FRAMES, REST_MS, RestingLoop


def test_a_still_screen_is_looked_at_a_few_times_a_second(make_screen):
    """Without events the loop sleeps; with one it is awake at once, and for some frames after."""
    screen = make_screen(5.0)
    assert screen.at_rest
    pygame.event.clear()
    rest = RestingLoop()
    for _ in range(AWAKE_FRAMES):
        assert rest.wait(True) == []
    start = time.perf_counter()
    rest.wait(True)
    assert time.perf_counter() - start > 0.8e-3 * REST_MS
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_v, unicode="v", mod=0))
    start = time.perf_counter()
    found = rest.wait(True)
    assert [event.key for event in found] == [pygame.K_v]
    assert time.perf_counter() - start < 0.5e-3 * REST_MS


def test_a_running_lesson_is_never_at_rest(make_screen):
    """While it plays every frame is drawn; once it is over the loop may rest."""
    screen = make_screen(899.5)
    screen.session.toggle()
    assert not screen.at_rest
    for _ in range(60):
        screen.update(0.1)
    assert screen.session.finished
    assert screen.at_rest


def test_kept_panels_look_as_if_drawn_anew(make_screen, press):
    """The second frame, from kept panels, is the first to the pixel; new numbers are seen."""
    screen, surface, other = make_screen(20.0), pygame.Surface((1280, 720)), pygame.Surface((1280, 720))
    first = [t.text for t in screen.draw(surface).texts]
    second = [t.text for t in screen.draw(other).texts]
    assert first == second
    assert np.array_equal(pygame.surfarray.array3d(surface), pygame.surfarray.array3d(other))
    screen.session.run_to(60.0)
    assert [t.text for t in screen.draw(other).texts] != first
    screen.handle(press(pygame.K_u, "u"))
    assert any("psi" in t.text for t in screen.draw(other).texts)
