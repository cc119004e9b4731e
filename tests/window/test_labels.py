"""Part names of the shipped filters: leaders neither cross nor run over dots, and names stay put."""

import itertools

import pygame
import pytest
from glasscan.filters.build import parts_of
from glasscan.filters.filter_data import FilterData
from glasscan.learning.catalogue import load_filter, names
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import load_theme
from glasscan.window.cutaway import part_labels
from glasscan.window.cutaway.section_view import fit
from glasscan.window.lesson.window_layout import arrange

CASES = list(itertools.product(names("filters"), [(1280, 720), (1920, 1080)], [1.0, 1.5], [False, True]))


def placed(name, size, text, drawer=False):
    """Labels of a filter, its parts, and the view."""
    parts = [p for p in parts_of(FilterData(load_filter(name))) if p.name]
    canvas = Canvas(pygame.Surface(size), load_theme("dark"), text)
    layout = arrange(size, text, drawer)
    room = canvas.dp(68) + canvas.tp(32)
    view = fit(parts, layout["can"], room, room)
    columns = {side: layout[key] for side, key in {1: "names_right", -1: "names_left"}.items()}
    columns = {side: box for side, box in columns.items() if box.w > 0}
    return part_labels.place(parts, canvas, view, columns), parts, view


@pytest.mark.parametrize(("name", "size", "text", "drawer"), CASES)
def test_leaders_of_every_filter_are_clear(name, size, text, drawer):
    """No two leaders cross, no name covers another, and hardly a leader runs over another's dot."""
    found, parts, _ = placed(name, size, text, drawer)
    assert len(found) >= 0.7 * len(parts) or not found
    over = 0
    for one, other in itertools.combinations(found, 2):
        assert not part_labels.leaders_cross(one, other), (one.text, other.text)
        assert not one.box.colliderect(other.box)
        over += part_labels.runs_over(one, other, 5) + part_labels.runs_over(other, one, 5)
    assert over <= 2


@pytest.mark.parametrize("name", names("filters"))
def test_names_stay_while_the_valve_moves(name):
    """Only the dots on the valve go along: a name that jumps about cannot be read."""
    found, parts, view = placed(name, (1920, 1080), 1.0)
    lifted = part_labels.moved(found, parts, view, 1.5e-3)
    assert [one.box for one in lifted] == [one.box for one in found]
    dots = {one.text for one, other in zip(found, lifted, strict=True) if one.leader != other.leader}
    assert dots == {part_labels.shown_name(p) for p in parts if p.lifts}


def test_names_spread_over_both_columns():
    """Parts at one height stand on different sides where they can."""
    for name in names("filters"):
        parts = [p for p in parts_of(FilterData(load_filter(name))) if p.name]
        right, left = part_labels.share_sides(parts)
        assert abs(len(right) - len(left)) <= max(2, len([p for p in parts if not p.mirrored]))
        assert all(p.mirrored for p in left)
