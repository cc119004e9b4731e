"""The bench in the window: every page at every size, and a whole inspection by keys alone."""

import pygame
import pytest
from glasscan.ui.view_options import ViewOptions
from glasscan.window.bench import filter_sources
from glasscan.window.bench.bench_page import BenchPage
from glasscan.window.bench.bench_texts import CODES
from glasscan.window.bench.bench_tools import Looking
from glasscan.window.bench.choose_filter_page import ChoosePage
from glasscan.window.bench.debris_sketch import outline_of
from glasscan.window.bench.inspection_flow import cut_open, inspect, report_of
from glasscan.window.bench.opening_page import OpenPage
from glasscan.window.bench.report_page import ReportPage
from glasscan.window.bench.tray_page import KINDS, TrayPage
from glasscan.workshop.inspection.judgement import ACTIONS, AMOUNTS, truth

from tests.window.bench.conftest import event
from tests.window.test_layout import problems

SIZES = [(1280, 720), (1920, 1080), (2560, 1440)]
CASES = [(SIZES[0], 0), (SIZES[0], 1), (SIZES[0], 3), (SIZES[1], 1), (SIZES[1], 3), (SIZES[2], 3)]


def opened(inspection, **which):
    """An inspection that is open, everything on the tray."""
    work = inspection(**which)
    work.open(work.ways()[0])
    for name in work.heaps():
        work.take(name)
    return work


def pages(inspection, front):
    """One page of each kind, in its states."""
    work = opened(inspection)
    yield ChoosePage(ViewOptions())
    yield OpenPage(ViewOptions(), inspection())
    for place in (*work.places(), "parts"):
        page = BenchPage(ViewOptions(), work)
        page.go(place)
        yield page
    again = inspection()
    again.open("roller")
    page = BenchPage(ViewOptions(), again)
    page.go("outside")
    page.magnet()
    yield page
    for beside in ("patch", "sheet", "record"):
        page = BenchPage(ViewOptions(), work)
        page.show(beside)
        yield page
    tray = TrayPage(ViewOptions(), Looking(work, "outside"))
    yield tray
    tray = TrayPage(ViewOptions(), Looking(work, "outside"))
    tray.toggle_sheet()
    yield tray
    tray = TrayPage(ViewOptions(), Looking(work, "outside"))
    tray.toggle_kinds()
    yield tray
    window = front()
    yield report_of(window, work)


@pytest.mark.parametrize(("size", "text"), CASES)
def test_nothing_is_cut_or_covered(inspection, front, size, text):
    """Every page of the bench fits at every size and text scale promised, help sheet included."""
    surface = pygame.Surface(size)
    for page in pages(inspection, front):
        page.desk.text_index = text
        page.desk.theme = "light" if text % 2 else "dark"
        assert problems(page.draw(surface)) == [], type(page).__name__


@pytest.mark.parametrize("text", [1, 3])
def test_the_help_sheets_fit(inspection, front, text):
    """Every key has its line, at the smallest window."""
    for page in pages(inspection, front):
        page.desk.text_index, page.desk.help = text, True
        assert problems(page.draw(pygame.Surface((1280, 720)))) == [], type(page).__name__


def all_places(page):
    """Keys that take up everything everywhere, then go to the tray."""
    yield "m"
    for i in range(len(page.work.places())):
        yield str(i + 1)
        for _ in range(40):
            if all(h.id in page.work.taken for h in page.work.look(page.looking.place)):
                break
            yield "pgdn"
            yield "enter"
    yield "j"


def to(options, wanted, now=""):
    """Presses of the right arrow that lead from an answer to another; without one, from the first."""
    begin = options.index(now) if now in options else 0
    return ["right"] * ((options.index(wanted) - begin) % len(options) or len(options))


def right_answers(page):
    """Keys that judge every heap rightly, then hand in."""
    for i, name in enumerate(page.work.taken):
        right = truth(page.work.heaps()[name], page.work.evidence)
        for options, wanted in ((KINDS, right.kind), (AMOUNTS, right.amount), (ACTIONS, right.action)):
            yield "tab"
            yield from to(options, wanted)
        for _ in range(len(page.form.shown()) - 3):
            yield "tab"
        assert page.form.focused.name == "heaps"
        if i < len(page.work.taken) - 1:
            yield "down"
    yield "h"


