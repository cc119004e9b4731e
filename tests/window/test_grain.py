"""The grain of the oil goes where the solved flow goes, as fast, and stands where the oil stands.

What is measured is the picture: frames with and without the grain are taken from each other, and the shift
between two moments is found by cross-correlation (scipy.signal), as in particle image velocimetry (Raffel and
others, Particle Image Velocimetry, 2007; from memory).
"""

from __future__ import annotations

import numpy as np
import pygame
import pytest
from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen
from scipy.signal import correlate

SIZE = (1920, 1080)
DRAWN_S = 0.05
HALF_W, HALF_H = 14, 40  # box on the axis, px


def _screen(at_s: float) -> Screen:
    session = open_session(load_scenario("cold-start", []), keys=False).session
    screen = Screen(session, predict=False)
    screen.desk.names = False
    screen.draw(pygame.Surface(SIZE))
    session.playing = at_s > 0
    while session.snapshot.t_s < at_s:
        screen.update(0.1)
    for _ in range(30):
        screen.draw(pygame.Surface(SIZE), DRAWN_S)
    return screen


def _grain(screen: Screen, drawn_s: float) -> np.ndarray:
    """(w, h) grey levels that the grain adds to a frame of the window."""
    pictures = []
    for still, step_s in ((False, drawn_s), (True, 0.0)):
        screen.desk.still = still
        surface = pygame.Surface(SIZE)
        screen.draw(surface, step_s)
        pictures.append(pygame.surfarray.array3d(surface).astype(float).mean(axis=2))
    screen.desk.still = False
    return np.asarray(pictures[0] - pictures[1])


def _box(screen: Screen, z_m: float) -> tuple[slice, slice]:
    view = screen.stage.cutaway(screen.canvas, screen.layout(SIZE)).view
    x, y = round(view.axis_x), round(view.zero_y - z_m * view.px_m)
    return slice(x - HALF_W, x + HALF_W), slice(y - HALF_H, y + HALF_H)


def _shift_px(before: np.ndarray, after: np.ndarray) -> float:
    """Shift down between two boxes, px, to parts of a pixel (parabola through the peak)."""
    both = correlate(after - after.mean(), before - before.mean(), mode="same")
    line = both[both.shape[0] // 2 - 1 : both.shape[0] // 2 + 2].sum(axis=0)
    k = int(np.argmax(line))
    a, b, c = line[k - 1], line[k], line[k + 1]
    return k - line.size // 2 + 0.5 * (a - c) / (a - 2 * b + c)


def test_the_grain_goes_with_the_oil() -> None:
    """In the centre tube the picture moves by the solved velocity, slowed as the lesson says."""
    screen = _screen(20.0)
    z_m = 0.4 * float(screen.stage.section.z_edges_m[-1])
    shifts = []
    for _ in range(6):
        before, after = _grain(screen, DRAWN_S), _grain(screen, DRAWN_S)
        box = _box(screen, z_m)
        shifts.append(_shift_px(before[box], after[box]))
    section = screen.stage.section
    frame = section.frame(screen.session.snapshot)
    row = int(np.searchsorted(section.z_edges_m, z_m)) - 1
    view = screen.stage.cutaway(screen.canvas, screen.layout(SIZE)).view
    inside = np.asarray(section.r_edges_m)[1:] * view.px_m < HALF_W
    down = -float(np.asarray(frame.u_z_m_s)[row][inside].mean()) * screen.stage.rate * view.px_m * DRAWN_S
    assert down > 1.0
    assert np.median(shifts) == pytest.approx(down, rel=0.2)


def test_no_grain_where_air_stands() -> None:
    """Before the start the centre tube holds air, and the dirty side oil: grain there, none here."""
    screen = _screen(0.0)
    grain = _grain(screen, 0.0)
    box = _box(screen, 0.4 * float(screen.stage.section.z_edges_m[-1]))
    assert np.abs(grain[box]).max() == 0.0
    assert np.abs(grain).max() > 5.0


def test_the_grain_stands_with_the_oil() -> None:
    """Frozen, the picture stays."""
    screen = _screen(20.0)
    screen.session.playing = False
    assert np.array_equal(_grain(screen, DRAWN_S), _grain(screen, DRAWN_S))
