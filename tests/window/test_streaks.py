"""Oil in motion: patterns that survive without colour, direction, a pace the eye can follow."""

import numpy as np
import pygame
import pytest
from glasscan.ui.theme import load_theme
from glasscan.window.contract import KINDS
from glasscan.window.cutaway.cutaway import Cutaway, PressureScale
from glasscan.window.cutaway.section_view import View, fit
from glasscan.window.cutaway.streaks import (
    DIRECTIONS,
    EXPOSURE_S,
    LENGTHS_DP,
    PACE_DP_S,
    RATES,
    StreakPainter,
    _sprite,
    picked,
    rate_for,
)

from tests.window import standin

VIEW = View(200.0, 400.0, 3000.0, pygame.Rect(0, 0, 400, 400))
THEME = load_theme("dark")


def pieces(kind, length=27.0):
    """Number of separate marks along a sprite's middle row: 1 for a solid streak, more for dashes."""
    sprite, _ = _sprite(THEME.streaks[kind], length, 1.0, 0.0)
    alpha = pygame.surfarray.array_alpha(sprite)
    solid = np.append(False, alpha[:, sprite.get_height() // 2] > 100)
    return int(np.sum(np.diff(solid.astype(int)) == 1)), int(solid.sum())


def test_filtered_is_solid_and_unfiltered_is_dashed():
    """Told apart by pattern alone (WCAG 1.4.1): one long streak, several dashes, a row of beads."""
    solid, dashed, dot = pieces("filtered"), pieces("unfiltered"), pieces("dirty", 4.0)
    assert solid[0] == 1
    assert solid[1] > 20
    assert dashed[0] >= 2
    assert dot[0] == 1
    assert dot[1] < 14


def test_streaks_point_along_their_motion():
    """Oil going up picks an upward sprite, on the left half mirrored sideways."""
    kind = np.ones(4, dtype=int)
    index = picked(kind, np.array([1.0, 0, -1, 0]), np.array([0.0, -1, 0, 1]), 1.0)
    assert list(index % DIRECTIONS) == [0, DIRECTIONS * 3 // 4, DIRECTIONS // 2, DIRECTIONS // 4]


@pytest.mark.parametrize("speed", [1e-6, 0.01, 0.1, 1.0, 30.0])
def test_oil_is_slowed_until_the_eye_can_follow(speed):
    """Drawn speed stays under the pace, and slow oil is not slowed without need."""
    rate = rate_for(speed, VIEW.px_m)
    assert rate in RATES
    assert speed * VIEW.px_m * rate <= PACE_DP_S or rate == RATES[-1]
    faster = [r for r in RATES if r > rate]
    assert not faster or speed * VIEW.px_m * min(faster) > PACE_DP_S


def test_marks_lie_along_the_velocity_of_their_cell(monkeypatch):
    """What the painter is given is the frame's velocity where each carrier is, slowed by the rate."""
    section = standin.Section()
    snapshot = standin.snapshot_at(8.0)
    frame, carriers = section.frame(snapshot), standin.Carriers(count=50)
    view = fit(section.parts, pygame.Rect(0, 0, 400, 600))
    cut = Cutaway(section, frame.region > 0, view, THEME, 0.5, 3e-3)
    given = []
    monkeypatch.setattr(cut.streaks, "draw", lambda *args: given.append(args[2]))
    cut.draw(pygame.Surface((400, 600)), frame, snapshot, PressureScale(0.0, 1e6), carriers, 0.1)
    for (r, z), (u_r, u_z) in zip(carriers.positions_m, given[0], strict=True):
        row = np.flatnonzero(section.z_edges_m <= z)[-1]
        column = np.flatnonzero(section.r_edges_m <= r)[-1]
        assert u_r == pytest.approx(0.1 * frame.u_r_m_s[row, column])
        assert u_z == pytest.approx(0.1 * frame.u_z_m_s[row, column])


def test_all_carriers_are_drawn_and_hidden_ones_are_not():
    """The painter reports how many marks it set."""
    painter = StreakPainter(THEME, 1.0)
    carriers = standin.Carriers(count=100)
    surface = pygame.Surface((400, 400))
    assert painter.draw(surface, carriers, np.zeros((100, 2)), VIEW, surface.get_rect()) == 100
    hidden = np.arange(100) < 30
    assert painter.draw(surface, carriers, np.zeros((100, 2)), VIEW, surface.get_rect(), hidden) == 70
    assert len(painter.sprites.pictures) % (len(KINDS) * DIRECTIONS) == 0


def test_faster_oil_makes_longer_streaks():
    """As on a photograph: the length is the way in the time of exposure, up to the longest."""
    speeds = np.array([30.0, 100.0, 300.0, 600.0])
    index = picked(np.ones(4, dtype=int), speeds, np.zeros(4), 1.0)
    lengths = np.array(LENGTHS_DP)[index // DIRECTIONS % len(LENGTHS_DP)]
    assert lengths == pytest.approx(np.clip(EXPOSURE_S * speeds, LENGTHS_DP[0], LENGTHS_DP[-1]), rel=0.25)
