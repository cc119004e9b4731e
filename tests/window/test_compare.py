"""Two side by side: one clock, one scale, one difference."""

from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.ui.display_units import SYSTEMS
from glasscan.ui.view_options import TEXT_SCALES, ViewOptions
from glasscan.window.lesson.comparison import ComparisonRun, verdict
from glasscan.window.lesson.gauges import OPEN_M
from glasscan.window.lesson.lesson_screen import Screen

from tests.window.test_layout import SIZES, problems

NAMES = ("regulator before the filter", "oil and metal at 70 °C at the start", "20 g of dirt in the element")


@pytest.fixture
def pair(make_session):
    """A session with three rivals on the made-up rig, at 20 s."""
    session = make_session(20.0)

    def rival(name):
        other = make_session(0.0)
        other.differs = "regulator" if "regulator" in name else ""
        return other

    session.rivals = {name: (lambda name=name: rival(name)) for name in NAMES}
    return session


def chosen(session, name=NAMES[0]):
    """A rivalry whose rival is there."""
    rivalry = ComparisonRun(session)
    rivalry.choose(name)
    rivalry.wait()
    return rivalry


def test_both_are_on_one_clock(pair):
    """The rival is brought to the moment, follows, and rewinds with the session."""
    rivalry = chosen(pair)
    assert rivalry.rival.snapshot.t_s == pytest.approx(20.0)
    pair.run_to(31.0)
    rivalry.update()
    assert rivalry.rival.snapshot.t_s == pytest.approx(31.0)
    pair.rewind(7.0)
    assert rivalry.rival.snapshot.t_s == pytest.approx(7.0)


def test_oil_through_a_hole_counts_as_unfiltered(pair):
    """Bypass shut, a hole carrying as much as the element: half of the oil is told as unfiltered."""
    s = pair.snapshot
    readings = {"hole_m3s": s.element_m3s, "hole_segment": 0.0}
    each = np.full(12, s.element_m3s / 12)
    torn = replace(s, bypass_m3s=0.0, lift_m=0.0, segment_m3s=each, readings=readings)
    assert "50 % unfiltered" in verdict(torn, SYSTEMS[0])
    pair.snapshot = torn
    canvas = Screen(pair).draw(pygame.Surface((1920, 1080)))
    assert any("50 % unfiltered" in text.text for text in canvas.texts)


def test_controls_reach_both_but_for_the_difference(pair):
    """What is moved by hand moves in both, before and after the comparison begins; the difference stays."""
    pair.change("rpm", 1200)
    pair.change("regulator", "before")
    rivalry = chosen(pair)
    assert rivalry.rival.engine.rpm == 1200
    pair.change("rpm", 700)
    pair.change("regulator", "before")
    assert rivalry.rival.engine.rpm == 700
    assert "regulator" not in rivalry.rival.engine.controls
    rivalry.choose("")
    pair.change("rpm", 800)
    assert rivalry.name == ""
    assert rivalry.rival is None


def test_b_goes_through_the_rivals_and_ends(pair, press):
    """Each press the next one; after the last, and on Escape, one filter alone."""
    screen = Screen(pair, ViewOptions())
    screen.draw(pygame.Surface((1280, 720)))
    seen = []
    for _ in range(4):
        screen.handle(press(pygame.K_b, "b"))
        screen.rivalry.wait()
        seen.append(screen.rivalry.name)
    assert seen == [*NAMES, ""]
    screen.handle(press(pygame.K_b, "b"))
    screen.handle(press(pygame.K_ESCAPE))
    assert not screen.rivalry.on
    assert not screen.leave


def test_a_rival_that_cannot_be_had_is_told(pair):
    """A bad start is one line in its half."""

    def bad():
        raise ValueError("no such\nstart")

    pair.rivals["bad"] = bad
    screen = Screen(pair, ViewOptions())
    screen.rivalry = chosen(pair, "bad")
    texts = [t.text.replace("\n", " ") for t in screen.draw(pygame.Surface((1280, 720))).texts]
    assert "no such start" in texts


@pytest.mark.parametrize("text", range(len(TEXT_SCALES)))
@pytest.mark.parametrize("size", SIZES)
def test_both_halves_fit(pair, size, text):
    """Headings, pictures and readings of both halves fit, drawer open or shut."""
    screen = Screen(pair, ViewOptions(text_index=text))
    for name in NAMES:
        screen.rivalry = chosen(pair, name)
        for screen.desk.drawer in (False, True):
            screen.desk.page = "beside"
            screen._built = ()
            assert problems(screen.draw(pygame.Surface(size), 0.01)) == [], name


def test_the_real_rivals_differ_as_the_plumbing_says():
    """Regulator before: less drop. Warm oil: a small part of it. Dirt: more. All from the model."""
    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.window.lesson.lesson_loading import open_session

    session = open_session(load_scenario("cold-start"), keys=False).session
    session.run_to(12.0)
    drops = {}
    for name in session.rivals:
        rival = chosen(session, name).rival
        drops[name] = rival.snapshot.dp_pa
        assert len(rival.carriers.positions_m) > 100
        assert np.isfinite(rival.section.frame(rival.snapshot).u_r_m_s).all()
    assert list(drops) == list(NAMES)
    before, warm, dirty = drops.values()
    assert before < 0.7 * session.snapshot.dp_pa
    assert warm < 0.2 * session.snapshot.dp_pa
    assert dirty > 1.04 * session.snapshot.dp_pa


def test_the_row_ends_with_a_fault_that_can_be_chosen(pair, press):
    """B comes to the fault last; another one chosen in the controls takes its place and is shown at once."""
    pair.faults = dict.fromkeys(("Valve stuck shut", "Weak spring"), next(iter(pair.rivals.values())))
    screen = Screen(pair, ViewOptions(drawer=True, page="beside"))
    screen.draw(pygame.Surface((1920, 1080)))
    for _ in range(4):
        screen.handle(press(pygame.K_b, "b"))
        screen.rivalry.wait()
    assert screen.rivalry.name == "Valve stuck shut"
    choice = next(w for w in screen.form.widgets if w.name == "fault")
    screen.form.focus_on("fault")
    screen.handle(press(pygame.K_RIGHT))
    screen.rivalry.wait()
    assert choice.get() == screen.rivalry.name == "Weak spring"
    assert screen.rivalry.rival is not None
    for size, text in (((1280, 720), 1), ((1280, 720), 2), ((1920, 1080), 1)):
        screen.desk.text_index = text
        assert problems(screen.draw(pygame.Surface(size), 0.01)) == []


def test_the_same_filter_with_a_fault_differs_as_the_model_says(real_can):
    """Stuck shut, the valve of the cold start never lifts, and the element takes more than its setting."""
    from glasscan.learning.assemble import rig_setup
    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.window.lesson.lesson_loading import facts_of, faulty

    scenario = load_scenario("cold-start")
    made = faulty(scenario, rig_setup(scenario, real_can), real_can, facts_of(scenario, real_can))
    assert len(made) > 10
    sick = made["Bypass valve stuck shut"]()
    sick.run_to(6.0)
    assert sick.snapshot.lift_m < OPEN_M
    assert sick.snapshot.dp_pa > 1.5 * sick.facts.cracking_pa
    frame = sick.section.frame(sick.snapshot)
    drop = np.nanmax(frame.pressure_pa) - np.nanmin(frame.pressure_pa)
    assert drop == pytest.approx(sick.snapshot.dp_pa, rel=0.05)  # what is drawn is what is read
