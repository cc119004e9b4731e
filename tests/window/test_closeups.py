"""Pictures of the close-ups: to scale, in the right colours, every text in its place."""

import numpy as np
import pygame
import pytest
import yaml
from glasscan.filters.closeup.disc_carriers import DiscCarriers
from glasscan.filters.closeup.disc_face import BladeState, DiscFace
from glasscan.filters.closeup.pleat_carriers import PleatCarriers
from glasscan.filters.closeup.pleat_row import PIECES, PleatRow, PleatState
from glasscan.filters.filter_data import CanData, DiscStackData
from glasscan.paths import asset
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import THEMES, load_theme
from glasscan.window.closeup import closeup_painting, disc_closeup, pleat_closeup
from glasscan.window.closeup.pleat_oil import ROOM, THICKER
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.part_labels import leaders_cross

FLOW = 8e-5
SIZES = [(1280, 720), (1920, 1080)]


def _data(name, model):
    return model.model_validate(yaml.safe_load(asset("filters", f"{name}.yaml").read_text()))


@pytest.fixture(scope="module")
def row():
    """Clean pleats of the shipped can."""
    return PleatRow(_data("can-full-flow", CanData).element)


@pytest.fixture
def face():
    """A clean gap of the shipped stack."""
    return DiscFace(_data("disc-stack", DiscStackData))


def _pleats(row, size=(1280, 720), theme="dark", deposit=0.0, mu=0.05, marks=0, **words):
    row.state = PleatState(np.full(PIECES, deposit), np.zeros(PIECES))
    frame = row.frame(FLOW, mu, 2e5)
    surface = pygame.Surface(size)
    carriers = PleatCarriers(frame, marks) if marks else None
    scale = pleat_closeup.pressure_scale(frame)
    canvas = pleat_closeup.draw(
        surface, surface.get_rect(), row, frame, load_theme(theme), scale, carriers=carriers, **words
    )
    return surface, frame, canvas.texts


def _disc(face, size=(1280, 720), theme="dark", marks=0, **words):
    frame = face.fields(4e-6, 0.02, 2e5)
    surface = pygame.Surface(size)
    carriers = DiscCarriers(frame, marks) if marks else None
    scale = disc_closeup.pressure_scale(frame)
    texts = disc_closeup.draw(
        surface, surface.get_rect(), face, frame, load_theme(theme), scale, carriers=carriers, **words
    ).texts
    return surface, frame, texts


def _picture(surface, strip_dp=190.0):
    return closeup_painting.boxes(Canvas(surface, load_theme("dark")), surface.get_rect(), strip_dp).picture


def _colour(pressure_pa, scale, theme="dark"):
    return closeup_painting.ramp_colours(load_theme(theme), np.array(pressure_pa), scale).tolist()


def _texts_fit(texts, surface):
    wrong = [t.text for t in texts if not t.fits]
    overlaps = [
        (a.text, b.text) for k, a in enumerate(texts) for b in texts[:k] if a.drawn.colliderect(b.drawn)
    ]
    assert wrong == []
    assert overlaps == []
    assert all(surface.get_rect().contains(t.drawn) for t in texts)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("theme", THEMES)
def test_every_text_of_the_pleats_fits(row, size, theme):
    """No text is cut, overlaps another or leaves the picture, healthy and collapsed."""
    for deposit, mu in ((0.0, 0.05), (0.2, 3.0)):
        surface, _, texts = _pleats(row, size, theme, deposit, mu)
        _texts_fit(texts, surface)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("theme", THEMES)
def test_every_text_of_the_disc_fits(face, size, theme):
    """No text is cut, overlaps another or leaves the picture, with a good and with a bent blade."""
    face.load(2e-5)
    face.turn(2.0)
    for blade in (BladeState(), BladeState(bent=0.3), BladeState(slip=0.4)):
        face.blade = blade
        surface, _, texts = _disc(face, size, theme)
        _texts_fit(texts, surface)


