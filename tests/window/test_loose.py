"""Debris at the screen: dropped in, carried in slowed time by the session, rewound, drawn with a legend."""

from dataclasses import replace

import numpy as np
import pygame
import pytest
from glasscan.debris.crowd import Motion
from glasscan.debris.debris_data import catalogue
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import contrast, load_theme, raw
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cutaway.debris_drawing import DARK, LIGHT, colour_of, draw_bodies, legend_rows, rim_of
from glasscan.window.cutaway.section_view import View
from glasscan.window.lesson import debris_controller as module
from glasscan.window.lesson.debris_controller import MOST_BODIES, STEP_S, Body, DebrisController
from glasscan.window.lesson.lesson_screen import Screen

from tests.window import standin
from tests.window.test_layout import problems

NOW = replace(standin.snapshot_at(30.0), mu_pa_s=0.1, rho_kg_m3=870.0)


@pytest.fixture
def loose(real_can):
    """Debris of the shipped can, with a moment of its own."""
    k = real_can.network.segments if isinstance(getattr(real_can.network, "segments", None), int) else 12
    moment = replace(NOW, segment_m3s=np.full(k, 2e-5), element_m3s=k * 2e-5, bypass_m3s=0.0, lift_m=0.0)
    made = DebrisController(real_can, 3)
    made.moment = moment
    return made


@pytest.fixture
def session(make_session, loose):
    """A session with debris on the real can."""
    session = make_session(5.0, wall=lambda: 0.0)
    session.loose = loose
    session.section = loose._section
    session.engine = Still(loose.moment)
    session.snapshot = loose.moment
    session.drawn_rate = 0.5
    return session


class Still(standin.Engine):
    """A rig whose flow is always the same; only time goes on."""

    def __init__(self, moment):
        super().__init__(t_s=5.0)
        self.moment = moment

    def snapshot(self):
        """The moment at another time."""
        return replace(self.moment, t_s=self.t_s)


def places(loose):
    """Everything about the bodies."""
    d = loose._debris
    return None if d is None else (d.steps, d.numbers, d.positions.tobytes(), d.angles.tobytes())


def test_steps_are_of_fixed_length_in_slowed_time(loose, monkeypatch):
    """However long the frames, the debris steps by 1/120 s of drawn time, and no more than two a frame."""
    loose.drop("steel-flake", 3, 0.0)
    lengths = []
    step = loose._debris.step
    monkeypatch.setattr(loose._debris, "step", lambda *a: lengths.append(a[-1]) or step(*a))
    for frame_s in (1 / 600, 1 / 77, 0.0021, 0.5):
        loose.carry(loose.moment, frame_s)
    assert set(lengths) == {STEP_S}
    assert len(lengths) == 2 + module.MOST_STEPS


def test_drawing_moves_nothing(session):
    """Frames drawn while paused leave every body where it is."""
    session.drop("steel-flake", 5)
    screen = Screen(session, ViewOptions())
    before = places(session.loose)
    for _ in range(5):
        screen.draw(pygame.Surface((1280, 720)), 0.05)
    assert places(session.loose) == before


def test_rewind_and_again_gives_the_same_bodies(session):
    """Back to a moment, then on: place, turn and number of every body are bit for bit the same."""
    session.drop("bronze-speck", 6)
    session.playing = True
    for _ in range(40):
        session.update(1 / 60)
    middle, moment = places(session.loose), session.snapshot.t_s
    for _ in range(40):
        session.update(1 / 60)
    end = places(session.loose)
    assert end != middle
    session.rewind(moment)
    assert places(session.loose) == middle
    session.playing = True
    while session.loose._debris.steps < end[0]:
        session.update(1 / 60)
    assert places(session.loose) == end


def test_rewinding_before_the_drop_takes_the_bodies_away(session):
    """What was dropped later is not there earlier."""
    session.playing = True
    session.update(0.5)
    session.drop("steel-flake", 4)
    session.update(0.05)
    session.rewind(5.2)
    assert session.loose.count == 0
    assert session.loose.bodies() == []


def test_bodies_drift_with_the_oil(session):
    """In half a second of drawn time the oil carries the pieces up from the inlet."""
    session.drop("fibre", 5)
    start = session.loose._debris.positions[:, 1].mean()
    session.playing = True
    for _ in range(60):
        session.update(1 / 60)
    assert session.loose._debris.positions[:, 1].mean() > start + 1e-3


def test_between_two_steps_the_picture_moves_evenly(loose):
    """A body drawn half a step on stands between its last two places."""
    loose.drop("carbon-lump", 1, 0.0)
    loose.carry(loose.moment, STEP_S)
    old = loose.bodies()[0].outline.mean(axis=0)
    loose.carry(loose.moment, STEP_S / 2)
    half = loose.bodies()[0].outline.mean(axis=0)
    loose._owed_s = STEP_S * (1 - 1e-9)
    new = loose.bodies()[0].outline.mean(axis=0)
    assert np.linalg.norm(new - old) > 0
    assert half == pytest.approx((old + new) / 2, abs=0.02 * np.linalg.norm(new - old))


