"""The first screen: found in ten seconds, opened in one key, and robust against what lies on the disk."""

import numpy as np
import pygame
import pytest
from glasscan.ui.view_options import TEXT_SCALES, ViewOptions
from glasscan.window import app
from glasscan.window.home import home_drawing, resume_state, thumbnails
from glasscan.window.home.home import MODES, Home
from glasscan.window.home.lesson_index import LessonEntry, LessonIndex, fill
from glasscan.window.home.resume_state import ControlChange, ResumeState
from glasscan.window.home.thumbnail_store import DoorPictures
from glasscan.window.lesson.lesson_loading import Opened
from glasscan.window.open_request import OpenRequest
from glasscan.window.questions.prompt_panel import AnswerSheet

from tests.window.test_layout import problems

FILTERS = {
    "can": "Spin-on can, full flow, dome-end bypass",
    "bowl": "Pleated cartridge in a housing, bypass in the head",
    "discs": "Edge-type stacked-disc filter with scrapers, ball relief valve in the head",
}
ABOUT = "The Tallis T-3 of Marrow Hill stood outside all night. " * 12
LEFT = ResumeState(scenario="cold", title="Cold start on a spin-on filter", t_s=125.0)


def shelf(lessons=9):
    """Three filters; the first has many lessons, the last has none."""
    entries = [
        LessonEntry(f"l{i}", f"Lesson {i} of a rather long name", ABOUT, 1 + i % 3, 900.0, "can")
        for i in range(lessons)
    ]
    return LessonIndex(dict(FILTERS), [*entries, LessonEntry("b", "Blocked", ABOUT, 2, 9e4, "bowl")], 0, True)


@pytest.fixture
def home(monkeypatch, tmp_path):
    """A first screen whose cache holds nothing and whose painter does nothing."""
    monkeypatch.setattr(thumbnails, "cache_folder", lambda: tmp_path)
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: {})
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.WorkerProcess", Idle)
    made = Home(ViewOptions(), shelf(), LEFT)
    made.update(0.0)
    made.draw(pygame.Surface((1920, 1080)))
    return made


class Idle:
    """A helper that never gets anywhere."""

    share, done, trouble = 0.3, False, ""

    def __init__(self, *_):
        self.start = self.poll = self.stop = lambda: None
        self.pieces = []


@pytest.mark.parametrize("text", range(len(TEXT_SCALES)))
@pytest.mark.parametrize("size", [(1280, 720), (1920, 1080), (2560, 1440)])
def test_nothing_is_cut_or_covered(home, size, text):
    """Every text of the first screen and of its help fits, at every size and text scale promised."""
    home.desk.text_index = text
    surface = pygame.Surface(size)
    for light in (False, True):
        home.desk.theme = "light" if light else "dark"
        assert problems(home.draw(surface)) == []
    home.desk.help = True
    assert problems(home.draw(surface)) == []
    for widget in home.form.widgets:
        assert surface.get_rect().contains(widget.box), widget.name


def test_a_newcomer_reads_what_can_be_done(home):
    """The three things to do, the three filters, the lessons and the way back are on the screen in words."""
    words = " ".join(t.text for t in home.draw(pygame.Surface((1920, 1080))).texts).replace("\n", " ")
    for text in (
        "Demonstrate",
        "Practise",
        "Prepare for the exam",
        "Spin-on can",
        "Pleated cartridge",
        "stacked-disc",
        "Lesson 0",
        "level 1",
    ):
        assert text in words
    assert "Carry on" in words
    assert "For teaching only" in words or "approved maintenance data" in words


def test_enter_opens_the_first_lesson_at_once(home, press):
    """One key from the start: the first lesson carries the focus."""
    home.handle(press(pygame.K_RETURN))
    assert home.wanted == OpenRequest("l0", "demonstrate")
    assert home.leave


