"""The cutaway: to scale, mirrored, coloured by pressure, with a valve that moves."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pygame
import pytest
from glasscan.ui.theme import load_theme
from glasscan.window.cutaway import metal
from glasscan.window.cutaway.cutaway import Cutaway, PressureScale, wet_cells
from glasscan.window.cutaway.field_painter import FieldPainter, nice_ceiling
from glasscan.window.cutaway.section_view import extent, fit

from tests.window import standin

AREA = pygame.Rect(0, 0, 900, 900)
DARK = load_theme("dark")


@pytest.fixture
def scene():
    """Section, view and cutaway of the made-up can."""
    section = standin.Section()
    view = fit(section.parts, AREA)
    return section, view, Cutaway(section, wet_cells(section, standin.BASE, 3e-3), view, DARK, 1.0, 3e-3)


def drawn(scene, snapshot, carriers=None):
    """Pixels (w, h, 3) of one drawing."""
    section, _, cut = scene
    surface = pygame.Surface(AREA.size)
    cut.draw_ground(surface)
    cut.draw(surface, section.frame(snapshot), snapshot, PressureScale(0.0, 1e6), carriers)
    return pygame.surfarray.array3d(surface)


def test_view_is_to_scale_and_fills_the_height(scene):
    """One scale for both directions, and the larger dimension fits exactly."""
    section, view, _ = scene
    r, low, high = extent(section.parts)
    corners = view.points(np.array([(0, low), (r, low), (r, high)]))
    assert corners[1, 0] - corners[0, 0] == pytest.approx(r * view.px_m)
    assert corners[1, 1] - corners[2, 1] == pytest.approx((high - low) * view.px_m)
    assert (high - low) * view.px_m == pytest.approx(AREA.h)


def test_the_two_halves_mirror_each_other(scene):
    """The pressure picture is symmetric about the axis, within a pixel of rounding."""
    section, view, _ = scene
    surface = pygame.Surface(AREA.size)
    painter = FieldPainter(section, view, DARK)
    painter.paint(surface, section.frame(standin.snapshot_at(8.0)), 4e5, 3e5)
    axis = round(view.axis_x)
    pixels = pygame.surfarray.array3d(surface).astype(int)
    right, left = pixels[axis : axis + 200], pixels[axis - 200 : axis][::-1]
    assert np.percentile(np.abs(right - left), 99) < 12


@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 1.0])
def test_pressure_is_the_ramp_colour(scene, share):
    """A uniform pressure at a share of the span is drawn in the ramp's colour for that share."""
    section, view, _ = scene
    frame = section.frame(standin.snapshot_at(8.0))
    flat = replace(frame, pressure_pa=np.where(frame.region > 0, 1e5 + share * 2e5, np.nan))
    surface = pygame.Surface(AREA.size)
    FieldPainter(section, view, DARK).paint(surface, flat, 1e5, 2e5)
    x, y = view.points(np.array([(5e-3, 50e-3)]))[0]
    assert surface.get_at((int(x), int(y)))[:3] == tuple(DARK.ramp[int(share * 255)])


def test_pressure_outside_the_span_stays_on_the_ramp(scene):
    """Suction or a surge shows the end colours: nothing wraps round or fails."""
    section, view, _ = scene
    frame = section.frame(standin.snapshot_at(8.0))
    surface = pygame.Surface(AREA.size)
    painter = FieldPainter(section, view, DARK)
    x, y = (int(v) for v in view.points(np.array([(5e-3, 50e-3)]))[0])
    for value, end in ((-9e5, 0), (9e9, 255), (np.inf, 255)):
        painter.paint(surface, replace(frame, pressure_pa=np.full(frame.region.shape, value)), 0.0, 1e5)
        assert surface.get_at((x, y))[:3] == tuple(DARK.ramp[end])


def test_no_oil_colour_leaves_the_can(real_can):
    """Half a millimetre outside the shipped can's thin shell all is plain ground along the dome."""
    snapshot = replace(standin.snapshot_at(8.0), segment_m3s=np.full(12, 1e-5))
    view = fit(real_can.parts, AREA)
    cut = Cutaway(real_can, wet_cells(real_can, snapshot, 3e-3), view, DARK, 1.0, 3e-3)
    pixels = drawn((real_can, view, cut), snapshot)
    ground = pygame.surfarray.array3d(cut.ground)
    shell = next(p for p in real_can.parts if p.key == "shell").outlines[0]
    radius, straight = shell[:, 0].max(), 101e-3
    height = shell[:, 1].max() - straight
    angle = np.linspace(0.05, 1.4, 60)
    outside = np.stack([(radius + 5e-4) * np.cos(angle), straight + (height + 5e-4) * np.sin(angle)], axis=1)
    for x, y in view.points(outside).astype(int):
        assert np.array_equal(pixels[x, y], ground[x, y])


