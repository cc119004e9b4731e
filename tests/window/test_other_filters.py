"""The drawing code knows no filter: the shipped ones of other kinds are drawn by the same rules."""

from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.window.cutaway import metal
from glasscan.window.cutaway.part_labels import share_sides
from glasscan.window.cutaway.port_arrows import ports
from glasscan.window.lesson.lesson_screen import Screen

from tests.window import standin
from tests.window.conftest import solved_filter
from tests.window.test_layout import problems


@pytest.fixture(scope="module", params=["cartridge-bowl", "disc-stack"])
def section(request):
    """A filter whose ports lie in its head and whose valve lies across."""
    return solved_filter(request.param)


def test_it_is_drawn_with_all_names_and_forces(section, make_session):
    """Cutaway with names, valve under the lens with its forces: nothing fails, nothing is cut or covered."""
    session = make_session(20.0)
    k = section.network.segments
    session.section = section
    session.snapshot = replace(session.snapshot, segment_m3s=np.full(k, 2e-4 / k), lift_m=1e-3)
    screen = Screen(session)
    canvas = screen.draw(pygame.Surface((1920, 1080)))
    assert problems(canvas) == []
    assert len(screen.stage.placed) == sum(bool(part.name) for part in section.parts)
    screen.desk.slot = "valve"  # the lens lies where the names were
    canvas = screen.draw(pygame.Surface((1920, 1080)))
    assert problems(canvas) == []
    assert {"spring", "friction"} <= {t.text for t in canvas.texts}


def test_ports_of_a_head_lie_in_its_sides(section):
    """Oil comes in on the left and leaves on the right, higher up: no port leads past gland or bolt."""
    inlet, outlet = ports(section)
    assert (inlet.side, outlet.side) == (-1, 1)
    assert outlet.z_m > inlet.z_m
    widest = max(
        np.asarray(line)[:, 0].max() for p in section.parts if p.key == "head" for line in p.outlines
    )
    assert inlet.r_m == outlet.r_m == pytest.approx(widest)


def test_a_valve_that_lies_across_moves_across(section):
    """Its spring lies along r; with the lift the free end moves towards the fixed one by just that."""
    given = next(p.spring for p in metal.movers(section) if p.spring)
    assert given.along_r
    spring = replace(given, free_z_m=given.fixed_z_m + 8e-3)
    shut, opened = (metal.coil_points(spring, lift) for lift in (0.0, 5e-4))
    assert np.ptp(shut[:, 0]) - np.ptp(opened[:, 0]) == pytest.approx(5e-4)
    assert np.ptp(shut[:, 1]) == pytest.approx(2 * spring.radius_m)
    assert shut[:, 0].min() == pytest.approx(opened[:, 0].min())


def test_a_spring_without_room_stays_between_its_ends(section):
    """Where data leave a spring less room than its wire is thick, no coil is drawn beyond its ends."""
    given = next(p.spring for p in metal.movers(section) if p.spring)
    spring = replace(given, free_z_m=given.fixed_z_m + 0.4 * given.wire_m)
    along = metal.coil_points(spring, 0.0)[:, 0]
    assert along.min() >= given.fixed_z_m
    assert along.max() <= spring.free_z_m


def test_what_is_drawn_on_one_side_is_named_there(section):
    """A part that is not mirrored stands on the right, and so does its name."""
    right, left = share_sides(section.parts)
    assert all(p.mirrored for p in left)
    assert len(right) + len(left) == len(section.parts)


def test_axial_ports_of_the_can(real_can):
    """The can is fed and drained from below; its outlet is a bore on the axis with one arrow."""
    inlet, outlet = ports(real_can)
    assert not inlet.on_top
    assert outlet.sides == (1,)
    assert inlet.sides == (1, -1)
    assert standin.Section().layout.outlet.r0 == outlet.r_m