def test_enter_pressed_too_early_is_not_lost(monkeypatch, press):
    """Whoever presses Enter while the lessons are being read gets the first one once they are there."""
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: {})
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.WorkerProcess", Idle)
    home = Home(ViewOptions(), LessonIndex(), ResumeState())
    home.draw(pygame.Surface((1280, 720)))
    home.handle(press(pygame.K_RETURN))
    home.handle(press(pygame.K_SPACE, " "))
    home.update(0.01)
    assert home.wanted is None
    home.shelf = shelf()
    home.update(0.01)
    assert home.wanted == OpenRequest("l0", "demonstrate")
    waiting = [e.key for e in pygame.event.get(pygame.KEYDOWN)]
    assert waiting == [pygame.K_SPACE]  # for the lesson, which then runs


def look(home, size=(1920, 1080)):
    """Draw once; returns the words shown."""
    canvas = home.draw(pygame.Surface(size))
    return " ".join(t.text for t in canvas.texts).replace("\n", " ")


def test_keys_choose_mode_and_lesson(home, press):
    """A digit chooses what to do, left and right the filter, up and down the lesson."""
    home.handle(press(pygame.K_2, "2"))
    home.handle(press(pygame.K_RIGHT))
    assert "Blocked" in look(home)
    home.handle(press(pygame.K_RETURN))
    assert home.wanted == OpenRequest("b", "practise")


def test_a_filter_is_chosen_by_its_picture(home, press):
    """A click on a door lists the lessons of that filter and goes to them; one without lessons says so."""
    for name, words in (("bowl", "Blocked"), ("discs", "No lesson for this filter yet")):
        door = next(w for w in home.form.widgets if w.name == f"door-{name}")
        home.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=door.box.center))
        assert words in look(home)
    home.handle(press(pygame.K_RIGHT))
    look(home)
    assert home.filter == "can"
    assert home.form.focused.name == "list-can"


def test_the_filter_of_the_lesson_left_is_in_front(monkeypatch, press):
    """Whoever comes back finds the filter they were at, and the keys work all the same."""
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: {})
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.WorkerProcess", Idle)
    home = Home(ViewOptions(), shelf(), ResumeState(scenario="b", title="Blocked", t_s=3.0))
    assert "Blocked" in look(home)
    home.handle(press(pygame.K_RETURN))
    assert home.wanted == OpenRequest("b", "demonstrate")


def png(colour):
    """A picture of one colour."""
    surface = pygame.Surface(thumbnails.SIZE)
    surface.fill(colour)
    return thumbnails.as_png(surface)


def frames(home, count=4):
    """Some frames: a picture is unpacked in each."""
    for _ in range(count):
        home.update(0.0)


def test_pictures_come_as_they_are_ready(home):
    """First the metal of all filters, then the whole picture of each; the metal never replaces it."""
    home.pictures.helper.pieces.append({("can", "dark"): png((9, 9, 9)), ("bowl", "dark"): png((9, 9, 9))})
    home.pictures.helper.share = 0.0
    frames(home)
    assert home.pictures.of("can", "dark").get_at((5, 5))[:3] == (9, 9, 9)
    assert "solving the flow" in look(home)
    home.pictures.helper.share = 0.4
    home.pictures.helper.pieces.append({("can", "dark"): png((200, 100, 0))})
    frames(home)
    assert home._waiting("can") == ""
    assert "40%" in home._waiting("bowl")
    home.pictures.helper.share = 0.0
    home.pictures.helper.pieces.append({("can", "dark"): png((9, 9, 9))})
    frames(home)
    assert home.pictures.of("can", "dark").get_at((5, 5))[:3] == (200, 100, 0)


def test_a_kept_picture_that_is_damaged_is_drawn_anew(monkeypatch):
    """One picture a frame is unpacked; what cannot be read is ordered like what is missing."""
    kept = {"can": png((200, 100, 0)), "bowl": b"no picture"}
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: kept)
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.WorkerProcess", Idle)
    pictures = DoorPictures()
    pictures.look(("can", "bowl"), "dark")
    pictures.update()
    assert pictures.of("can", "dark") is not None
    assert pictures.helper is None
    pictures.update()
    pictures.update()
    assert pictures.of("bowl", "dark") is None
    assert pictures.helper is not None


