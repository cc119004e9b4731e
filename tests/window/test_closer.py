"""The closer look: fed by the moment of the session, solved beside the frames, readable at every size."""

from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.learning.assemble import rig_setup
from glasscan.learning.catalogue import load_filter
from glasscan.learning.scenario_loading import load_scenario
from glasscan.rig.rig import Rig
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import KPA
from glasscan.ui.theme import load_theme
from glasscan.ui.view_options import TEXT_SCALES, ViewOptions
from glasscan.window.closeup.closeup_panel import (
    NO_DATA,
    CloseupMoment,
    CloseupPanel,
    Discs,
    Pleats,
    kind_for,
)
from glasscan.window.lesson.lesson_screen import Screen

from tests.window import standin
from tests.window.test_layout import problems

SIZES = [(1280, 720), (1920, 1080), (2560, 1440)]
BASE = replace(
    standin.snapshot_at(30.0), segment_m3s=np.full(12, 3e-6), mu_pa_s=0.5, deposit_kg=np.full(12, 2e-4)
)


def solved(name, snapshot=BASE):
    """A closer look that has solved a moment."""
    closer = CloseupPanel(load_filter(name))
    closer.look(snapshot)
    closer.wait()
    return closer


@pytest.fixture(scope="module", params=["can-full-flow", "disc-stack"])
def looked(request):
    """Pleats and discs."""
    return solved(request.param)


@pytest.mark.parametrize("drawer", [False, True])
@pytest.mark.parametrize("text", range(len(TEXT_SCALES)))
@pytest.mark.parametrize("size", SIZES)
def test_no_text_is_cut_or_covered(make_session, looked, size, text, drawer):
    """The closer look beside the gauges, drawer open or shut."""
    screen = Screen(make_session(30.0), ViewOptions(closer=True, text_index=text, drawer=drawer))
    screen.closer = looked
    assert problems(screen.draw(pygame.Surface(size), 0.01)) == []


def test_z_opens_and_escape_closes(make_session, press):
    """One key there, one back, and the whole filter is drawn again."""
    screen = Screen(make_session(5.0))
    surface = pygame.Surface((1280, 720))
    screen.draw(surface)
    screen.handle(press(pygame.K_z, "z"))
    screen.update(0.01)
    assert screen.desk.closer
    assert any(t.text == NO_DATA for t in screen.draw(surface).texts)
    screen.handle(press(pygame.K_ESCAPE))
    assert not screen.desk.closer
    assert not screen.leave
    assert any("Pleated" in t.text for t in screen.draw(surface).texts)


def test_pleats_carry_the_segments_flow_and_dirt():
    """The pairs of the row together carry the segment's flow, and hold its dirt."""
    data = load_filter("can-full-flow")
    kind = Pleats(data.element)
    k = len(BASE.segment_m3s) // 2
    frame = kind.solve(kind.moment(BASE))
    height_m = data.element.height_m / data.element.segments
    assert frame.flow_m2_s * data.element.pleats * height_m == pytest.approx(BASE.segment_m3s[k], rel=1e-9)
    area = data.element.area_m2 / data.element.segments
    assert kind.row.mean_deposit_kg_m2 * area == pytest.approx(BASE.deposit_kg[k], rel=1e-6)
    assert frame.outlet_pa == BASE.outlet_pa


def test_pleats_take_the_drop_of_the_plant_when_clean():
    """Clean and stiff, the row costs what the network says of a segment (both know the closed form)."""
    from glasscan.filters.network_building import pleat_resistances

    data = load_filter("can-full-flow")
    kind = Pleats(data.element)
    small = replace(BASE, segment_m3s=np.full(12, 1e-8), mu_pa_s=0.01, deposit_kg=np.zeros(12))
    frame = kind.solve(kind.moment(small))
    law = float(pleat_resistances(data.element)[0]) * 0.01 * 1e-8
    assert frame.flow.dp_pa == pytest.approx(law, rel=0.03)


def test_discs_share_flow_and_dirt_between_the_gaps():
    """One gap carries its share; less dirt than before (a rewind) starts the face anew."""
    data = load_filter("disc-stack")
    kind = Discs(data)
    moment = kind.moment(BASE)
    assert moment.flow_m3s * data.stack.gaps == pytest.approx(BASE.segment_m3s.sum())
    kind.solve(moment)
    assert kind.face.held_kg == pytest.approx(BASE.deposit_kg.sum() / data.stack.gaps, rel=1e-9)
    kind.solve(replace(moment, deposit_kg=moment.deposit_kg / 4))
    assert kind.face.held_kg == pytest.approx(moment.deposit_kg / 4, rel=1e-9)


def test_a_moment_is_solved_again_only_when_it_shows():
    """One per cent changes nothing to be seen; ten per cent of any input does."""
    moment = CloseupMoment(1e-5, 0.1, 1e-4, 0.0)
    assert moment.near(replace(moment, flow_m3s=1.01e-5))
    assert not moment.near(None)
    for key in ("flow_m3s", "mu_pa_s", "deposit_kg"):
        assert not moment.near(replace(moment, **{key: 1.1 * getattr(moment, key)}))


def test_the_picture_follows_the_moment():
    """After the flow has doubled and was looked at, the drop drawn is about doubled."""
    closer = solved("can-full-flow")
    surface = pygame.Surface((1280, 720))
    screen_box = pygame.Rect(20, 60, 820, 560)

    def drop():
        canvas = Canvas(surface, load_theme("dark"))
        closer.draw(canvas, screen_box, KPA)
        text = next(t.text for t in canvas.texts if t.text.endswith("kPa"))
        return float(text.split()[0])

    first = drop()
    closer.look(replace(BASE, segment_m3s=2 * BASE.segment_m3s))
    closer.wait()
    assert drop() == pytest.approx(2 * first, rel=0.1)


@pytest.mark.parametrize(("word", "t_s"), [("cartridge-clogs", 150.0), ("twenty-psi", 50.0)])
def test_the_close_up_drops_what_the_gauge_tells(word, t_s):
    """Loaded and warm, the close-up's drop is that of the filter less what ports and head take (15 %)."""
    scenario = load_scenario(word)
    rig = Rig(rig_setup(scenario))
    rig.advance_to(t_s)
    now = rig.snapshot()
    kind = kind_for(load_filter(scenario.filter))
    frame = kind.solve(kind.moment(now))
    drop = frame.flow.dp_pa if hasattr(frame, "flow") else frame.outer_pa - frame.inner_pa
    assert now.readings["deposit_factor"] > 3
    assert drop == pytest.approx(now.dp_pa, rel=0.15)


@pytest.mark.parametrize("word", ["can-full-flow", "disc-stack"])
def test_still_oil_drops_nothing(word):
    """Darcy and Stokes flow are linear: no flow, no drop."""
    closer = solved(word, replace(BASE, segment_m3s=np.zeros(12)))
    canvas = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"))
    closer.draw(canvas, pygame.Rect(20, 60, 1200, 900), KPA)
    told = [t.text for t in canvas.texts]
    assert "0.00 kPa" in told, told


def test_one_slow_motion_is_told(make_session):
    """Beside the closer look the section's own rate is not written: the two may differ."""
    session = make_session(30.0)
    screen = Screen(session, ViewOptions(closer=True))
    screen.closer = solved("can-full-flow")
    told = [t.text for t in screen.draw(pygame.Surface((1920, 1080)), 0.01).texts]
    assert sum("flow shown" in text or "real speed" in text for text in told) == 1
