"""Pictures without a display: the same drawing code as the window, from the real model."""

import numpy as np
import pygame
import pytest
from glasscan.learning.assemble import rig_setup
from glasscan.learning.scenario_loading import load_scenario
from glasscan.rig.runner import run
from glasscan.window.lesson import offscreen_pictures
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

from tests.window.test_layout import problems


@pytest.fixture(scope="module")
def cold_start():
    """The shipped first lesson."""
    return load_scenario("cold-start")


@pytest.fixture(scope="module")
def log(cold_start):
    """A short headless run of it."""
    return run(rig_setup(cold_start), for_s=20.0)


def test_two_frames_of_one_moment_are_the_same(make_session, tmp_path):
    """Same scenario, same moment, same bytes."""
    one = offscreen_pictures.draw_frame(make_session(), 12.0, tmp_path / "a.png", (1280, 720), "light")
    offscreen_pictures.draw_frame(make_session(), 12.0, tmp_path / "b.png", (1280, 720), "light")
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()
    assert one.get_size() == (1280, 720)
    assert pygame.image.load(tmp_path / "a.png").get_size() == (1280, 720)


def test_themes_differ_and_both_are_drawn(make_session):
    """Light is light and dark is dark."""
    means = {}
    for theme in ("light", "dark"):
        surface = offscreen_pictures.draw_frame(make_session(), 12.0, None, (1280, 720), theme)
        means[theme] = pygame.surfarray.array3d(surface).mean()
    assert means["light"] > 140
    assert means["dark"] < 80


def test_real_frame_shows_the_run(cold_start):
    """Drawn from the real section and rig: gauges agree with the snapshot, no text is cut or covered."""
    session = open_session(cold_start, keys=False).session
    session.run_to(30.0)
    screen = Screen(session)
    canvas = screen.draw(pygame.Surface((1920, 1080)))
    texts = [t.text for t in canvas.texts]
    assert f"{session.snapshot.dp_pa / 1e3:.0f}" in texts
    assert f"{session.snapshot.inlet_pa / 1e3:.0f}" in texts
    assert "00:30.0" in texts
    assert problems(canvas) == []


def test_frame_at_rest_says_so(cold_start):
    """Before the start nothing flows, the valve is shut, and every number is finite."""
    session = open_session(cold_start, keys=False).session
    texts = [t.text for t in Screen(session).draw(pygame.Surface((1280, 720))).texts]
    assert "no flow" in texts
    assert "bypass shut" in texts
    assert not any("nan" in t or "inf" in t.split() for t in texts)


def test_pressure_falls_from_dirty_to_clean_side_in_the_picture(cold_start):
    """In the real picture at 30 s the annulus is lighter than the centre tube (L* by the ramp's order)."""
    session = open_session(cold_start, keys=False).session
    surface = offscreen_pictures.draw_frame(session, 30.0, None, (1280, 720))
    screen = Screen(session)
    canvas = screen.draw(surface)
    view = screen.stage.cutaway(canvas, screen.layout((1280, 720))).view
    pixels = pygame.surfarray.array3d(surface).mean(axis=2)

    def around(r, z):
        x, y = view.points(np.array([(r, z)]))[0].astype(int)
        return np.median(pixels[x - 4 : x + 5, y - 20 : y + 21])

    assert around(34.5e-3, 60e-3) > around(3e-3, 40e-3) + 60


def test_trace_picture_shows_curves_and_events(cold_start, log, tmp_path):
    """All three pressures, lift, oil and the events of the run are named."""
    path = tmp_path / "trace.png"
    drawn = []

    class Spy(offscreen_pictures.Canvas):
        def text(self, text, *args, **kwargs):
            drawn.append(text)
            return super().text(text, *args, **kwargs)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(offscreen_pictures, "Canvas", Spy)
        surface = offscreen_pictures.trace_picture(log, cold_start, path)
    assert {"inlet", "outlet", "dp", "lift", "oil °C", "cracks"} <= set(drawn)
    assert pygame.image.load(path).get_size() == surface.get_size()


def test_trace_log_is_the_run_in_si(log):
    """The drawn columns are the run's, turned into SI."""
    drawn = offscreen_pictures.trace_log(log)
    assert np.allclose(drawn.column("dp"), log.trace["dp"] * 1e3)
    assert np.allclose(drawn.column("lift"), log.trace["lift"] * 1e-3)


def test_section_picture_of_a_run(cold_start, log, tmp_path):
    """The section is written, cropped to cutaway, key and names."""
    path = tmp_path / "section.png"
    surface = offscreen_pictures.section_picture(log, cold_start, path)
    assert path.stat().st_size > 20_000
    assert 900 < surface.get_width() < 1500


def test_a_file_that_cannot_be_written_is_an_os_error(make_session, tmp_path):
    """The command line turns it into one clear line."""
    with pytest.raises(OSError, match="No such file"):
        offscreen_pictures.draw_frame(make_session(), 1.0, tmp_path / "no" / "where.png", (1280, 720))


def test_the_window_keeps_one_trace(cold_start):
    """The session has its own; the recorder behind it keeps the first row only, however long the run."""
    session = open_session(cold_start, keys=False).session
    session.run_to(3.0)
    assert session.trace.rows > 10
    assert len(session.engine._recorder.trace.times_s) == 1
