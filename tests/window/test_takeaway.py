"""What is taken away: files that are whole, stamped, never overwritten, and written beside the frames."""

import csv
import html.parser

import numpy as np
import pygame
import pytest
from glasscan import __version__
from glasscan.reports.handout import handout_page, key_page
from glasscan.signals import SIGNALS
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson import takeaway
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import Facts
from glasscan.window.lesson.takeaway import Prints, Taker, stamp, stamped
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError
from PIL import Image

from tests.learning.playing import shipped_run
from tests.window.test_layout import SIZES, problems

FACTS = Facts("Cold start", scenario="cold-start", seed=41)


@pytest.fixture
def taker(tmp_path):
    """A taker into a folder of the test."""
    return Taker(FACTS, None, tmp_path / "out")


def files(tmp_path):
    """Names of what was written."""
    return sorted(p.name for p in (tmp_path / "out").iterdir())


def test_the_stamp_says_what_it_must():
    """Scenario, seed, version and that it is for teaching only."""
    for part in ("cold-start", "seed 41", __version__, "Teaching only"):
        assert part in stamp(FACTS)


def test_pictures_are_whole_and_never_overwritten(taker, tmp_path):
    """Two pictures are two files that can be read again, with a strip for the stamp below the window."""
    surface = pygame.Surface((1280, 720))
    surface.fill((200, 10, 10))
    for _ in range(2):
        taker.picture(surface, "dark")
        taker.wait()
    assert files(tmp_path) == ["cold-start-2.png", "cold-start.png"]
    again = pygame.image.load(tmp_path / "out" / "cold-start.png")
    assert again.get_width() == 1280
    assert again.get_height() > 720
    assert again.get_at((5, 5))[:3] == (200, 10, 10)
    assert "cold-start.png" in taker.notice or "cold-start-2.png" in taker.notice


def test_the_strip_carries_the_stamp():
    """The strip is not empty: the stamp is drawn on it."""
    surface = pygame.Surface((1280, 720))
    with_words = stamped(surface, stamp(FACTS), "light")
    strip = with_words.subsurface(pygame.Rect(0, 720, 1280, with_words.get_height() - 720))
    assert len(set(pygame.surfarray.array2d(strip).ravel().tolist())) > 5


def test_the_trace_is_a_table_with_units(taker, tmp_path, make_session):
    """All signals of the run so far, under a head with units; its origin stands beside it."""
    session = make_session(5.0)
    taker.trace(session.trace)
    taker.wait()
    path = tmp_path / "out" / "cold-start-trace.csv"
    rows = list(csv.DictReader(path.read_text().splitlines()))
    assert len(rows) == session.trace.rows
    assert float(rows[-1]["dp [kPa]"]) == pytest.approx(session.snapshot.dp_pa / 1e3, abs=1e-6)
    assert float(rows[-1]["time [s]"]) == pytest.approx(5.0)
    table = np.genfromtxt(path, delimiter=",", names=True)  # an outside reader sees numbers in every column
    assert len(table.dtype.names) == 1 + len(SIGNALS)
    assert np.isfinite(table["dp_kPa"]).all()
    assert path.with_suffix(".txt").read_text() == f"{stamp(FACTS)}\n"


def test_a_clip_gathers_its_seconds_and_is_written(taker, tmp_path):
    """Pictures are gathered at their pace until the clip is long enough, with the progress told; it plays."""
    taker.clip()
    surface = pygame.Surface((1280, 720))
    for i in range(600):
        surface.fill((i % 200, 40, 90))
        taker.frame(surface, 0.02, "dark")
        if taker.recording:
            assert taker.notice.startswith("Recording a clip…")
    taker.wait()
    assert not taker.recording
    with Image.open(tmp_path / "out" / "cold-start.gif") as clip:
        assert clip.n_frames == round(takeaway.SECONDS / takeaway.EVERY_S)
        assert clip.width == takeaway.CLIP_W
        assert clip.info["duration"] == pytest.approx(takeaway.EVERY_S * 1000)


def test_a_disk_that_refuses_is_told(tmp_path):
    """A folder that cannot be made is one line."""
    (tmp_path / "file").write_text("x")
    taker = Taker(FACTS, None, tmp_path / "file" / "out")
    taker.picture(pygame.Surface((640, 360)), "dark")
    taker.wait()
    assert taker.notice.startswith("Not saved: ")
    assert "\n" not in taker.notice


def test_sheet_and_key_are_two_files(tmp_path):
    """The sheet is written at once, the key in a file of its own as soon as the run is known."""
    waits = [AnswersAwaitedError("not yet")] * 3

    def log():
        if waits:
            raise waits.pop()
        return "the run"

    taker = Taker(FACTS, Prints(lambda: "sheet", lambda run: f"key of {run}", log), tmp_path / "out")
    taker.sheet()
    taker.wait()
    assert files(tmp_path) == ["cold-start-sheet.html"]
    for _ in range(5):
        taker.update()
    taker.wait()
    assert files(tmp_path) == ["cold-start-key.html", "cold-start-sheet.html"]
    assert (tmp_path / "out" / "cold-start-key.html").read_text() == "key of the run"


