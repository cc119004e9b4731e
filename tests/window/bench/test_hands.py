"""What the hands choose at the bench: every page fits, and mouse or key leave what a text step leaves.

Torque is a training value; 6 to 8 twists to the inch and "the pull tightens" are AC 43.13-1B ch. 7.
"""

import pygame
import pytest
from glasscan.ui.view_options import ViewOptions
from glasscan.window.bench.beside_flow import pair_of
from glasscan.window.bench.beside_page import BesidePage
from glasscan.window.bench.filter_sources import network_of
from glasscan.window.bench.hand_page import HandPage
from glasscan.window.bench.job_flow import do_job
from glasscan.window.bench.press_page import PressPage
from glasscan.window.bench.record_page import RecordPage
from glasscan.window.bench.stack_page import StackPage
from glasscan.workshop.procedures.job import Job, best_way
from glasscan.workshop.procedures.procedure_catalogue import load_procedure
from glasscan.workshop.stack_pieces import right_lay, stack_faults
from glasscan.workshop.valve_press import ValvePress

from tests.window.bench.by_keys import due, hand, record
from tests.window.test_layout import problems

CASES = [((1280, 720), 1), ((1280, 720), 3), ((1920, 1080), 1), ((1920, 1080), 3), ((2560, 1440), 1)]


def card_of(job, step):
    """A card of a job."""
    return next(c for c in job.cards if c.id == step)


@pytest.fixture(scope="module")
def pair():
    """Two elements of one run."""
    return pair_of("can", 4, lambda *_: None)


@pytest.mark.parametrize(("size", "text"), CASES)
def test_nothing_is_cut_or_covered(pair, size, text):
    """Wrench, jars, wire, oil, stack, rod and the two elements fit at every size of window and text."""
    job, stack = Job(load_procedure("can-change"), 3, ()), Job(load_procedure("stack-rebuild"), 3, ())
    pages = [
        HandPage(ViewOptions(), job, card_of(job, s))
        for s in ("spin-on", "oil-gasket", "lockwire", "fill-oil")
    ]
    for name in ("can-change", "stack-rebuild", "leak-check"):
        done = Job(load_procedure(name), 3, ())
        for step in best_way(done)[: best_way(done).index("record")]:
            done.do(step)
        pages.append(RecordPage(ViewOptions(), done, card_of(done, "record")))
    pages += [StackPage(ViewOptions(), stack), BesidePage(ViewOptions(), pair)]
    pages += [
        PressPage(ViewOptions(), ValvePress(v, v))
        for v in (network_of("can").valve, network_of("disc").valve)
    ]
    for page in pages:
        page.desk.text_index = text
        page.desk.theme = "light" if text == 3 else "dark"
        assert problems(page.draw(pygame.Surface(size))) == [], (type(page).__name__, page.title)


def test_a_wrench_that_went_too_far_cannot_go_back():
    """The drag pointer keeps the most, and that is what the joint got."""
    job = Job(load_procedure("can-change"), 3, ())
    page = HandPage(ViewOptions(), job, card_of(job, "spin-on"))
    page.do()
    assert page.chosen is None
    page.pull_by(31.0)
    page.pull_by(-8.0)
    page.do()
    assert page.chosen == {"torque": "31"}


def test_the_sheet_is_there_only_where_somebody_fetched_it():
    """Torque stands in the manual; without the manual the page does not tell it."""
    job = Job(load_procedure("can-change"), 3, ())
    page = HandPage(ViewOptions(), job, card_of(job, "spin-on"))
    page.read_sheet()
    assert "not at hand" in page._words()
    job.do("right-manual")
    assert "22 to 25 N m" in page._words()


def test_the_stack_by_hand():
    """Ten at a time; spacers that stick together make the pack too high and a gap too wide."""
    page = StackPage(ViewOptions(), Job(load_procedure("stack-rebuild"), 3, ()))
    while len(page.lay) < len(right_lay()):
        page.ten()
    assert page.lay.count("d") == right_lay().count("d") > 50
    stuck = page.lay.count("w")
    assert stuck > 0
    assert "spacer-doubled" in stack_faults(page.lay)
    careful = StackPage(ViewOptions(), Job(load_procedure("stack-rebuild"), 3, ()))
    while len(careful.lay) < len(right_lay()):
        careful.ten()
        while "w" in careful.lay[-9:]:
            careful.part()
    careful.lay = careful.lay.replace("w", "s")
    assert stack_faults(careful.lay) == ()


def test_one_spacer_less_shuts_a_gap():
    """A gap is as wide as what lies in it: without a spacer two discs touch."""
    lay = right_lay()
    short = lay[:1] + lay[2:]
    assert stack_faults(short) == ("spacer-missing",)


def test_a_job_with_the_hands_by_keys(front):
    """The oil change by keys, with the wrench on its own page; what the hand chose is in the state."""
    job = Job(load_procedure("drain-refill"), 5, ())

    window = front(JobPage=due, HandPage=hand, RecordPage=record, RunPage="enter")
    assert do_job(window, job, "can")
    assert "HandPage" in window.shown
    drain = job.outcome().machine.joints["drain"]
    assert (drain.torque_nm, drain.wire, drain.closed) == (30.0, "right", True)
    assert job.outcome().unsafe == ()


def test_a_record_is_written_by_keys():
    """Typed numbers, chosen answers; an untouched sheet is a gap, a word instead of a number is sent back."""
    job = Job(load_procedure("can-change"), 3, ())
    way = best_way(job)
    for step in way[: way.index("record")]:
        job.do(step)
    page = RecordPage(ViewOptions(), job, card_of(job, "record"))
    page.entry["hours"] = "many"
    page.sign()
    assert page.chosen is None
    page.entry["hours"] = "1246,3"
    page.sign()
    job.do("record", page.chosen)
    assert any("silent" in text for text in job.outcome().findings)
    assert "record-false" not in job.outcome().conditions
