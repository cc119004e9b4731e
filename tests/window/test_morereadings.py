"""A shows what has no gauge of its own: every number a question may ask for can be read in the window."""

from dataclasses import replace

import pygame
import pytest
from glasscan.learning.vocabulary import TRACE
from glasscan.ui.display_units import SYSTEMS
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.all_readings import TITLE, rows_of
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.text_view import reading_lines

from tests.window.test_layout import problems

SIZES = [((1280, 720), 1), ((1920, 1080), 1), ((1280, 720), 3), ((1920, 1080), 3)]


@pytest.mark.parametrize(("size", "text"), SIZES)
def test_all_rows_are_seen(make_session, press, size, text):
    """At every size and text scale each row stands whole, and A again brings the trace back."""
    session = make_session(20.0)
    screen = Screen(session, ViewOptions(text_index=text))
    screen.handle(press(pygame.K_a, "a"))
    canvas = screen.draw(pygame.Surface(size))
    told = [t.text for t in canvas.texts]
    assert TITLE in told
    for name, value in rows_of(session.snapshot, screen.desk.units):
        assert name in told
        assert value in told
    assert problems(canvas) == []
    screen.handle(press(pygame.K_a, "a"))
    assert TITLE not in [t.text for t in screen.draw(pygame.Surface(size)).texts]


def test_every_column_of_the_trace_can_be_read(make_session):
    """Gauges, hero, caption and these rows together: no column that a question may name is missing."""
    gauges = {
        "rpm",
        "air",
        "filter_oil",
        "inlet",
        "outlet",
        "dp",
        "element_flow",
        "bypass_flow",
        "unfiltered",
    }
    here = {
        "gauge": "Cockpit gauge", "pump_flow": "Pump delivers", "regulator_flow": "Regulator sends back",
        "bearing_flow": "Bearings take", "gallery_fill": "Gallery filled", "lift": "Valve lift",
        "viscosity": "Viscosity in the filter", "sump_oil": "Oil in sump, passages",
        "gallery_oil": "Oil in sump, passages", "deposit": "Dirt on the element",
        "suspended": "Dirt in the oil", "sludge": "Dirt in the bowl", "leaked": "Oil lost outside",
        "indicator": "Indicator button",
    }  # fmt: skip
    fitted = {"accumulator": "Fluid in the accumulator", "idles": "Pump"}
    assert gauges | set(here) | set(fitted) == set(TRACE)
    snapshot = make_session(5.0).snapshot
    assert set(here.values()) == {name for name, _ in rows_of(snapshot, SYSTEMS[0])}
    gas = {"accumulator_full_m3": 4e-3, "accumulator_m3": 1.5e-3, "idles": 1.0}
    rows = dict(rows_of(replace(snapshot, readings=snapshot.readings | gas), SYSTEMS[0]))
    assert [rows[name] for name in fitted.values()] == ["1.50 L", "idles"]


def test_they_are_said_too(make_session):
    """The window in words has the same rows."""
    session = make_session(20.0)
    lines = "\n".join(reading_lines(session, SYSTEMS[1]))
    for name, value in rows_of(session.snapshot, SYSTEMS[1]):
        assert f"{name}: {value}" in lines
