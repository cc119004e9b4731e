"""The window's boxes: no overlap, no text outside its box, at every size and text scale promised."""

import itertools

import pygame
import pytest
from glasscan.ui.canvas import ROLES
from glasscan.ui.view_options import TEXT_SCALES
from glasscan.window.cutaway.part_labels import leaders_cross
from glasscan.window.lesson.window_layout import arrange

SIZES = [(1280, 720), (1920, 1080), (2560, 1440)]
PARTS = ["title", "pace", "clock", "run", "speed", "more", "caption", "right", "key", "can"]
CASES = list(itertools.product(SIZES, range(len(TEXT_SCALES))))


@pytest.mark.parametrize("drawer", [False, True])
@pytest.mark.parametrize(("size", "text"), CASES)
def test_boxes_lie_apart_inside_the_window(size, text, drawer):
    """Boxes that are seen together neither overlap nor leave the window."""
    layout = arrange(size, TEXT_SCALES[text], drawer)
    names = [n for n in PARTS if not (drawer and n == "key")] + (["drawer"] if drawer else [])
    names += [n for n in ("names_left", "names_right") if layout[n].w > 0]
    window = pygame.Rect((0, 0), size)
    assert all(window.contains(layout[name]) for name in names)
    for one, other in itertools.combinations(names, 2):
        assert not layout[one].colliderect(layout[other]), (one, other)


@pytest.mark.parametrize(("size", "text"), CASES)
def test_gauges_and_slot_fill_the_right_column_without_overlap(size, text):
    """Seven gauges and the slot under them lie apart inside their column, and the slot keeps room to draw."""
    layout = arrange(size, TEXT_SCALES[text])
    boxes = [layout["hero"], *(layout[f"cell{i}"] for i in range(6)), layout["slot"]]
    assert all(layout["right"].contains(box) for box in boxes)
    for one, other in itertools.combinations(boxes, 2):
        assert not one.colliderect(other)
    assert layout["slot"].h > 0.15 * size[1]


def problems(canvas):
    """Texts that do not fit, leave the window, or cover another text."""
    window = canvas.surface.get_rect()
    found = [f"does not fit: {t.text}" for t in canvas.texts if t.essential and not t.fits]
    found += [f"outside the window: {t.text}" for t in canvas.texts if not window.contains(t.drawn)]
    for one, other in itertools.combinations(canvas.texts, 2):
        common = one.drawn.clip(other.drawn)
        if common.w > 2 and common.h > 2:
            found.append(f"overlap: {one.text} / {other.text}")
    return found


@pytest.mark.parametrize("slot", ["trace", "valve", "events"])
@pytest.mark.parametrize("drawer", [False, True])
@pytest.mark.parametrize(
    ("size", "text"), [((1280, 720), 1), ((1920, 1080), 1), ((1920, 1080), 3), ((2560, 1440), 1)]
)
def test_no_text_is_cut_or_covered(make_screen, size, text, drawer, slot):
    """Every essential text fits its box, and none lies over another, in all unit systems."""
    screen = make_screen(30.0, text_index=text, drawer=drawer, slot=slot)
    for units in range(3):
        screen.desk.units_index = units
        assert problems(screen.draw(pygame.Surface(size))) == []


def test_text_is_large_enough_for_the_back_of_the_room(make_screen):
    """At 1080p text is at least 24 px and numbers at least 40 px (common practice, no source)."""
    canvas = make_screen(30.0).draw(pygame.Surface((1920, 1080)))
    assert min(ROLES[t.role] for t in canvas.texts) >= 24
    assert canvas.size_px("body") >= 24
    assert canvas.size_px("number") >= 40
    gauges = [t for t in canvas.texts if t.role in ("number", "hero")]
    assert len(gauges) >= 8


def test_the_smallest_text_grows_with_the_window(make_screen):
    """The picture scales as a whole: at 1440p the same text is a third larger than at 1080p."""
    screen = make_screen(30.0)
    small = screen.draw(pygame.Surface((1920, 1080)))
    large = screen.draw(pygame.Surface((2560, 1440)))
    assert large.size_px("body") == pytest.approx(small.size_px("body") * 4 / 3, abs=1)


@pytest.mark.parametrize("text", [1, 3])
@pytest.mark.parametrize("size", SIZES)
def test_leader_lines_do_not_cross(make_screen, size, text):
    """Part names have leader lines that do not cross, and name boxes that lie apart."""
    screen = make_screen(30.0, text_index=text)
    screen.draw(pygame.Surface(size))
    labels = screen.stage.placed
    assert len(labels) == len(screen.session.section.parts)
    for one, other in itertools.combinations(labels, 2):
        assert not leaders_cross(one, other), (one.text, other.text)
        assert not one.box.colliderect(other.box), (one.text, other.text)


@pytest.mark.parametrize("drawer", [False, True])
@pytest.mark.parametrize(("size", "text"), [((1280, 720), 1), ((1920, 1080), 3)])
def test_real_part_names_fit_too(make_session, real_can, size, text, drawer):
    """The shipped can's own part names fit beside it without crossing leaders."""
    from glasscan.ui.view_options import ViewOptions
    from glasscan.window.lesson.lesson_screen import Screen

    session = make_session(30.0)
    session.section = real_can
    screen = Screen(session, ViewOptions(text_index=text, drawer=drawer))
    assert problems(screen.draw(pygame.Surface(size))) == []
    for one, other in itertools.combinations(screen.stage.placed, 2):
        assert not leaders_cross(one, other), (one.text, other.text)


def test_demonstrate_mode_shows_three_controls(make_screen):
    """Until asked for, at most three controls can be seen; the drawer brings the rest."""
    screen = make_screen(1.0)
    screen.draw(pygame.Surface((1920, 1080)))
    assert [w.name for w in screen.form.shown() if w.name != "trace"] == ["run", "speed", "more"]
    screen.desk.drawer = True
    names = []
    for screen.desk.page in ("rig", "view"):
        screen.draw(pygame.Surface((1920, 1080)))
        names += [w.name for w in screen.form.shown()]
    assert {"air", "rpm", "fluid", "regulator", "names", "units", "theme"} <= set(names)