def test_a_whole_inspection_by_keys(inspection, front, tmp_path):
    """Open, look everywhere, take up, judge, hand in, keep under a nickname: full marks, stored."""
    work = inspection()
    way = "enter" if OpenPage(ViewOptions(), work)._ways()[0] == "roller" else "tab enter"

    def keeping(page):
        page.folder = tmp_path
        yield from ("tab", "tab", *"Wen", "enter", "esc", "esc")

    window = front(OpenPage=way, BenchPage=all_places, TrayPage=right_answers, ReportPage=keeping)
    assert inspect(window, work)
    assert window.shown == ["OpenPage", "BenchPage", "TrayPage", "ReportPage"]
    sheet = work.sheet()
    assert (sheet.got, sheet.gates) == (sheet.out_of, ())
    from glasscan.learning.store.connection import store_path
    from glasscan.learning.store.store import Store

    with Store(store_path(tmp_path)) as store:
        assert list(store.people().values()) == ["Wen"]
        (sitting,) = store.handed_in("inspection-can")
        assert len(store.answers(sitting)) == len(sheet.marks)


def test_escape_from_every_page_leads_back(inspection, front):
    """From the tray back to the bench keeps what was said; from the bench out."""
    work = inspection()
    work.open("roller")
    for name in work.heaps():
        work.take(name)
    turns = iter([["j"], ["esc", "esc"]])
    window = front(BenchPage=lambda _: next(turns))
    assert inspect(window, work)
    assert window.shown == ["BenchPage", "TrayPage", "BenchPage"]


def test_what_is_not_turned_over_is_not_found(inspection, front):
    """Who looks at the outside only misses the fibres behind the torn medium: the gate says so."""
    work = inspection(word="medium-torn")
    work.open("roller")

    def outside_only(_):
        yield "2"
        for _ in range(40):
            yield "pgdn"
            yield "enter"
        yield "j"

    window = front(BenchPage=outside_only, TrayPage="h h")
    assert inspect(window, work)
    report = window.pages[-1]
    assert isinstance(report, ReportPage)
    assert not report.verdict.passed
    assert any("D15, inside" in gate for gate in report.verdict.gates)


def test_the_magnet_holds_what_follows_it(inspection):
    """Flakes of steel cling to the bag and lie no longer on the pleats; the facts tell it after the test."""
    work = inspection()
    work.open("roller")
    page = BenchPage(ViewOptions(), work)
    page.go("outside")
    steel = next(s for p, s, _ in page.looking.lying() if p.code == "D2")
    page.looking.put(steel)
    assert "not tried" in page.looking.facts(page.looking.under())
    page.magnet()
    assert any(p.code == "D2" for p, _ in page.looking.on_magnet())
    assert all(p.code != "D9" for p, _ in page.looking.on_magnet())
    assert "follows the magnet" in page.looking.facts(page.looking.under())


def test_choosing_a_lesson_opens_the_filter_of_its_run(front, monkeypatch):
    """The list of lessons brings that lesson's filter, run to its end."""
    chosen = []
    real = filter_sources.of_lesson

    def brought(scenario, tell):
        chosen.append(scenario.scenario)
        return real(scenario.model_copy(update={"end_s": 3.0}), tell)

    monkeypatch.setattr("glasscan.window.bench.inspection_flow.of_lesson", brought)
    turns = iter([["tab", "enter"], ["esc", "esc"]])
    window = front(ChoosePage=lambda _: next(turns))
    assert cut_open(window)
    assert chosen
    assert window.shown == ["ChoosePage", "OpenPage", "ChoosePage"]


def test_every_kind_has_a_shape_of_its_own():
    """Kinds are told apart by shape as well as by colour: no two outlines are alike."""
    shapes = {code: outline_of(code, 0).round(3).tobytes() for code in CODES}
    assert len(set(shapes.values())) == len(shapes)


def test_a_click_moves_the_lens(inspection):
    """The pointer does what the arrows do."""
    work = inspection()
    work.open("roller")
    page = BenchPage(ViewOptions(), work)
    page.go("outside")
    page.draw(pygame.Surface((1280, 720)))
    before = page.looking.at
    at = page.form.widgets[0].box.center
    page.handle(pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=(at[0] + 60, at[1] + 40)))
    assert page.looking.at != before
    page.handle(event("right"))
    assert page.looking.at[0] > before[0]


def test_a_kind_is_picked_from_all_side_by_side(inspection):
    """K shows every kind drawn; arrows and Enter name the heap, and the answers come back."""
    work = opened(inspection)
    page = TrayPage(ViewOptions(), Looking(work, "outside"))
    surface = pygame.Surface((1280, 720))
    page.draw(surface)
    page.handle(event("k"))
    page.draw(surface)
    for word in ("right", "down", "enter"):
        page.handle(event(word))
    page.draw(surface)
    assert page.draft[page.at][0] == KINDS[7]
    assert not page.kinds_shown
    assert {"kind", "amount", "action"} <= {w.name for w in page.form.widgets}