def test_a_long_list_scrolls_to_what_is_marked(home, press):
    """Arrows reach the last lesson, which is then on the screen."""
    for _ in range(20):
        home.handle(press(pygame.K_DOWN))
    words = [t.text.replace("\n", " ") for t in home.draw(pygame.Surface((1280, 720))).texts]
    assert "Lesson 8 of a rather long name" in words
    home.handle(press(pygame.K_RETURN))
    assert home.wanted.scenario == home.shelf.of("can")[-1].scenario


def test_a_click_on_a_lesson_opens_it(home):
    """One click."""
    rows = next(w for w in home.form.widgets if w.name == "list-can")
    at = rows.row(1).center
    home.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=at))
    assert home.wanted == OpenRequest(home.shelf.of("can")[1].scenario, "demonstrate")


def test_carry_on_goes_back_to_the_lesson_left(home, press):
    """C opens what was left, with the wish to go on."""
    home.handle(press(pygame.K_c, "c"))
    assert home.wanted == OpenRequest("cold", "demonstrate", True)


def test_the_lesson_left_last_is_marked(monkeypatch):
    """Whoever comes back finds the lesson they were in under the ring, not the first of the list."""
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: {})
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.WorkerProcess", Idle)
    home = Home(ViewOptions(), LessonIndex(), ResumeState(scenario="l4", title="Lesson 4"))
    look(home)  # before the lessons are read
    home.shelf = LessonIndex(dict(FILTERS), shelf().entries[:2])
    assert "Reading the lessons" in look(home)  # some are read: no row is shown that would move
    home.shelf = shelf()
    look(home)
    assert home.lessons.marked().scenario == "l4"


def test_the_first_screen_comes_back_as_it_was_left(home, press):
    """What to do, filter and lesson are those of the last visit, also after a way without a lesson."""
    home.handle(press(pygame.K_2, "2"))
    home.handle(press(pygame.K_DOWN))
    marked = home.lessons.marked().scenario
    again = Home(ViewOptions(), home.shelf, home.left, stood=home.stood())
    look(again)
    assert (again.mode, again.filter, again.lessons.marked().scenario) == ("practise", "can", marked)


def test_escape_keeps_the_focus_in_sight(home, press):
    """There is nothing to go back to: Escape takes the ring away from nothing."""
    before = home.form.focused.name
    home.handle(press(pygame.K_ESCAPE))
    assert home.form.focused.name == before
    assert not home.leave


def test_shift_alone_does_not_close_the_sheet_of_keys(home, press):
    """The question mark needs Shift on most keyboards: pressed again it closes the sheet that it opened."""
    for closed in (False, True):
        home.handle(press(pygame.K_LSHIFT))
        assert home.desk.help is closed
        home.handle(press(pygame.K_SLASH, "?"))
        assert home.desk.help is not closed


def test_without_a_past_there_is_nothing_to_carry_on(press):
    """A first launch has no such button, and its key does nothing."""
    home = Home(ViewOptions(), shelf(), ResumeState())
    home.draw(pygame.Surface((1920, 1080)))
    home.handle(press(pygame.K_c, "c"))
    assert home.wanted is None
    assert "carry-on" not in [w.name for w in home.form.widgets]


def test_the_shelf_holds_the_shipped_lessons():
    """Every shipped scenario stands under a filter that is shown."""
    real = LessonIndex()
    fill(real)
    assert real.ready
    assert real.bad == 0
    assert {e.scenario for e in real.entries} >= {"cold-start", "warm-start"}
    assert all(e.filter in real.filters for e in real.entries)


