"""Every page of a case at the sizes and text scales promised: no text cut, none over another, all units."""

import pygame
import pytest
from glasscan.learning.cases.case_play import CANNOT_TELL, Case, hidden_of
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import load_theme
from glasscan.ui.view_options import TEXT_SCALES, ViewOptions
from glasscan.window.cases.case_layout import places
from glasscan.window.cases.case_page import TABS as TAB_WORDS
from glasscan.window.cases.case_page import CasePage
from glasscan.window.cases.case_session import CaseSession
from glasscan.window.cases.case_store import StoredCase
from glasscan.window.cases.debrief_data import gather
from glasscan.window.cases.debrief_page import TABS, DebriefPage
from glasscan.window.cases.start_page import StartPage
from glasscan.window.cases.unsafe_page import UnsafePage

from tests.window.cases.conftest import seeds_after, silent
from tests.window.test_layout import problems

SIZES = [(1280, 720), (1920, 1080), (2560, 1440)]
LOOKS = [(size, text) for size in SIZES for text in (TEXT_SCALES.index(1.0), TEXT_SCALES.index(1.5))]


def worked(seed):
    """A case with acts, three tests and a hint, so that every kind of row is there."""
    case = Case.begin(seed, "can", 2)
    case.think(case.suspects[:5])
    case.order("read-log")
    case.act("start")
    case.order("pressure-pattern")
    case.order("particle-count")
    case.helped("hint-1")
    return case


def seen(page, look):
    """Problems of a page as it looks with a size and a text scale."""
    size, page.desk.text_index = look
    return problems(page.draw(pygame.Surface(size)))


@pytest.mark.parametrize("look", LOOKS)
def test_the_page_of_a_case_fits(runnable, real_can, look):
    """All four panes, a test that waits for its hypothesis, the large number and the keys."""
    work = CaseSession(worked(runnable[0]))
    page = CasePage(ViewOptions(), work, real_can)
    for k, pane in enumerate(("tests", "suspects", "verdict", "help")):
        page.open(pane)
        page.desk.units_index = k % 3
        assert seen(page, look) == [], pane
    work.apart()
    work.help(3)
    assert seen(page, look) == []
    work.ask("needle-fall")
    assert seen(page, look) == []
    for act in ("stop", "release"):  # the engine stands, under pressure and then without
        work.case.act(act)
        assert seen(page, look) == [], act
    work.case.order("cut-open")
    work.case.order("valve-bench")
    assert seen(page, look) == []
    page.number = True
    assert seen(page, look) == []
    page.number, page.desk.help = False, True
    assert seen(page, look) == []


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("level", [1, 3])
def test_the_other_levels_fit(runnable, real_can, look, level):
    """Untouched, with little and with no help, at each pane."""
    page = CasePage(ViewOptions(), CaseSession(Case.begin(runnable[1], "can", level)), real_can)
    for pane in ("tests", "suspects", "verdict", "help"):
        page.open(pane)
        assert seen(page, look) == [], pane


@pytest.mark.parametrize("look", LOOKS)
def test_a_long_complaint_leaves_room(real_can, look):
    """A rig without pressure has much to complain of; the gauges that were noted are seen all the same."""
    seed = next(seed for seed in seeds_after() if not hidden_of(seed, "can").runnable)
    page = CasePage(ViewOptions(), CaseSession(Case.begin(seed, "can", 2)), real_can)
    assert seen(page, look) == []
    texts = [t.text for t in page.draw(pygame.Surface(look[0])).texts]
    assert "hot idle" in texts


def test_the_longest_complaint_leaves_the_readings_their_room():
    """A sentence of 250 letters at 150 % takes less than half of the column; a short one is written large."""
    canvas = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"), 1.5)
    body = pygame.Rect(48, 125, 1824, 855)
    long = places(canvas, body, "oil pressure low; " * 14, ["caution"], TAB_WORDS)
    assert long.known.h > 0.45 * body.h
    short = places(canvas, body, "Oil low.", ["caution"], TAB_WORDS)
    line = canvas.measure("Ag", "title")[1]
    assert short.complaint.h >= line + canvas.measure("Ag")[1]


@pytest.mark.parametrize("look", LOOKS)
def test_what_is_known_fits_row_by_row(runnable, real_can, look):
    """Rolled down to the flight line's gauges, in psi and degF."""
    page = CasePage(ViewOptions(units_index=1), CaseSession(worked(runnable[0])), real_can)
    seen(page, look)
    roll = next(w for w in page.form.widgets if w.name == "known")
    page.form.focus_on("known")
    last = -1
    while roll.top > last:
        last = roll.top
        roll.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_DOWN, unicode="", mod=0))
        assert seen(page, look) == []
    assert last > 5


@pytest.fixture(scope="module")
def told(runnable):
    """A wrong verdict after four tests, and all that is told of it."""
    case = worked(runnable[0])
    case.decide(
        next(c for c in case.suspects if c != case.hidden.code),
        "Fit the part that the parts list names, with a new ring.",
        "Found low pressure at hot idle; element replaced; leak check good; released by the engineer.",
    )
    return gather(case, silent)


@pytest.mark.parametrize("look", LOOKS)
def test_the_review_fits(told, real_can, look):
    """All seven parts, in each of the unit systems in turn."""
    page = DebriefPage(ViewOptions(), told, real_can)
    for k, (tab, _) in enumerate(TABS):
        page.open(tab)
        page.desk.units_index = k % 3
        assert seen(page, look) == [], tab


@pytest.mark.parametrize("look", LOOKS[:2])
def test_the_review_of_a_guess_fits(runnable, real_can, look):
    """A verdict without a test: no path of one's own, one point of belief, one line to go on from."""
    case = Case.begin(runnable[1], "can", 1)
    case.decide(CANNOT_TELL)
    page = DebriefPage(ViewOptions(), gather(case, silent), real_can, "can-1-level-1.json")
    for tab, _ in TABS:
        page.open(tab)
        assert seen(page, look) == [], tab


@pytest.mark.parametrize("look", LOOKS)
def test_start_and_unsafe_end_fit(runnable, look):
    """With cases to go on with and without; the longest reason for a stop."""
    kept = [
        StoredCase("x", 2147483647, kind, 3, 12, over)
        for kind in ("can", "cartridge")
        for over in (True, False)
    ]
    for some in (kept, []):
        page = StartPage(ViewOptions(), some)
        page.seed = "2147483647"
        assert seen(page, look) == []
    case = Case.begin(runnable[0], "can", 2)
    case.think(["F06"])
    case.order("cut-open")
    assert seen(UnsafePage(ViewOptions(), case), look) == []


def test_text_is_large_enough_for_the_back_of_the_room(runnable, real_can):
    """At 1080p text is at least 24 px and the noted gauges at least 40 px (common practice, no source)."""
    page = CasePage(ViewOptions(), CaseSession(Case.begin(runnable[0], "can", 2)), real_can)
    canvas = page.draw(pygame.Surface((1920, 1080)))
    assert min(canvas.size_px(t.role) for t in canvas.texts) >= 24
    assert sum(canvas.size_px(t.role) >= 40 for t in canvas.texts) >= 4
