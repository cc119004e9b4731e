"""A leaking joint is seen: drops at the O-ring of the bowl, none where nothing leaks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import load_theme
from glasscan.window.cutaway.leak_drops import FALL_M, MOST, draw_drops, places, spacing
from glasscan.window.cutaway.section_view import View

from tests.window import standin


def leaking(m3s):
    """A moment of a filter that leaks so much."""
    return replace(standin.snapshot_at(10.0), readings={"leak_m3s": m3s})


def test_drops_fall_from_under_the_ring(disc_section):
    """All drops hang below the O-ring of the bowl, outside it, within the fall."""
    ring = next(p for p in disc_section.parts if p.key == "bowl-seal").outlines[0]
    found = places(disc_section, 2e-6, 3.3)
    assert len(found) == spacing(2e-6)
    assert (found[:, 0] > ring[:, 0].max()).all()
    assert (found[:, 1] < ring[:, 1].min()).all()
    assert np.ptp(found[:, 1]) < FALL_M


@pytest.mark.parametrize("leak", [0.0, 1e-12])
def test_a_dry_joint_has_none(disc_section, leak):
    """No leak, no drop, not even on the canvas."""
    assert len(places(disc_section, leak, 3.3)) == 0
    surface = pygame.Surface((400, 400))
    before = pygame.surfarray.array2d(surface).copy()
    canvas = Canvas(surface, load_theme("dark"))
    draw_drops(canvas, disc_section, View(200.0, 300.0, 2000.0, surface.get_rect()), leaking(leak))
    assert (pygame.surfarray.array2d(surface) == before).all()


def test_more_oil_makes_more_drops():
    """From a weep to a stream the number rises and stays within what can be told apart."""
    numbers = [spacing(q) for q in np.geomspace(1e-9, 1e-4, 30)]
    assert numbers == sorted(numbers)
    assert (numbers[0], numbers[-1]) == (1, MOST)


def test_drops_are_drawn_on_both_sides(disc_section):
    """A leak leaves the warning colour left and right of the axis."""
    surface = pygame.Surface((400, 400))
    canvas = Canvas(surface, load_theme("dark"))
    draw_drops(canvas, disc_section, View(200.0, 300.0, 2000.0, surface.get_rect()), leaking(2e-6))
    seen = pygame.surfarray.array2d(surface) == surface.map_rgb(canvas.theme["warn"])
    assert seen[:200].any()
    assert seen[200:].any()