def test_lessons_are_listed_as_they_are_taught():
    """The parts come before the cold start, the rehearsal last; every shipped lesson has its place."""
    shelf = LessonIndex()
    fill(shelf)
    can = [e.scenario for e in shelf.of("can-full-flow")]
    assert can.index("where-the-oil-goes") < can.index("warm-start") < can.index("cold-start") < 3
    assert can[-1] == "dress-rehearsal"
    assert not [e.scenario for e in shelf.entries if e.place is None], "not in assets/course.yaml"


def test_own_lessons_come_first_and_unplaced_ones_last():
    """What an author made is looked for first; a lesson in no course ends the list."""
    entries = [
        LessonEntry("late", "A", ABOUT, 1, 9.0, "can"),
        LessonEntry("taught", "B", ABOUT, 3, 9.0, "can", place=0),
        LessonEntry("mine", "C", ABOUT, 3, 9.0, "can", own=True),
    ]
    listed = LessonIndex(dict(FILTERS), entries, 0, True).of("can")
    assert [e.scenario for e in listed] == ["mine", "taught", "late"]


def test_what_was_left_is_kept(tmp_path):
    """Saved and read again it is the same."""
    path = tmp_path / "deep" / "left.json"
    left = LEFT.model_copy(update={"changes": (ControlChange(t_s=3.0, key="regulator", value="before"),)})
    resume_state.save(left, path)
    assert resume_state.load(path) == left
    assert [p.name for p in path.parent.iterdir()] == ["left.json"]


@pytest.mark.parametrize(
    "bad",
    [
        b"",
        b"{",
        b"\xff\xfe\x00",
        b"[]",
        b'{"scenario": 5}',
        b'{"t_s": -1}',
        b'{"theme": "pink"}',
        b"9" * 300_000,
    ],
)
def test_a_damaged_file_is_a_fresh_start(tmp_path, bad):
    """Whatever the file holds, the window opens."""
    path = tmp_path / "left.json"
    path.write_bytes(bad)
    assert resume_state.load(path) == ResumeState()


def test_a_disk_that_cannot_be_written_is_no_trouble(tmp_path):
    """Where a file stands in the way of the folder, nothing is kept and nothing is said."""
    (tmp_path / "file").write_text("x")
    resume_state.save(LEFT, tmp_path / "file" / "left.json")
    assert resume_state.load(tmp_path / "file" / "left.json") == ResumeState()


def test_modes_have_distinct_names():
    """Three things to do."""
    assert len({title for _, title, _ in MODES}) == 3


def test_filter_picture_is_kept_and_found(tmp_path):
    """A filter is solved and drawn once; the file is found again, and a damaged one is not shown."""
    drawn = thumbnails.work_out(["can-full-flow"], ("dark",), lambda *_: None, tmp_path)
    found = thumbnails.kept(["can-full-flow"], "dark", tmp_path)
    assert found["can-full-flow"] == drawn["can-full-flow", "dark"]
    picture = thumbnails.as_surface(found["can-full-flow"])
    metal = thumbnails.metal_only("can-full-flow", "dark")
    one, other = (pygame.surfarray.array3d(x).astype(int) for x in (metal, picture))
    is_metal = (one != one[0, 0]).any(axis=2)
    alike = [(abs(np.roll(one, by, axis=0) - other).max(axis=2) < 24)[is_metal].mean() for by in (-5, 0, 5)]
    assert alike[1] > max(alike[0], alike[2]) + 0.03  # the metal stands where it stands in the whole picture
    colours = {tuple(picture.get_at((x, 330))[:3]) for x in range(0, picture.get_width(), 3)}
    assert len(colours) > 20
    assert thumbnails.as_surface(found["can-full-flow"][:500]) is None


