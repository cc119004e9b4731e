"""The filter of a lesson on the bench: what that run deposited, and what was dropped in, at its place."""

from types import SimpleNamespace

import numpy as np
import pytest
from glasscan.debris.debris import Debris
from glasscan.learning.catalogue import load_filter
from glasscan.window.bench.bench_page import BenchPage
from glasscan.window.bench.filter_sources import sound_rig
from glasscan.window.bench.inspection_flow import on_the_bench
from glasscan.window.lesson.debris_controller import DebrisController
from glasscan.window.lesson.lesson_loading import RecordedRig
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.workshop.inspection.body_pieces import bodies_of


@pytest.fixture
def lesson(real_can):
    """What the bench asks of a screen: a real rig that ran half an hour, with flakes dropped in."""
    from dataclasses import replace

    engine = RecordedRig(replace(sound_rig("can"), oil_c=85.0, gallery_fill=1.0, rpm=2400.0))
    engine.rig.advance_to(1800.0)
    loose = DebrisController(real_can, 3)
    loose.drop("steel-flake", 5, 0.0)
    facts = SimpleNamespace(filter_data=load_filter("can-full-flow"), seed=3)
    session = SimpleNamespace(facts=facts, engine=engine, loose=loose, playing=True)
    return SimpleNamespace(
        session=session, to_bench=True, leave=True, quit=False, taker=SimpleNamespace(notice="")
    )


def test_the_bench_holds_what_the_run_left(lesson, front):
    """Deposit and flakes are those of the run; afterwards the lesson goes on where it was."""
    window = front(OpenPage="enter", BenchPage="esc esc")
    assert on_the_bench(window, lesson)
    assert (lesson.to_bench, lesson.leave, lesson.quit) == (False, False, False)
    bench = window.pages[-1]
    assert isinstance(bench, BenchPage)
    evidence, rig = bench.work.evidence, lesson.session.engine.rig
    assert np.allclose(evidence.held.sum(axis=0), rig.state.dirt.held)
    assert evidence.hours == pytest.approx(0.5)
    assert [b.code for b in evidence.bodies] == ["D2"] * 5
    dropped = lesson.session.loose.debris.masses_kg
    assert sum(b.mass_kg for b in evidence.bodies) == pytest.approx(float(dropped.sum()))
    assert rig.t_s == 1800.0


def test_a_lesson_without_a_real_rig_says_so(make_screen, front):
    """The stand-in of other tests has no filter to open; the key does no harm."""
    screen = make_screen(3.0)
    screen.open_filter()
    assert screen.leave
    assert on_the_bench(front(), screen)
    assert not screen.leave
    assert "no filter" in screen.taker.notice


def test_the_key_stops_the_run_and_asks_for_the_bench(make_screen, press):
    """X: pause, leave, to the bench."""
    screen = make_screen(3.0)
    screen.session.playing = True
    assert isinstance(screen, Screen)
    screen.handle(press(ord("x"), "x"))
    assert (screen.session.playing, screen.to_bench, screen.leave) == (False, True, True)


def test_bodies_lie_where_they_were(real_can):
    """Behind the medium: the core; low on the dirty side: the cup; beside the folds: outside."""
    data = load_filter("can-full-flow")
    debris = Debris(real_can, 1)
    debris.add("D2", 1, "clean")
    debris.add("D9", 1, (0.034, 0.036, 0.050, 0.054))  # between folds and shell, half way up
    debris.add("D9", 1, (0.034, 0.036, 0.006, 0.010))  # below the foot of the folds
    debris.add("cake-flake", 1, "dirty")
    bodies = bodies_of(debris, data)
    assert [(b.code, b.place) for b in bodies] == [("D2", "core"), ("D9", "outside"), ("D9", "cup")]
    assert bodies[1].up == pytest.approx((0.052 - 0.012) / 0.084, abs=0.03)
    assert [b.mass_kg for b in bodies] == debris.masses_kg[:3].tolist()
