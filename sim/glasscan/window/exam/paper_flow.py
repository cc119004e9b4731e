"""Papers at hand, and new ones made at the screen."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from glasscan.content import BadInput
from glasscan.files import write_whole
from glasscan.learning.exam.exam_sitting import handed_in, under_way
from glasscan.learning.exam.paper import is_sealed, paper_text, read_questions
from glasscan.learning.exam.paper_making import Order, Run, make
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.seals import instructor_key
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.seals.start_word import new_start_word
from glasscan.learning.store.rows import Sitting
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.units import counted
from glasscan.window.exam.make_page import MakePage, Ordered
from glasscan.window.exam.papers_page import Found
from glasscan.window.lesson import takeaway
from glasscan.window.questions.key_run import work_out
from glasscan.window.study import user_prefs
from glasscan.window.study.session_end_page import OverPage
from glasscan.window.study.study_flow import read_lessons

if TYPE_CHECKING:
    from glasscan.learning.marking_log import MarkingLog
    from glasscan.ui.progress_task import ReportProgress
    from glasscan.window.navigator import Navigator

MOST_PAPERS = 30
REHEARSAL = {"dress-rehearsal", "where-the-oil-goes"}
"""Lessons ticked when a paper is made for the first time."""
SEALED = (
    "Start word: {word}\n\nGive the file to the class, and say the start word when the time begins; it is "
    "written nowhere else. With the pass-phrase of your own key you mark what comes back: first screen, "
    "Demonstrate, Class results. No program on a trainee's own computer can tell who sat there, or what "
    "else was open."
)
OPEN = "It stands in the list of papers. It is not sealed: whoever sits it may have it marked at once."


def show_error(front: Navigator, text: str) -> bool:
    """Say on a page of its own what did not work; False where the window was closed."""
    return front.show(OverPage(front.desk, "That did not work", text, []))


def papers(store: Store, person: int) -> list[Found]:
    """Papers at hand: the one under way first, then the newest."""
    last = Path(user_prefs.load().paper) if user_prefs.load().paper else None
    files: list[Path] = []
    with contextlib.suppress(OSError):
        files = sorted(user_prefs.papers_folder().glob("*.json"), key=lambda p: -p.stat().st_mtime)[
            :MOST_PAPERS
        ]
    if last is not None and last.is_file():
        files = [last, *(f for f in files if f != last)]
    found = [_found(path, store, person, path == last) for path in files]
    kept_ones = [f for f in found if f is not None]
    return sorted(kept_ones, key=lambda f: not f.state.startswith("under way"))


def _found(path: Path, store: Store, person: int, last: bool) -> Found | None:
    """A paper as it is listed; None for a file that is none. Only its first part is looked at."""
    try:
        if is_sealed(path):
            under = [s for s in store.unfinished(person) if s.kind == "exam"] if last else []
            return Found(path, path.stem, "sealed", _state(under, None))
        paper = read_questions(path, str).paper
    except BadInput:
        return None
    about = f"{counted(len(paper.questions), 'question')}, {paper.limit_s / 60:g} min, seed {paper.seed}"
    mine = under_way(store, person, paper)
    return Found(path, path.stem, about, _state(mine, handed_in(store, person, paper)))


def _state(unfinished: list[Sitting], done: Sitting | None) -> str:
    if unfinished and unfinished[0].left_s is not None:
        left_s = int(unfinished[0].left_s)
        return f"under way, {left_s // 60}:{left_s % 60:02d} left"
    return "handed in" if done else ""


def make_for_class(front: Navigator) -> bool:
    """The way "Make a paper": for whoever gives it to a class; False where the window was closed."""
    return make_paper(front, "class")


def make_paper(front: Navigator, name: str = "rehearsal") -> bool:
    """Make a paper into the folder of papers, and say where it lies; False where the window was closed."""
    lessons: Mapping[str, Scenario] | None = front.behind_bar("Reading the lessons", read_lessons)
    if lessons is None:
        return False
    number, has_key = date.today().toordinal() % 10_000, instructor_key.has_key(data_folder())
    page = MakePage(front.desk, lessons, REHEARSAL & set(lessons), number, has_key)
    page.texts["name"], page.sealed = name, name == "class"
    on = front.show(page)
    if page.ordered is None or not on:
        return on
    try:
        made = front.behind_bar("Making the paper", partial(make_text, page.ordered))
        if made is None:
            return False
        text, word = made
        stem = f"{page.ordered.name}-{'sealed' if word else page.ordered.seed}"
        path = write_whole(takeaway.fresh(user_prefs.papers_folder(), stem, ".json"), text)
        user_prefs.change(paper=str(path))
    except (BadInput, StoreProblem, SealProblem, OSError) as trouble:
        return show_error(front, " ".join(str(trouble).split()))
    told = f"{user_prefs.told(path)}\n\n{SEALED.format(word=word) if word else OPEN}"
    return front.show(OverPage(front.desk, "The paper is made", told, []))


def make_text(ordered: Ordered, tell: ReportProgress) -> tuple[str, str]:
    """The paper as a file, and its start word where it is sealed; runs every lesson.

    Raises:
        SealProblem: the key cannot be made.
    """
    key = _public_key(ordered.phrase) if ordered.sealed else None
    run = run_in_turn(len(ordered.lessons), tell)
    seed = None if ordered.sealed else ordered.seed
    made = make(Order(ordered.name, ordered.lessons, seed, ordered.minutes), run)
    word = new_start_word() if ordered.sealed else ""
    return paper_text(made.sources, key, word), word


def _public_key(phrase: str) -> instructor_key.PublicKey:
    folder = data_folder()
    if not instructor_key.has_key(folder):
        instructor_key.make_key(folder, phrase)
    return instructor_key.own_public_key(folder)


def data_folder() -> Path:
    """Where this computer keeps its store and its keys."""
    return user_prefs.store_file().parent


def run_in_turn(count: int, tell: ReportProgress) -> Run:
    """Runs scenarios to their end, one after another; `count` of them fill the progress bar.

    The function raises `BadInput` where the model cannot go on.
    """
    done = [0]

    def run(scenario: Scenario) -> MarkingLog:
        log = work_out(scenario, lambda share, _=None: tell((done[0] + share) / count, scenario.title))
        done[0] += 1
        if log.ended != "completed":
            raise BadInput([f"{scenario.scenario}: the run {log.ended}: {log.why}"])
        return log

    return run
