"""A job at the bench: choose it, do it, run the engine, read the marks. The way in from the first screen."""

from __future__ import annotations

from glasscan.faults.apply import apply
from glasscan.faults.fault_data import faults
from glasscan.paths import own_folder
from glasscan.window.bench.bench_results import NicknameLine
from glasscan.window.bench.choose_job_page import ChooseJobPage
from glasscan.window.bench.filter_sources import sound_rig
from glasscan.window.bench.hand_page import HandPage
from glasscan.window.bench.job_lesson import write_lesson
from glasscan.window.bench.job_marks import (
    CARE_MARKS,
    ORDER_MARKS,
    SENSE_MARKS,
    JobMarks,
    left_words,
    mark,
)
from glasscan.window.bench.job_page import PRESSED, JobPage
from glasscan.window.bench.job_run import Compared, compare
from glasscan.window.bench.next_run_page import RunPage
from glasscan.window.bench.press_page import PressPage
from glasscan.window.bench.record_page import RecordPage
from glasscan.window.bench.report_page import ReportPage, ReportText
from glasscan.window.bench.selection_loop import choose_and_do
from glasscan.window.bench.stack_page import StackPage
from glasscan.window.navigator import Navigator
from glasscan.window.open_request import OpenRequest
from glasscan.workshop.job_record import job_record, record_words
from glasscan.workshop.procedures.job import Job, JobCard
from glasscan.workshop.procedures.procedure_catalogue import load_procedure
from glasscan.workshop.valve_press import ValvePress


def jobs(front: Navigator) -> bool:
    """Choose jobs and do them until it is left; False where the window was closed."""

    def do(chosen: tuple[str, str, int]) -> bool:
        name, kind, number = chosen
        return do_job(front, Job(load_procedure(name, kind), number), kind)

    return choose_and_do(front, ChooseJobPage(front.desk), do)


def do_job(front: Navigator, job: Job, kind: str) -> bool:
    """One job from its first card to its marks; Escape leaves it; False: window closed."""
    page = JobPage(front.desk, job, kind)
    while True:
        page.leave, page.handing = False, None
        if not front.show(page):
            return False
        if page.handing is None:
            break
        if not with_hands(front, page, page.handing):
            return False
    if not page.done:
        return True
    both = front.behind_bar("The next run", lambda tell: compare(job, kind, tell))  # type: ignore[arg-type]
    if both is None or not seen_to_the_end(front, job, kind, both):
        return False
    return front.show(report_of_job(front, job))


def seen_to_the_end(front: Navigator, job: Job, kind: str, both: Compared) -> bool:
    """The next run as curves, and as often as wished in the cutaway; False where the window was closed."""
    while True:
        page = RunPage(front.desk, job, both)
        if not front.show(page):
            return False
        if not page.watch:
            return True
        path = write_lesson(job, kind, own_folder() / "after-jobs")  # type: ignore[arg-type]
        if not front.open(OpenRequest(str(path), "demonstrate")):
            return False


def with_hands(front: Navigator, page: JobPage, card: JobCard) -> bool:
    """A step on a page of its own: wrench, jars, wire, stack or rod; False where the window was closed."""
    if card.step in PRESSED:
        if not front.show(PressPage(front.desk, valve_of(page.job, page.kind))):
            return False
        page.do(card.id)
        return True
    hand = hand_page(front, page.job, card)
    if not front.show(hand):
        return False
    if hand.chosen is not None:
        page.do(card.id, hand.chosen)
    return True


def hand_page(front: Navigator, job: Job, card: JobCard) -> HandPage | StackPage | RecordPage:
    """The page on which a hand chooses what a step asks for."""
    if "lay" in card.asks:
        return StackPage(front.desk, job)
    if "who" in card.asks:
        return RecordPage(front.desk, job, card)
    return HandPage(front.desk, job, card)


def valve_of(job: Job, kind: str) -> ValvePress:
    """The bypass valve of the machine under work; where it was met stuck, gummed as the fault has it."""
    sound = sound_rig(kind)  # type: ignore[arg-type]
    proper = sound.network.valve
    assert proper is not None
    stuck = "bypass-was-stuck" in job.outcome().machine.present
    own = apply(faults()["F01"], 0.5, sound).network.valve if stuck else proper
    return ValvePress(own or proper, proper)


def report_of_job(front: Navigator, job: Job) -> ReportPage:
    """The marks as a page."""
    marks = mark(job)
    rows = [*_headings(job, marks), *_left(job)]
    return ReportPage(front.desk, marks.verdict, rows, _whole(job), f"job-{job.procedure.name}", job.seed)


def _whole(job: Job) -> str:
    outcome = job.outcome()
    found = "\n".join(f"Found: {text}" for text in outcome.findings) or "Nothing was found."
    met = set(outcome.mended)
    good = (
        f"Put right: {len(met)} of {len(job.present or ())} things that were waiting." if job.present else ""
    )
    entry = "The record, as the machine stands:\n" + record_words(job_record(outcome, job.procedure.title))
    end = "General steps, for training. On a real machine the approved maintenance data decides."
    return "\n\n".join(filter(None, [found, good, entry, end]))


def _headings(job: Job, marks: JobMarks) -> list[ReportText]:
    texts = {"order": _order_text(job, marks), "care": _care_text(job), "sense": _sense_text(job)}
    titles = {"order": "Order of the steps", "care": "Careful work", "sense": "Nothing that does not belong"}
    full = {"order": ORDER_MARKS, "care": CARE_MARKS, "sense": SENSE_MARKS}
    got = {"order": marks.order, "care": marks.care, "sense": marks.sense}
    steps = [a.step + (":slip" if a.slipped else "") for a in job.acts]
    return [
        ReportText(
            titles[k], "",
            NicknameLine(k, steps if k == "order" else None, got[k] / full[k], full[k], "", texts[k]),
            k == "order" and bool(marks.verdict.gates), texts[k],
        )
        for k in titles
    ]  # fmt: skip


def _order_text(job: Job, marks: JobMarks) -> str:
    p, outcome = job.procedure, job.outcome()
    lines = [f"Gate not met: {gate}" for gate in marks.verdict.gates]
    lines += [f"Out of its place: {p.by_id[s].do}" for s in marks.out_of_place]
    lines += [f"Not done: {p.by_id[s].do} {p.by_id[s].why}" for s in outcome.left_out]
    return "\n\n".join(lines) or "Every step stands where it belongs."


def _care_text(job: Job) -> str:
    p = job.procedure
    lines = [
        f"You chose: {p.by_id[a.step].slip}\nBetter: {p.by_id[a.step].do}\n{p.by_id[a.step].why}"
        for a in job.acts
        if a.slipped
    ]
    return "\n\n".join(lines) or "No common wrong way was taken."


def _sense_text(job: Job) -> str:
    traps = job.procedure.traps
    lines = [f"{traps[a.step].do}\n{traps[a.step].because}" for a in job.acts if a.step in traps]
    return "\n\n".join(lines) or "You did nothing that does not belong to this job."


def _left(job: Job) -> list[ReportText]:
    """What was left for the next run; it carries no marks of its own."""
    rows = []
    for left in job.outcome().left:
        text = left_words(job, left)
        title = text.split("\n")[0]
        rows.append(
            ReportText(
                title,
                "left behind",
                NicknameLine(f"left-{left.condition}", left.how, 0.0, 0.0, "", text),
                False,
                text,
            )
        )
    return rows