def test_a_key_that_cannot_be_had_is_told(tmp_path):
    """The failure of the run is one line, once."""

    def log():
        raise AnswersMissingError("The answers could not be worked out.")

    taker = Taker(FACTS, Prints(lambda: "sheet", str, log), tmp_path / "out")
    taker.sheet()
    taker.wait()
    taker.update()
    assert "could not be worked out" in taker.notice
    taker.notice = ""
    taker.update()
    assert taker.notice == ""


class Tags(html.parser.HTMLParser):
    """Open tags and text of a page."""

    def __init__(self, text):
        super().__init__()
        self.open, self.words, self.seen = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        """An opening tag; void ones do not close."""
        del attrs
        self.seen.append(tag)
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        """Every closing tag closes the last one opened."""
        assert self.open.pop() == tag

    def handle_data(self, data):
        """Text."""
        self.words.append(data)


@pytest.fixture(scope="module")
def cold_run():
    """The shipped cold start and its run."""
    from glasscan.learning.scenario_loading import load_scenario

    return load_scenario("cold-start"), shipped_run("cold-start")


def test_the_sheet_has_blank_axes_and_no_answers(cold_run):
    """Axes with a grid, every question, the caution and the stamp; the key's answers are not on it."""
    scenario, log = cold_run
    sheet, key = Tags(handout_page(scenario)), Tags(key_page(scenario, log))
    assert sheet.open == key.open == []
    assert sheet.seen.count("svg") == 3  # the section with blanks, and two pairs of axes
    assert sheet.seen.count("line") >= 2 * (11 + 7)
    text, answers = " ".join(sheet.words), " ".join(key.words)
    assert scenario.safety in text
    for words in (text, answers):
        assert "Teaching model only" in words
        assert f"seed {scenario.seed}" in words
        assert "cold-start" in words
    unfiltered = f"{log.unfiltered_m3 * 1e3:.0f}"
    assert unfiltered in answers
    assert "as the oil warms" in answers
    assert "That is the price of not starving them" not in text


@pytest.mark.parametrize("name", ["dress-rehearsal", "numbered-mat", "where-the-oil-goes"])
def test_every_kind_of_question_has_a_key(name):
    """Lessons with steps, parts, entries and several answers give a sheet and a key."""
    from glasscan.learning.scenario_loading import load_scenario

    scenario = load_scenario(name)
    key = Tags(key_page(scenario, shipped_run(name)))
    assert key.seen.count("strong") == len(scenario.prompts)
    assert len(Tags(handout_page(scenario)).words) > 20


@pytest.mark.parametrize("text", range(4))
@pytest.mark.parametrize("size", SIZES)
def test_page_and_notice_fit(make_session, size, text):
    """The page of the drawer and a long notice fit."""
    screen = Screen(make_session(5.0), ViewOptions(text_index=text, drawer=True, page="take away"))
    assert problems(screen.draw(pygame.Surface(size))) == []
    screen.taker.notice = "Saved: /a/very/long/folder/of/somebody" * 4
    assert problems(screen.draw(pygame.Surface(size))) == []


def test_k_keeps_the_picture_without_the_drawer(make_session, press, tmp_path):
    """The key saves what the class sees; the drawer is open again afterwards."""
    screen = Screen(make_session(5.0), ViewOptions(drawer=True))
    screen.taker = Taker(FACTS, None, tmp_path / "out")
    screen.draw(pygame.Surface((1280, 720)))
    screen.handle(press(pygame.K_k, "k"))
    screen.taker.wait()
    assert files(tmp_path) == ["cold-start.png"]
    assert screen.desk.drawer


def test_the_foot_of_a_picture_makes_it_again(tmp_path):
    """K writes the command with the controls moved; typed, it draws the same moment: drop and lift agree."""
    import shlex

    from glasscan.cli.main import main
    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.window.lesson.lesson_loading import open_session

    session = open_session(load_scenario("cold-start", []), keys=False).session
    session.run_to(12.0)
    session.change("rpm", 1200.0)
    session.run_to(20.0)
    screen = Screen(session, predict=False)
    screen.taker = Taker(session.facts, None, tmp_path / "out")
    canvas = screen.draw(pygame.Surface((1280, 720)))
    told = takeaway.command_line(session.facts, 20.0, session.moved, "dark")
    assert "--move 12:rpm=1200" in told
    words = shlex.split(told)[1:]
    made = tmp_path / "again.png"
    assert main([*words, "--out", str(made), "--size", "1280x720"]) == 0
    again = [w for w in words if w != "--json"]
    assert made.exists()
    from glasscan.window.lesson.offscreen_pictures import drawn_frame

    _, drawn = drawn_frame(
        load_scenario(again[1], []), 20.0, None, (1280, 720), "dark", "section", True, [(12.0, "rpm", 1200.0)]
    )
    assert drawn["valve_lift_mm"] == pytest.approx(canvas.drawn["valve_lift_mm"], abs=0.02)


def test_a_clip_has_no_panels(make_session, tmp_path):
    """The pictures of a clip are the middle of the window: gauges and controls stay out."""
    screen = Screen(make_session(5.0), ViewOptions(drawer=True))
    screen.taker = Taker(FACTS, None, tmp_path / "out")
    screen.draw(pygame.Surface((1280, 720)))
    screen.clip()
    assert not screen.desk.drawer
    screen.draw(pygame.Surface((1280, 720)), 0.1)
    picture = screen.taker._clip[0]
    assert picture.get_width() / picture.get_height() < 1.45  # the window's own shape is 1.78
