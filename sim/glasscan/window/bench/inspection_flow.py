"""Cut a filter open: choose one, open it, look, judge, read the outcome. The way in from the first screen."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from glasscan.content import BadInput
from glasscan.learning.scoring.verdict import Verdict, verdict
from glasscan.ui.progress_task import ReportProgress
from glasscan.window.bench.bench_page import BenchPage
from glasscan.window.bench.bench_results import NicknameLine
from glasscan.window.bench.bench_texts import title_of
from glasscan.window.bench.bench_tools import place_word
from glasscan.window.bench.choose_filter_page import ChoosePage, Chosen
from glasscan.window.bench.filter_sources import by_seed, network_of, of_lesson, of_state
from glasscan.window.bench.opening_page import OpenPage
from glasscan.window.bench.press_page import PressPage
from glasscan.window.bench.report_page import ReportPage, ReportText
from glasscan.window.bench.selection_loop import choose_and_do
from glasscan.window.bench.tray_page import TrayPage
from glasscan.window.navigator import Navigator
from glasscan.workshop.inspection.body_pieces import bodies_of
from glasscan.workshop.inspection.evidence import of_rig
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.inspection_data import FilterKind
from glasscan.workshop.inspection.judgement import JudgementMark
from glasscan.workshop.valve_press import ValvePress

if TYPE_CHECKING:
    from glasscan.rig.rig import Rig
    from glasscan.window.lesson.lesson_screen import Screen


def cut_open(front: Navigator) -> bool:
    """Choose filters and open them until it is left; False where the window was closed."""
    page = ChoosePage(front.desk)
    return choose_and_do(front, page, partial(_brought, front, page))


def _brought(front: Navigator, page: ChoosePage, chosen: Chosen) -> bool:
    """One filter to the bench; what is wrong with its lesson is told on the page."""
    try:
        work = front.behind_bar("A used filter", _bring(*chosen))
    except BadInput as bad:
        page.tell(bad.lines[0], True)
        return True
    return work is not None and inspect(front, work)


def _bring(kind: FilterKind, seed: int, lesson: str) -> Callable[[ReportProgress], Inspection]:
    if lesson:
        from glasscan.learning.scenario_loading import load_scenario

        scenario = load_scenario(lesson)
        return lambda tell: of_lesson(scenario, tell)
    return lambda tell: by_seed(kind, seed, None, tell)


def inspect(front: Navigator, work: Inspection) -> bool:
    """One filter from the vice to the outcome; Escape at any page goes back; False: window closed.

    Args:
        front: the window.
        work: an inspection, closed or open already.
    """
    if work.laid is None:
        page = OpenPage(front.desk, work)
        if not front.show(page):
            return False
        if work.laid is None:
            return True
    bench = BenchPage(front.desk, work)
    while True:
        bench.leave = bench.judge = bench.press = False
        if not front.show(bench):
            return False
        if bench.press:
            if not press_valve(front, work):
                return False
            continue
        if not bench.judge:
            return True
        tray = TrayPage(front.desk, bench.looking)
        if not front.show(tray):
            return False
        if tray.done:
            return front.show(report_of(front, work))


def press_valve(front: Navigator, work: Inspection) -> bool:
    """Press the valve of the opened filter; False where the window was closed."""
    own, proper = work.evidence.valve, network_of(work.evidence.element.kind).valve
    if own is None or proper is None:
        return True
    return front.show(PressPage(front.desk, ValvePress(own, proper)))


def on_the_bench(front: Navigator, screen: Screen) -> bool:
    """Open the filter of a lesson as it stands now, then go back to the lesson; False: window closed."""
    screen.to_bench = screen.leave = False
    facts, engine, debris = screen.session.facts, screen.session.engine, screen.session.loose.debris
    rig = getattr(engine, "rig", None)
    if rig is None or facts.filter_data is None:
        screen.taker.notice = "There is no filter here to open."
        return True
    data = facts.filter_data
    bodies = bodies_of(debris, data) if debris is not None and len(debris) else ()
    if not inspect(front, Inspection(of_rig(rig, data, bodies=bodies), facts.seed)):
        screen.quit = True
    return not screen.quit


def report_of(front: Navigator, work: Inspection) -> ReportPage:
    """The outcome as a page."""
    rows = [_told(work, mark) for mark in work.sheet().marks]
    paper = f"inspection-{work.evidence.element.kind}"
    return ReportPage(front.desk, verdict_of(work), rows, after_words(work), paper, work.seed)


def open_state(front: Navigator, rig: Rig, filter_name: str, seed: int) -> bool:
    """Open the filter of any rig, such as that of a case; False where the window was closed.

    Args:
        front: the window.
        rig: as it stands.
        filter_name: name of its filter's data file, such as "can-full-flow".
        seed: of the lay-out.
    """
    return inspect(front, of_state(rig, filter_name, seed))


def verdict_of(work: Inspection) -> Verdict:
    """Marks against the pass mark, and the gate of a missed defect."""
    sheet = work.sheet()
    return verdict([m.got for m in sheet.marks], [m.out_of for m in sheet.marks], sheet.gates)


def after_words(work: Inspection) -> str:
    """What it was, and what went on with the oil."""
    e = work.evidence
    lines = [e.tells or "What lay in the filter is what the run left there."]
    unseen = [place_word(work, p) for p in work.places() if p not in work.looked]
    if unseen:
        lines.append(f"Not looked at: {', '.join(unseen)}.")
    if e.gone:
        told = ", ".join(f"{n} of {title_of(code)}" for code, n in e.gone.items())
        lines.append(f"Gone on with the oil, never found: {told}.")
    lines.append("The sheet is an invented example. On a real machine the approved manual decides.")
    return "\n\n".join(lines)


def _told(work: Inspection, mark: JudgementMark) -> ReportText:
    said = work.said.get(mark.what)
    heap = work.heaps().get(mark.what)
    given: object
    if heap is not None:
        title, place = title_of(heap.code), place_word(work, heap.place)
        given = [said.kind, said.amount, said.action] if said else None
        said_words = (
            f"You said: {said.kind}, {said.amount}, {said.action}." if said else "You did not judge it."
        )
    else:
        title, place, said_words = mark.what.capitalize(), "", ""
        given = mark.what in work.bad_parts
    text = "\n\n".join(filter(None, [f"Right: {mark.right}", said_words, *mark.why]))
    share = mark.got / mark.out_of if mark.out_of else 0.0
    line = NicknameLine(mark.what, given, share, mark.out_of, mark.right, " ".join(mark.why))
    return ReportText(title, place, line, mark.missed, text)