@pytest.fixture
def sitting(make_session, monkeypatch, tmp_path):
    """A sitting whose lessons are made up, whose state lies in a folder of the test, and what it did."""
    monkeypatch.setattr(resume_state, "state_path", lambda: tmp_path / "left.json")
    monkeypatch.setattr(app, "filled_beside", shelf)
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.kept", lambda *_: {})
    monkeypatch.setattr("glasscan.window.home.thumbnail_store.WorkerProcess", Idle)
    monkeypatch.setattr(app, "open_session", lambda *_, **__: Opened(make_session(5.0), AnswerSheet([])))
    monkeypatch.setattr(app, "do_behind_bar", lambda _, work, __: work(lambda *_: None))
    return app.Application()


def keys(monkeypatch, *codes):
    """Feed one key a frame, then close the window."""
    waiting = [pygame.event.Event(pygame.KEYDOWN, key=c, unicode=t, mod=0) for c, t in codes]
    waiting.append(pygame.event.Event(pygame.QUIT))
    monkeypatch.setattr(app.pygame.event, "get", lambda: [waiting.pop(0)] if waiting else [])


def test_escape_comes_back_and_carry_on_is_offered(sitting, monkeypatch, tmp_path):
    """Open, leave by Escape: the first screen is back and offers the lesson at its moment."""
    from types import SimpleNamespace

    opened, real = [], app.open_session
    monkeypatch.setattr(app, "open_session", lambda *_, **__: opened.append(1) or real(None))
    scenario = SimpleNamespace(title="Cold", scenario="cold-start", prompts=())
    keys(monkeypatch, (pygame.K_i, "i"), (pygame.K_t, "t"), (pygame.K_ESCAPE, ""), (pygame.K_u, "u"))
    sitting.run(scenario)
    assert opened == [1]
    left = resume_state.load(tmp_path / "left.json")
    assert (left.scenario, left.theme, left.t_s) == ("cold-start", "light", 5.0)
    assert sitting.desk.theme == "light"


def test_the_look_is_kept_without_a_lesson(sitting, monkeypatch):
    """Whoever needs large text sets it once: it is there the next time, though nothing was opened."""
    keys(monkeypatch, (pygame.K_PLUS, "+"), (pygame.K_t, "t"))
    sitting.frames = 5
    sitting.choose()
    again = resume_state.load()
    assert (again.text_index, again.theme) == (2, "light")


def test_a_bad_lesson_leads_back_with_one_line(sitting):
    """A scenario that has gone is told on the first screen."""
    assert sitting.open(OpenRequest("no-such-lesson", "practise"))
    assert "no-such-lesson" in sitting.trouble
    home = Home(ViewOptions(), shelf(), ResumeState(), sitting.trouble)
    canvas = home.draw(pygame.Surface((1280, 720)))
    assert any("no-such-lesson" in t.text.replace("\n", " ") for t in canvas.texts)
    assert problems(canvas) == []


def test_a_lesson_that_was_left_is_let_go(sitting, monkeypatch):
    """By the time the next lesson is loaded, screen and session of the one before are gone."""
    import weakref
    from types import SimpleNamespace

    past: list[tuple[weakref.ref, weakref.ref]] = []
    gone: list[bool] = []

    def loop(screen, _frames):
        gone.append(all(ref() is None for pair in past for ref in pair))
        past.append((weakref.ref(screen), weakref.ref(screen.session)))
        screen.leave = True

    monkeypatch.setattr(app, "run_loop", loop)
    scenario = SimpleNamespace(title="Cold", scenario="cold-start", prompts=())
    for _ in range(3):
        assert sitting.lesson(scenario, OpenRequest("cold-start", "demonstrate"))
    assert gone == [True, True, True]


def test_a_long_folder_gives_way_to_line_and_key():
    """On any system: the name of the file and what is wrong with it stay."""
    told = "lesson.yaml:12:3: plant.regulator: expected before or after"
    for folder in ("", "a/b c/", "C:/Users/x y/", "C:\\Users\\x y\\"):
        assert home_drawing.without_folder(folder + told) == told
    assert home_drawing.without_folder("There is no lesson 'a/b'.") == "There is no lesson 'a/b'."
