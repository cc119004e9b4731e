"""Parts of the case pages: figures in the reader's units, rows, plots, the outline, the record cut short."""

from itertools import product

import numpy as np
import pygame
import pytest
from glasscan.learning.cases.case_play import RefusedError
from glasscan.learning.cases.generate import ERRORS
from glasscan.learning.cases.test_menu import MeasuredReading, menu
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import SYSTEMS
from glasscan.ui.plots import pieces
from glasscan.ui.theme import load_theme
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cases import case_store
from glasscan.window.cases.case_page import CasePage
from glasscan.window.cases.case_session import CaseSession, cut, refusal
from glasscan.window.cases.case_wording import NEEDS, RISKS, STATES, spoken
from glasscan.window.cases.closed_filter import reach, shape
from glasscan.window.cases.debrief_data import gather, in_the_hand, telling_readings, wrong_turns
from glasscan.window.cases.fault_locations import INSIDE, PLACES, where
from glasscan.window.cases.finding_spots import SPOTS, numbered, read_inside, sign
from glasscan.window.cases.known_rows import Heading, Note, Roll
from glasscan.window.cases.reading_texts import figure, rounded

from tests.window.cases.conftest import silent

KPA, PSI, BAR = SYSTEMS


def gauge(**change):
    """A reading of the gauge."""
    values = {"what": "gauge_idle_kpa", "label": "gauge", "unit": "kPa", "scale": "linear", "error": 8.0}
    return MeasuredReading.model_validate(values | change)


def test_pressures_come_in_the_readers_units():
    """413.7 kPa is 60.0 psi: 1 psi = 6.894757 kPa (NIST SP 811, table of conversion factors)."""
    got = figure(gauge(resolution=5.0), 413.685, PSI, 1.0, {"gauge_idle_kpa": 206.843})
    assert (got.value, got.unit, got.sound) == (
        "60.0",
        "psi",
        "29.7",
    )  # the sound rig on the dial's steps: 205
    assert got.error.replace("\u00a0", " ") == "± 1.2 psi, dial step 0.73 psi"
    assert got.away == pytest.approx((413.685 - 205.0) / (8.0**2 + 5.0**2 / 12) ** 0.5)  # GUM: uniform step
    assert figure(gauge(resolution=5.0), 415.0, BAR, 1.0, None).value == "4.15"
    assert figure(gauge(resolution=5.0), 415.0, KPA, 1.0, None).value == "415"


def test_errors_grow_with_the_level():
    """The factors of the levels stand in the line under a reading."""
    told = [figure(gauge(), 400.0, KPA, ERRORS[level], None).error for level in (1, 2, 3)]
    assert [text.replace("\u00a0", " ") for text in told] == ["± 5.6 kPa", "± 8 kPa", "± 11 kPa"]


def test_the_end_of_a_scale_and_large_leaks():
    """What lies at the least seen is told as such; a litre a minute and more in the unit of flows."""
    leak = gauge(what="leak", unit="mL/min", scale="log", error=0.25, floor=0.1)
    assert figure(leak, 0.1, KPA, 1.0, None).value == "at most 0.1"
    large = figure(leak, 3785.411784, PSI, 1.0, None)  # one US gallon (NIST SP 811: 3.785412 L)
    assert (large.value, large.unit) == ("1.0", "US gal/min")
    assert figure(leak, 3000.0, KPA, 1.0, None).unit == "L/min"


@pytest.mark.parametrize(
    ("value", "step", "text"),
    [
        (123456.0, 1.0, "123\u2009000"),
        (0.01234, 0.001, "0.012"),
        (-5.0, 1.0, "−5"),
        (18.004, 0.07, "18.0"),
        (0.0, 5.0, "0"),
    ],
)
def test_numbers_carry_what_the_reading_carries(value, step, text):
    """Three digits at most, decimals of the step, thousands apart, a true minus sign."""
    assert rounded(value, step) == text


def test_every_reading_of_the_menu_has_words():
    """Each reading of each test in each unit system, sound rig beside it: no empty word."""
    for test in menu().tests:
        for reading in test.reads:
            for units in SYSTEMS:
                got = figure(reading, 1.0, units, 1.0, {reading.what: 1.0})
                assert got.label
                assert got.value
                assert got.error
                assert got.sound


def test_every_risk_has_its_caution_and_every_state_its_word():
    """What can hurt in a test is said in a sentence of its own, not as the bare word of the menu."""
    for test in menu().tests:
        assert test.risk in RISKS, test.test
        assert test.needs in NEEDS
        assert test.needs in STATES
        assert "deg" not in spoken(test.title)


def test_a_refusal_is_told_without_ordering(case):
    """Tried on a copy: the reason of the engine itself, and the case unchanged."""
    assert refusal(case, "needle-fall") == "asks for a running engine: start it first"
    assert refusal(case, "read-log") == ""
    assert refusal(case, "cut-open") == "", "danger is for the trainee to see"
    assert case.entries == []
    assert not case.ended
    case.think(["F06"])
    case.order("read-log")
    with pytest.raises(RefusedError) as no:
        case.order("read-log")
    assert refusal(case, "read-log") in str(no.value)


def test_a_record_cut_short_stands_as_it_did(case):
    """Engine, pressure and record at every entry of a played case are those of the moment before it."""
    before = []
    for step in ("think", "start", "stop", "release", "read-log", "start"):
        before.append((len(case.entries), case.running, case.trapped))
        if step == "think":
            case.think(["F06"])
        elif step == "read-log":
            case.order(step)
        else:
            case.act(step)
    case.decide("F06")
    for place, (count, running, trapped) in enumerate(before):
        copy = cut(case, place)
        assert (len(copy.entries), copy.running, copy.trapped, copy.ended) == (count, running, trapped, None)
    assert case.ended == "verdict"