def test_valve_moves_down_by_its_lift_to_scale(scene):
    """The picture of the valve plate is shifted down by lift times scale."""
    section, view, cut = scene
    solid = []
    for lift in (0.0, 2e-3):
        layer = metal.moving_layer(section, lift, view, cut.valve_rect, DARK, 1.0)
        opaque = pygame.surfarray.array_alpha(layer)[layer.get_width() // 2] > 200
        solid.append(int(np.argmax(opaque)))
    assert solid[1] - solid[0] == pytest.approx(2e-3 * view.px_m, abs=1)


def test_spring_coils_close_up_with_the_lift(monkeypatch, scene):
    """The drawing commands show it: the coil ends span less height by exactly the lift, turn count kept."""
    section, view, _ = scene
    coil = next(p.spring for p in section.parts if p.spring)
    heights, counts = [], []
    for lift in (0.0, 2e-3):
        calls = []
        with monkeypatch.context() as patch:
            patch.setattr(pygame.draw, "circle", lambda *args, calls=calls: calls.append(args[2]))
            metal.draw_spring(pygame.Surface((10, 10)), coil, lift, view, DARK, 1.0)
        rows = [y for _, y in calls]
        heights.append(max(rows) - min(rows))
        counts.append(len(calls))
    assert heights[0] - heights[1] == pytest.approx(2e-3 * view.px_m, abs=1e-6)
    assert counts[0] == counts[1]


def test_only_the_spring_under_the_valve_moves(real_can):
    """In the shipped can the bypass spring follows the valve, the hold-down spring does not."""
    moving = {p.key for p in metal.movers(real_can)}
    assert moving == {"valve-poppet", "valve-spring"}


def test_perforated_wall_keeps_its_ends_and_half_its_metal():
    """A wall cut through its holes starts and ends with metal, and the holes have the drawn width."""
    wall = standin.box(15, 16, 12, 96)
    pieces = metal.perforated(wall)
    spans = [(p[:, 1].min(), p[:, 1].max()) for p in pieces]
    assert spans[0][0] == pytest.approx(12e-3)
    assert spans[-1][1] == pytest.approx(96e-3)
    gaps = [b[0] - a[1] for a, b in pairwise(spans)]
    assert gaps == pytest.approx([metal.HOLE_M] * len(gaps))


def test_cut_metal_is_hatched(scene):
    """The base plate shows two tones, fill and hatch, so that cut metal is told without colour."""
    _, view, _ = scene
    pixels = drawn(scene, standin.snapshot_at(8.0))
    x0, y0 = view.points(np.array([(27e-3, 3.2e-3)]))[0].astype(int)
    x1, y1 = view.points(np.array([(35e-3, 1.2e-3)]))[0].astype(int)
    grey = pixels[x0:x1, y0:y1].mean(axis=2)
    assert grey.max() - grey.min() > 50


def test_carriers_are_drawn_over_the_oil_but_not_over_metal(scene):
    """Marks change the oil's picture and leave the hatched base plate alone."""
    _, view, _ = scene
    snapshot = standin.snapshot_at(8.0)
    without, withal = drawn(scene, snapshot), drawn(scene, snapshot, standin.Carriers())
    changed = np.any(without != withal, axis=2)
    assert changed.sum() > 2000
    x0, y0 = view.points(np.array([(26e-3, 3.4e-3)]))[0].astype(int)
    x1, y1 = view.points(np.array([(36e-3, 0.6e-3)]))[0].astype(int)
    assert not changed[x0:x1, y0:y1].any()


@pytest.mark.parametrize(("value", "scale"), [(205e3, 240e3), (240e3, 240e3), (0.9, 1.0), (1.01e6, 1.2e6)])
def test_full_scales_are_round_and_hold_the_value(value, scale):
    """The next round number at or above the value."""
    assert nice_ceiling(value) == pytest.approx(scale)


def test_full_scale_of_nothing_is_one():
    """No value yet: a scale all the same."""
    assert nice_ceiling(0.0) == nice_ceiling(float("nan")) == 1.0
