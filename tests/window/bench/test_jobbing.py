"""Jobs in the window: every page at every size, a whole job by keys, and the run after it."""

import pygame
import pytest
from glasscan.ui.view_options import ViewOptions
from glasscan.window.bench.choose_job_page import ChooseJobPage
from glasscan.window.bench.job_flow import do_job, jobs, report_of_job
from glasscan.window.bench.job_marks import mark
from glasscan.window.bench.job_page import HAND, JobPage
from glasscan.window.bench.job_run import Compared, compare
from glasscan.window.bench.next_run_page import RunPage
from glasscan.workshop.machine import CannotError
from glasscan.workshop.procedures.job import Job, best_way, states_met
from glasscan.workshop.procedures.procedure_catalogue import load_procedure, procedure_names

from tests.window.bench.by_keys import due, hand, record
from tests.window.test_layout import problems

CASES = [((1280, 720), 1), ((1280, 720), 3), ((1920, 1080), 1), ((1920, 1080), 3), ((2560, 1440), 1)]


def worked(name="can-change", but=(), present=()):
    """A job done well but for some steps."""
    job = Job(load_procedure(name), 1, present)
    for step in best_way(job):
        if step not in but:
            try:
                job.do(step)
            except CannotError:
                assert but
    return job


@pytest.fixture(scope="module")
def two_gaskets():
    """The old gasket not found, and the runs after it."""
    job = worked(but=("find-gasket",), present=("old-gasket-on-head",))
    return job, compare(job, "can")


@pytest.mark.parametrize(("size", "text"), CASES)
def test_nothing_is_cut_or_covered(front, two_gaskets, size, text):
    """Every page of a job fits, at its start and at its end, for every job."""
    surface = pygame.Surface(size)
    job, both = two_gaskets
    pages = [ChooseJobPage(ViewOptions()), RunPage(ViewOptions(), job, both), report_of_job(front(), job)]
    for name in procedure_names() if size == (1280, 720) else ("can-change", "stack-rebuild"):
        kind = load_procedure(name).filters[0]
        pages += [
            JobPage(ViewOptions(), Job(load_procedure(name), 3), kind),
            JobPage(ViewOptions(), worked(name), kind),
        ]
    for page in pages:
        page.desk.text_index = text
        page.desk.theme = "light" if text == 3 else "dark"
        assert problems(page.draw(surface)) == [], (type(page).__name__, page.title)


@pytest.mark.parametrize("name", procedure_names())
def test_the_step_that_is_due_is_always_in_the_hand(name):
    """Whoever wants to work well can: the next step of the job is among the cards shown."""
    for seed in range(4):
        job = Job(load_procedure(name), seed)
        for step in best_way(job):
            assert step in [c.id for c in job.hand(HAND) if c]
            job.do(step)


@pytest.mark.parametrize("name", ["can-change", "stack-rebuild"])
def test_cards_keep_their_places(name):
    """A card that is taken moves no other one under the hand."""
    job = Job(load_procedure(name), 3, ())
    for step in best_way(job)[:12]:
        before = job.hand(HAND)
        job.do(step)
        after = job.hand(HAND)
        stayed = [i for i, c in enumerate(before) if c and c.step != step]
        assert sum(after[i] != before[i] for i in stayed) <= 1  # the last place gives way to what is due


def test_a_job_done_well_by_keys(front):
    """All marks, every gate met, nothing left behind, and both runs the same."""
    job = Job(load_procedure("can-change"), 5, ("old-gasket-on-head",))
    window = front(JobPage=due, HandPage=hand, RecordPage=record, RunPage="enter")
    assert do_job(window, job, "can")
    assert [w for w in window.shown if w not in ("JobPage", "HandPage", "RecordPage")] == [
        "RunPage",
        "ReportPage",
    ]
    run, report = window.pages[-2:]
    assert (report.verdict.share, report.verdict.gates) == (1.0, ())
    assert run.both.yours is run.both.well
    assert job.outcome().mended == ("old-gasket-on-head",)


def test_a_slip_is_not_given_away_by_its_wording():
    """Careful and common wrong ways are told alike: a sentence that says what to do, no gerund."""
    for name in procedure_names():
        for step in load_procedure(name).steps:
            if step.slip:
                assert step.slip.endswith("."), step.id
                assert not step.slip.split()[0].endswith("ing"), step.id


def test_the_next_run_is_the_models(two_gaskets):
    """Two gaskets lose litres where the good job loses nothing; the difference comes out of the run."""
    _, both = two_gaskets
    assert isinstance(both, Compared)
    assert both.acting == ("double-gasket",)
    assert both.well["lost"][-1] == 0.0
    assert both.yours["lost"][-1] > 1.0
    still = both.times_s < 1.0
    assert both.yours["lost"][still].max() == 0.0  # nothing leaves before there is pressure
    assert both.yours["gauge"][-1] < 0.9 * both.well["gauge"][-1]  # until the sump is empty


def test_taking_a_card_back(front):
    """Z lays the last card back into the tray."""
    page = JobPage(front().desk, Job(load_procedure("oil-sample"), 2, ()), "can")
    card = page.job.hand(HAND)[0].id
    page.pick(card)
    assert len(page.job.acts) == 1
    page.undo()
    assert page.job.acts == []
    assert card in [c.id for c in page.job.left_over()]


def test_choosing_a_job_and_leaving(front):
    """The second job of the list is opened by arrow and Enter; Escape leads back and out."""
    turns = iter([["down", "enter"], ["esc", "esc"]])
    window = front(ChooseJobPage=lambda _: next(turns))
    assert jobs(window)
    assert window.shown == ["ChooseJobPage", "JobPage", "ChooseJobPage"]
    assert window.pages[1].job.procedure.name == procedure_names()[1]


def test_what_is_met_is_drawn_from_the_number():
    """The number decides what waits: the same for the same number, not the same for all."""
    procedure = load_procedure("can-change")
    met = {seed: Job(procedure, seed).present for seed in range(12)}
    assert met[3] == Job(procedure, 3).present
    assert len(set(met.values())) > 3
    assert set().union(*met.values()) == set(states_met(procedure))


def test_where_somebody_is_hurt_the_work_stops(two_gaskets):
    """Feeling for a leak with the hand: the words of the run begin with first aid, and a gate is not met."""
    _, both = two_gaskets
    job = Job(load_procedure("leak-check"), 1, ())
    for step in best_way(job):
        if job.ended is None:
            job.do(step + (":slip" if step == "look-lamp" else ""))
    words = RunPage(ViewOptions(), job, both)._words()
    assert words.startswith("Here the real work stops")
    assert "surgical emergency" in words
    assert mark(job).verdict.gates