def test_help_is_paid_for_and_told(case):
    """A hint is noted with its price; what parts two suspects is free and needs exactly two."""
    work = CaseSession(case)
    work.help(2)
    assert case.entries[-1].what == "help"
    assert work.told
    work.apart()
    assert work.refused
    work.ticks = set(case.suspects[:2])
    work.apart()
    assert case.suspects[0] in work.told[0]
    assert sum(entry.what == "help" for entry in case.entries) == 1


def test_a_disk_that_cannot_be_written_is_told(case, tmp_path):
    """The case goes on; the line at the foot says that it is not kept."""
    (tmp_path / "file").write_text("", encoding="utf-8")
    work = CaseSession(case, tmp_path / "file" / "case.json")
    work.act("start")
    assert "Not kept" in work.notice
    assert case.running


def test_names_of_files_do_not_collide(tmp_path):
    """A case begun twice lies in two files."""
    first = case_store.fresh(7, "can", 2, tmp_path)
    first.write_text("{}", encoding="utf-8")
    assert case_store.fresh(7, "can", 2, tmp_path) != first
    assert case_store.found(tmp_path / "none") == []


def test_the_outline_is_that_of_the_parts(real_can):
    """The shut can is as wide as its shell (38.8 mm in its own data's parts) and stands on a wider pad."""
    drawn = shape(real_can)
    shell = next(p for p in real_can.parts if p.key == "shell")
    at = (drawn.z_m > 0.03) & (drawn.z_m < 0.06)
    assert drawn.radius_m[at] == pytest.approx(shell.outlines[0][:, 0].max(), rel=1e-6)
    assert drawn.radius_m[0] > drawn.radius_m[at].max()


def test_reach_of_a_triangle():
    """Half way up a triangle of base 2 and height 4 the reach is 1: similar triangles."""
    outline = np.array([(0.0, 0.0), (2.0, 0.0), (0.0, 4.0)])
    assert reach(outline, np.array([2.0, 5.0])) == pytest.approx([1.0, 0.0])


def test_dashes_cover_their_share_of_a_line():
    """Of a line of 300 px, dashes of 20 with gaps of 10 draw two thirds."""
    line = np.array([(0.0, 0.0), (0.0, 100.0), (200.0, 100.0)])
    drawn = sum(np.hypot(*np.diff(piece, axis=0).T).sum() for piece in pieces(line, (20, 10)))
    assert drawn == pytest.approx(200.0)


def test_no_heading_stands_alone_at_the_foot():
    """A roll that has no room for the row under a heading leaves the heading out too."""
    canvas = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"))
    rows = [Note("one"), Heading("Title"), Note("two")]
    room = sum(row.height(canvas, 400) for row in rows[:2]) + canvas.dp(24) + 4
    roll = Roll("r", "", lambda: rows, box=pygame.Rect(0, 0, 448, room))
    roll.draw(canvas, False)
    assert [t.text for t in canvas.texts if t.text] == ["one"]
    assert roll.more == 2


def test_the_wrong_turn_is_marked(case):
    """A verdict that is not right is where it went wrong; the fault's place and look come from its card."""
    wrong = next(c for c in case.suspects if c[:3] != case.hidden.code[:3])
    case.think([wrong])
    case.order("read-log")
    case.decide(wrong)
    told = gather(case, silent)
    assert wrong_turns(told)[2] == "wrong"
    assert told.alike[0].code == wrong
    assert told.alike[0].tests
    assert all(in_the_hand(fault).endswith(".") == bool(fault.found) for fault in told.ill)
    farthest = telling_readings(told, KPA)[0]
    assert farthest.value != farthest.sound


def test_every_fault_has_a_place(real_can):
    """Each fault that acts on this filter rings a part, or names a place on the rig."""
    from glasscan.faults.fault_data import acting

    known = {*INSIDE, *PLACES}
    for kind, layout in product(("can", "cartridge", "disc"), ("before", "after")):
        moved = {change.set for fault in acting(kind, layout) for change in fault.changes}
        assert not [name for name in moved if not known & {name, name.partition(".")[0]}]
    for fault in acting("can", "after"):
        words, keys = where((fault,), real_can)
        assert keys or "outside" not in words, fault.fault


def test_findings_are_numbered_on_their_parts(case, real_can, disc_section):
    """The same number on the part and before the reading; every finding that has a place has one here."""
    case.think(["F06"])
    case.act("release")
    case.order("read-log")
    assert read_inside([case.menu[word] for word in case.tests_done]) == []
    case.order("cut-open")
    page = CasePage(ViewOptions(), CaseSession(case), real_can)
    texts = [t.text for t in page.draw(pygame.Surface((1920, 1080))).texts]
    numbers = numbered(read_inside([case.menu["cut-open"]]), real_can.parts)
    assert list(numbers.values()) == list(range(1, len(numbers) + 1))
    assert {str(number) for number in numbers.values()} <= set(texts)
    assert any(text.startswith("\u2460 ") for text in texts)
    for section, kind in ((real_can, "can"), (disc_section, "disc")):
        inside = read_inside([test for test in menu().tests if kind in test.filters])
        found = numbered(inside, section.parts)
        assert all(sign(what, found) for what in inside if what in SPOTS)


def test_the_start_page_draws_short_numbers(case_folder):
    """Numbers to call out in a class; too long ones and letters are not taken."""
    from glasscan.window.cases.start_page import FEW, StartPage

    page = StartPage(ViewOptions(), [])
    page.another()
    assert 1 <= int(page.seed) <= FEW
    page._number("12a")
    assert page.seed == "12"
    page._number("99999999999")
    assert page.seed == "12"
    page._number("")
    page.begin()
    assert page.chosen is None
    assert not case_folder.exists()