def test_a_body_is_drawn_part_of_the_way_and_part_of_the_turn(loose):
    """Half way between two steps: half the way, and half the turn."""
    loose.drop("steel-flake", 1, 0.0)
    at, angle = np.array([0.01, 0.02]), 0.4
    loose._debris._swarm.motion = Motion.at_rest(at[None], np.array([angle]))
    loose._before, loose._owed_s = {0: (np.array([0.01, 0.01]), 0.0)}, STEP_S / 2
    places, angles = loose._shown(loose._debris)
    assert places == pytest.approx(np.array([[0.01, 0.015]]))
    assert angles == pytest.approx([0.2])
    loose._before = {}  # a body that has just come in is drawn where it is
    assert loose._shown(loose._debris)[0] == pytest.approx(at[None])


def test_there_is_a_limit_and_it_is_told(loose):
    """More than the picture can carry is refused in one line."""
    for _ in range(8):
        loose.drop("silica-grain", 60, 0.0)
    assert loose.count == MOST_BODIES
    assert str(MOST_BODIES) in loose.trouble


def test_without_a_solver_there_is_no_debris(make_session):
    """The stand-in has none: the key does nothing and the drawer has no such page."""
    session = make_session(5.0)
    session.drop("steel-flake", 5)
    assert session.loose.count == 0


def test_every_kind_has_a_colour_and_a_rim_that_shows():
    """Every word of a look is in the theme, and each piece stands out from its rim by 3:1 (WCAG 1.4.11)."""
    for key, kind in catalogue().kinds.items():
        assert kind.colours[0] in raw()["debris"], kind.colours
        assert contrast(colour_of(key), rim_of(colour_of(key))) >= 3.0
    assert rim_of((255, 255, 255)) == DARK
    assert rim_of((0, 0, 0)) == LIGHT


def test_a_small_piece_is_still_seen():
    """A grain of a tenth of a millimetre leaves several pixels of its own colour."""
    surface = pygame.Surface((400, 400))
    canvas = Canvas(surface, load_theme("dark"))
    canvas.surface = pygame.Surface((1920, 1080))
    grain = np.array([(0, 0), (1e-4, 0), (1e-4, 1e-4), (0, 1e-4)]) + 0.01
    view = View(200.0, 300.0, 7000.0, canvas.surface.get_rect())
    draw_bodies(canvas, [Body(grain, 1, "rust-clump")], view)
    colour = canvas.surface.map_rgb(colour_of("rust-clump"))
    assert (pygame.surfarray.array2d(canvas.surface) == colour).sum() >= 12


@pytest.mark.parametrize("text", range(4))
@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080), (2560, 1440)])
def test_legend_and_page_fit(session, size, text):
    """With many kinds in the filter the key, the legend and the page of controls fit."""
    for kind in ("steel-flake", "bronze-speck", "white-metal-foil", "sealant-string", "carbon-lump"):
        session.drop(kind, 5)
    assert len(legend_rows(session.loose)) == 5
    for drawer in (False, True):
        screen = Screen(session, ViewOptions(text_index=text, drawer=drawer, page="debris"))
        for kind in catalogue().kinds:
            screen.desk.debris_kind = kind
            canvas = screen.draw(pygame.Surface(size))
            assert problems(canvas) == []
    assert "drop" in [w.name for w in screen.form.shown()]


def test_d_drops_what_the_drawer_says(session, press):
    """The key and the button drop the chosen kind and number."""
    screen = Screen(session, ViewOptions(drawer=True, page="debris", debris_kind="fibre", debris_number="1"))
    screen.draw(pygame.Surface((1280, 720)))
    screen.handle(press(pygame.K_d, "d"))
    screen.form.focus_on("drop")
    screen.handle(press(pygame.K_RETURN))
    assert session.loose.by_kind() == {"fibre": 2}
    screen.form.focus_on("take-out")
    screen.handle(press(pygame.K_RETURN))
    assert session.loose.count == 0


def test_what_lies_on_the_seat_holds_the_valve_of_the_rig_open(make_session, monkeypatch):
    """The rig is told the gap that the contacts allow, once for each change, and again when it is gone."""
    session = make_session(5.0, wall=lambda: 0.0)
    told = []
    monkeypatch.setattr(session.engine, "set", lambda key, value: told.append((key, value)))
    monkeypatch.setattr(DebrisController, "seat_gap_m", 3e-4)
    session.playing = True
    session.update(0.02)
    session.update(0.02)
    monkeypatch.setattr(DebrisController, "seat_gap_m", 0.0)
    session.update(0.02)
    assert told == [("lodged_mm", pytest.approx(0.3)), ("lodged_mm", 0.0)]


def test_rewinding_tells_the_rig_of_the_seat_anew(make_session, monkeypatch):
    """A run that leaves the recorded one holds what lies on the seat; without debris nothing is told."""
    session = make_session(5.0)
    told = []
    really = session.engine.set
    monkeypatch.setattr(session.engine, "set", lambda k, v: (told.append((k, v)), really(k, v)))
    session.rewind(2.0)
    assert told == []
    monkeypatch.setattr(DebrisController, "seat_gap_m", 2e-4)
    session.rewind(1.0)
    assert told == []
    session.change("rpm", 800)
    assert told == [("rpm", 800), ("lodged_mm", pytest.approx(0.2))]
