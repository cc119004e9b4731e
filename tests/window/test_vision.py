"""Contrast measured on the pictures themselves, and what is left of them with colour-vision deficiency."""

from itertools import pairwise

import numpy as np
import pygame
import pytest
from glasscan.ui import theme as th
from glasscan.ui.canvas import Canvas
from glasscan.window.contract import KINDS as OIL
from glasscan.window.cutaway.streaks import legend_sprite
from glasscan.window.lesson.gauges import valve_chip

from tests.window import gallery
from tests.window.vision import KINDS, MACHADO, luminance, ratio, seen

THEMES = [th.load_theme(name) for name in th.THEMES]
LEAST = 4.5


@pytest.fixture(scope="module")
def pictures():
    """Every state once: pixels (w, h, 3) and the canvas with its record of texts."""
    pygame.display.init()
    pygame.display.set_mode((640, 480))
    return {name: draw() for name, draw in gallery.STATES.items()}


def background(surface, box):
    """The commonest colour behind a text."""
    pixels = pygame.surfarray.array3d(surface.subsurface(box.clip(surface.get_rect())))
    colours, counts = np.unique(pixels.reshape(-1, 3), axis=0, return_counts=True)
    return colours[counts.argmax()]


def test_deficiency_keeps_greys():
    """Rows sum to one: a grey is the same grey for everybody."""
    for kind in MACHADO:
        assert np.allclose(np.array(MACHADO[kind]).sum(axis=1), 1.0, atol=2e-3)
        assert seen([128, 128, 128], kind) == pytest.approx([128] * 3, abs=1)


def test_red_and_green_are_confused_by_the_simulation():
    """Red and green of equal luminance, far apart to most eyes, come close for protan and deutan eyes."""
    red, green = np.array([200, 60, 60]), np.array([60, 122, 60])
    usual = np.linalg.norm(red - green)
    for kind in ("protan", "deutan"):
        assert np.linalg.norm(seen(red, kind) - seen(green, kind)) < 0.5 * usual


@pytest.mark.parametrize("name", gallery.STATES)
@pytest.mark.parametrize("kind", KINDS)
def test_every_text_stands_out_from_what_is_behind_it(pictures, name, kind):
    """WCAG 2.2, 1.4.3 measured on the picture: 4.5:1 for every text of every state, for all eyes."""
    surface, canvas = pictures[name]
    assert canvas.texts
    weak = {}
    for text in (t for t in canvas.texts if t.text.strip()):
        back = background(surface, text.drawn)
        contrast = ratio(seen(text.colour, kind), seen(back, kind))
        if contrast < LEAST:
            weak[text.text] = round(float(contrast), 2)
    assert weak == {}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("theme", THEMES, ids=th.THEMES)
def test_kinds_of_oil_are_told_apart_without_colour(theme, kind):
    """In grey the three marks differ by their pattern: how often light and dark change along the middle."""
    signs = {}
    for word in OIL:
        swatch = legend_sprite(theme, word, 160, 1.0)
        row = luminance(seen(pygame.surfarray.array3d(swatch)[:, swatch.get_height() // 2], kind))
        assert (row.max() + 0.05) / (row.min() + 0.05) >= 3.0, word
        bright = row > np.sqrt((row.max() + 0.05) * (row.min() + 0.05)) - 0.05
        signs[word] = int(np.count_nonzero(np.diff(bright)))
    counts = sorted(signs.values())
    assert all(b >= 1.3 * a for a, b in pairwise(counts)), signs


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("theme", THEMES, ids=th.THEMES)
def test_cut_parts_stand_out_from_oil_of_any_pressure(theme, kind):
    """Fill, hatching or outline of every material stands 3:1 from every colour of the ramp."""
    ramp = seen(theme.ramp[::8], kind)
    outline = ratio(seen(theme["outline"], kind), ramp)
    for word, material in theme.materials.items():
        fill, hatch = (ratio(seen(c, kind), ramp) for c in (material.fill, material.hatch))
        assert np.all(np.maximum(np.maximum(fill, hatch), outline) >= 3.0), word


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("theme", THEMES, ids=th.THEMES)
def test_open_and_shut_differ_in_grey(theme, kind):
    """The sign of the valve: filled when open, empty when shut, and its words stand out in both."""
    from tests.window.standin import Engine

    light = {}
    for at_s in (1.0, 30.0):
        engine = Engine()
        engine.advance(at_s)
        s = engine.snapshot()
        surface = pygame.Surface((300, 60))
        surface.fill(theme["sheet"])
        valve_chip(Canvas(surface, theme), pygame.Rect(10, 10, 280, 40), s)
        light[s.lift_m > 0] = seen(background(surface, pygame.Rect(40, 14, 220, 32)), kind)
    assert set(light) == {True, False}
    assert ratio(light[True], light[False]) >= 3.0


@pytest.mark.parametrize("kind", KINDS)
def test_curves_of_the_trace_differ_in_grey_or_dash(kind):
    """Inlet solid and thin, outlet dashed, difference solid and thick; all stand out from the plot."""
    from glasscan.window.lesson.trace_axes import PRESSURES

    patterns = [(dash > 0, width) for _, _, dash, width in PRESSURES]
    assert len(set(patterns)) == len(patterns)
    for theme in THEMES:
        assert ratio(seen(theme["inlet"], kind), seen(theme["well"], kind)) >= 3.0
        assert ratio(seen(theme["dp"], kind), seen(theme["well"], kind)) >= 3.0


def pages():
    """Pages of the other ways in that need no run: their first ones, and a job at the bench."""
    from glasscan.ui.page_widgets import Row
    from glasscan.ui.view_options import ViewOptions
    from glasscan.window.bench.choose_filter_page import ChoosePage
    from glasscan.window.bench.choose_job_page import ChooseJobPage
    from glasscan.window.cases.start_page import StartPage
    from glasscan.window.study.nickname_page import WhoPage
    from glasscan.window.study.session_end_page import OverPage

    return {
        "case": lambda theme: StartPage(ViewOptions(theme=theme), [], None, "The file is damaged."),
        "bench": lambda theme: ChoosePage(ViewOptions(theme=theme)),
        "job": lambda theme: ChooseJobPage(ViewOptions(theme=theme)),
        "who": lambda theme: WhoPage(ViewOptions(theme=theme), ["Wen", "Tomas"]),
        "over": lambda theme: OverPage(
            ViewOptions(theme=theme), "Over", "8 of 9 marks", [Row("a", "One", "two", "3")]
        ),
    }


@pytest.mark.parametrize("theme", th.THEMES)
@pytest.mark.parametrize("name", ["case", "bench", "job", "who", "over"])
def test_texts_of_pages_stand_out_too(name, theme):
    """The same rule, measured on pages: 4.5:1 for all eyes."""
    page = pages()[name](theme)
    surface = pygame.Surface(gallery.SIZE)
    page.draw(surface)
    canvas = page.draw(surface)
    weak = {}
    for text in (t for t in canvas.texts if t.text.strip()):
        back = background(surface, text.drawn)
        contrast = min(float(ratio(seen(text.colour, kind), seen(back, kind))) for kind in KINDS)
        if contrast < LEAST:
            weak[text.text] = round(contrast, 2)
    assert weak == {}
    if hasattr(page, "close"):
        page.close()