def test_the_row_is_drawn_to_scale(row):
    """Medium and channels are as wide in pixels as their sizes times the scale of the bar, to a pixel."""
    surface, frame, _ = _pleats(row)
    at = pleat_closeup.view(row, _picture(surface))
    x = at.zero_x + round(0.3 * row.length_m * at.px_m)
    scale = pleat_closeup.pressure_scale(frame)
    clean = np.array(_colour(frame.flow.clean_pa[PIECES // 3] + 2e5, scale))
    column = [surface.get_at((x, at.middle_y + dy))[:3] for dy in range(2 * at.unit_px)]
    blue = [bool(np.abs(np.array(c) - clean).max() < 12) for c in column]
    assert sum(blue) == pytest.approx(2 * (row.half_m - frame.bend_m[6]) * at.px_m, abs=3)
    assert abs(blue.index(True) + sum(blue) / 2 - at.unit_px) <= 1


def test_oil_has_the_colour_of_its_pressure(row):
    """Outside the folds stands the inlet's colour, inside the centre tube the outlet's (leaders cross it)."""
    surface, frame, _ = _pleats(row)
    picture, scale = _picture(surface), pleat_closeup.pressure_scale(frame)
    for x, pressure in ((picture.x + 6, frame.inlet_pa), (picture.right - 6, frame.outlet_pa)):
        colour = tuple(int(c) for c in _colour(pressure, scale))
        seen = [tuple(surface.get_at((x, y))[:3]) for y in range(picture.y + 6, picture.y + 250)]
        assert seen.count(colour) > 0.9 * len(seen)


def test_a_thicker_cake_covers_more_pixels(row):
    """Twice the deposit: twice as many brown pixels between oil and medium, five times as thick as life."""
    counts = []
    for deposit in (0.0, 0.05, 0.1):
        surface, frame, _ = _pleats(row, (1920, 1080), deposit=deposit)
        at = pleat_closeup.view(row, _picture(surface))
        x = at.zero_x + round(0.2 * row.length_m * at.px_m)
        face = frame.surfaces(np.array([0.2 * row.length_m]))
        inside = range(2, int(face[1, 0] * at.px_m))
        rows = np.array(
            [[surface.get_at((x + k, at.middle_y + dy))[:3] for dy in inside] for k in range(20)], float
        )
        oil = np.array(_colour(frame.inlet_pa, pleat_closeup.pressure_scale(frame)))
        counts.append((np.abs(rows - oil).max(axis=2).mean(axis=0) > 60).sum())
        drawn = min(THICKER * frame.cake_m[4], ROOM * face[1, 0])
        assert counts[-1] == pytest.approx(drawn * at.px_m, abs=3)
    assert counts[2] > counts[1] > counts[0]


def test_a_collapsed_row_says_so(row):
    """Pressed-together panels give the warning; a healthy row gives none."""
    _, _, healthy = _pleats(row)
    _, _, pinched = _pleats(row, mu=4.0)
    assert not any("collapse" in t.text for t in healthy)
    assert any("collapse" in t.text for t in pinched)


def _cake_px(surface, at, face, frame, angle):
    """Pixels from the rim outwards along a ray until the bowl's colour is met."""
    bowl = np.array(_colour(frame.outer_pa, disc_closeup.pressure_scale(frame)))
    start = face.ro_m * at.px_m + 2
    for k in range(200):
        r = start + k
        x, y = at.x + r * np.cos(angle), at.y - r * np.sin(angle)
        if np.abs(np.array(surface.get_at((int(x), int(y)))[:3]) - bowl).max() < 4:
            return k + 2
    return 200


def test_a_part_turn_shows_a_step_in_the_cake(face):
    """After 180 degrees the combed half of the rim is drawn thinner, each half as thick as it is (2 px)."""
    face.load(4e-5)
    face.turn(np.pi)
    surface, frame, _ = _disc(face, (1920, 1080))
    at = disc_closeup.view(face, _picture(surface, disc_closeup.STRIP_DP))
    thick = frame.cake_m[0]
    drawn = {}
    for name, angle in (("combed", 1.9), ("left", 4.4)):
        sector = int((angle - frame.turned_rad) % (2 * np.pi) / frame.ring.step_rad)
        drawn[name] = _cake_px(surface, at, face, frame, angle)
        assert drawn[name] == pytest.approx(thick[sector] * at.px_m, abs=2.5)
    assert drawn["left"] > 1.5 * drawn["combed"]


def test_the_arms_turn_and_the_blade_stays(face):
    """Turning moves the separator's arms in the picture; blade and post stay where they are."""
    pictures = []
    for angle in (0.0, np.radians(30)):
        face.turn(angle)
        surface, _, _ = _disc(face)
        pictures.append(pygame.surfarray.array3d(surface).astype(int))
    at = disc_closeup.view(face, _picture(surface, disc_closeup.STRIP_DP))
    changed = np.abs(pictures[0] - pictures[1]).max(axis=2) > 40
    arm = 0.9 * face.ri_m * at.px_m
    there = np.radians(30)
    assert changed[int(at.x + arm * np.cos(there)), int(at.y - arm * np.sin(there))]
    post = (face.data.scraper.post_at_mm + 1.5) * 1e-3 * at.px_m
    x, y = int(at.x + post), int(at.y)
    assert not changed[x - 3 : x + 4, y - 3 : y + 4].any()
    x = int(at.x + 0.9 * face.ro_m * at.px_m)
    assert not changed[x - 3 : x + 4, y - 3 : y + 4].any()


@pytest.mark.parametrize("kind", ["pleats", "disc"])
def test_moving_oil_is_drawn_inside_the_picture_only(row, face, kind):
    """Marks change pixels of the picture and none outside of it."""
    draw = (lambda n: _pleats(row, marks=n)) if kind == "pleats" else (lambda n: _disc(face, marks=n))
    strip = 190.0 if kind == "pleats" else disc_closeup.STRIP_DP
    still, moving = draw(0)[0], draw(300)[0]
    changed = (pygame.surfarray.array3d(still) != pygame.surfarray.array3d(moving)).any(axis=2)
    picture = _picture(still, strip)
    assert changed[picture.x : picture.right, picture.y : picture.bottom].sum() > 3000
    changed[picture.x : picture.right, picture.y : picture.bottom] = False
    assert not changed.any()


def test_leaders_never_cross():
    """Names put beside tips in any order come out with leaders that keep clear of each other."""
    canvas = Canvas(pygame.Surface((1280, 720)), load_theme("dark"))
    random = np.random.default_rng(3)
    for _ in range(20):
        canvas.texts.clear()
        tips = [(float(x), float(y)) for x, y in random.uniform((200, 100), (800, 600), (7, 2))]
        placed = closeup_painting.draw_names(
            canvas,
            pygame.Rect(960, 80, 260, 600),
            [(f"part {k} " + "long " * k, t) for k, t in enumerate(tips)],
        )
        _texts_fit(canvas.texts, canvas.surface)
        pairs = [(a, b) for k, a in enumerate(placed) for b in placed[:k]]
        assert not any(leaders_cross(a, b) for a, b in pairs)


def test_the_scale_bar_is_as_long_as_it_says():
    """At 40,000 px/m the bar is 2 mm = 80 px: that many pixels between its ends."""
    canvas = Canvas(pygame.Surface((1280, 720)), load_theme("light"))
    closeup_painting.scale_bar(canvas, (100, 100), 4e4)
    ink, pixels = load_theme("light")["ink"], pygame.surfarray.array3d(canvas.surface)
    rows = (pixels == np.array(ink)).all(axis=2)
    row = int(rows.sum(axis=0).argmax())
    across = np.flatnonzero(rows[:, row])
    assert [t.text for t in canvas.texts] == ["2 mm"]
    assert across[-1] - across[0] + 1 == 80


def test_fast_oil_is_slowed_until_the_eye_can_follow(row):
    """The drawn rate falls as the flow rises; nine tenths of the oil stay below 200 dp a second."""
    surface = pygame.Surface((1920, 1080))
    row.state = PleatState(np.zeros(PIECES), np.zeros(PIECES))
    at, rates = pleat_closeup.view(row, _picture(surface)), []
    for q in (1e-6, 1e-5, 1e-4):
        frame = row.frame(q, 0.05)
        rates.append(pleat_closeup.drawn_rate(row, frame, surface.get_rect(), surface))
        assert np.percentile(np.abs(frame.dirty.u_m_s), 90) * at.px_m * rates[-1] < 200
    assert rates == sorted(rates, reverse=True)
    assert rates[0] > rates[2]


def test_the_pressure_scale_holds_the_whole_drop(row, face):
    """The ramp starts at the low side and its span is a round number at or above the drop."""
    frame = row.frame(FLOW, 0.05, 2e5)
    assert pleat_closeup.pressure_scale(frame).low_pa == 2e5
    assert frame.flow.dp_pa <= pleat_closeup.pressure_scale(frame).span_pa <= 1.4 * frame.flow.dp_pa
    other = face.fields(4e-6, 0.02, 1e5)
    assert isinstance(disc_closeup.pressure_scale(other), PressureScale)
    assert disc_closeup.pressure_scale(other).span_pa >= other.outer_pa - other.inner_pa
