"""The way "Sit a paper": choose or make one, open it, sit it, hand it in; rehearsals are marked at once."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glasscan.content import BadInput
from glasscan.files import write_whole
from glasscan.learning.exam.exam_sitting import begin, handed_in, under_way
from glasscan.learning.exam.paper import OpenPaper, Paper, is_sealed, read_questions, read_sources
from glasscan.learning.exam.paper_marking import Outcome, judge, keyed
from glasscan.learning.exam.store_marks import keep_marks
from glasscan.learning.identity import file_name
from glasscan.learning.question_type import type_of
from glasscan.learning.store.results_files import handed_in_text, results_of
from glasscan.learning.store.rows import Sitting
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.window.exam.gate_pages import PassPage, ReadyPage
from glasscan.window.exam.marked_page import MarkedPage, MarkedPaper
from glasscan.window.exam.paper_flow import make_paper, papers, run_in_turn, show_error
from glasscan.window.exam.papers_page import PapersPage
from glasscan.window.exam.sit_page import SitPage
from glasscan.window.lesson import takeaway
from glasscan.window.study import user_prefs
from glasscan.window.study.session_end_page import OverPage
from glasscan.window.study.study_flow import ask_who

if TYPE_CHECKING:
    from glasscan.learning.seals.instructor_key import PrivateKey
    from glasscan.ui.progress_task import ReportProgress
    from glasscan.window.navigator import Navigator

CLOCKS = {
    "runs-on": "The clock runs on while the paper is not open.",
    "stands": "The clock stands while the paper is not open; your instructor is told each break.",
}
TIME_IS_UP = "The paper was handed in with every answer that was kept."


def sit_a_paper(front: Navigator) -> bool:
    """Exam papers until they are left; False where the window was closed."""
    try:
        with Store(user_prefs.store_file()) as store:
            return _with_store(front, store)
    except StoreProblem as problem:
        return show_error(front, str(problem))


def _with_store(front: Navigator, store: Store) -> bool:
    on = user_prefs.load().nickname != "" or ask_who(front, store)
    while on and user_prefs.load().nickname:
        who = user_prefs.load().nickname
        page = PapersPage(front.desk, who, papers(store, store.person(who)))
        on = front.show(page)
        if not on:
            return False
        if page.other:
            on = ask_who(front, store)
        elif page.make:
            on = make_paper(front)
        elif page.chosen is not None:
            on = _open(front, store, page.chosen)
        else:
            return True
    return on


def _open(front: Navigator, store: Store, path: Path) -> bool:
    """Open a paper and sit it; False where the window was closed."""
    try:
        opened = _opened(front, path)
    except BadInput as bad:
        return show_error(front, bad.lines[0])
    if isinstance(opened, bool):
        return opened
    user_prefs.change(paper=str(path.resolve()))
    person = store.person(user_prefs.load().nickname)
    done: Sitting | bool = handed_in(store, person, opened.paper) or _sit(front, store, person, opened)
    if isinstance(done, bool):
        return done
    return _handed(front, store, path, opened, done)


def _opened(front: Navigator, path: Path) -> OpenPaper | bool:
    """The questions of a paper; a bool where the pass-phrase was not given: is the window still open?"""
    if not is_sealed(path):
        return read_questions(path, str)
    page = PassPage(front.desk, path.stem, lambda phrase: read_questions(path, lambda: phrase))
    on = front.show(page)
    return page.opened if on and isinstance(page.opened, OpenPaper) else on


def _sit(front: Navigator, store: Store, person: int, opened: OpenPaper) -> Sitting | bool:
    """One sitting; a bool where it was not handed in: is the window still open?"""
    paper = opened.paper
    known = under_way(store, person, paper)
    ready = ReadyPage(front.desk, paper.paper, _told(store, paper, known), "Go on" if known else "Begin")
    on = front.show(ready)
    if not ready.begun or not on:
        return on
    page = SitPage(front.desk, begin(store, person, paper))
    on = front.show(page)
    if not on:
        page.exam.leave()
    if page.late and on:
        on = front.show(OverPage(front.desk, "The time is up", TIME_IS_UP, []))
    return store.sitting(page.exam.sitting.id) if page.handed and on else on


def _told(store: Store, paper: Paper, known: list[Sitting]) -> str:
    count = len(paper.questions)
    rules = (
        "Every answer is kept on the disk as soon as it is given. After a crash, open the same paper: "
        f"answers are where they were. {CLOCKS[paper.clock]} Marks and reasons come after it is handed in."
    )
    if known and known[0].left_s is not None:
        answered, left_s = len(store.answers(known[0])), int(known[0].left_s)
        left = f"{left_s // 60}:{left_s % 60:02d} min are left"
        return f"You have answered {answered} of {count} questions, and {left}.\n\n{rules}"
    limit = f"{paper.limit_s / 60:g} minutes from the moment you begin"
    return f"{count} questions, {paper.marks:g} marks, {limit}. Pass mark {paper.pass_share:.0%}.\n\n{rules}"


def _handed(front: Navigator, store: Store, path: Path, opened: OpenPaper, done: Sitting) -> bool:
    """Write the results file; a rehearsal may be marked now."""
    answered = len(store.answers(done))
    try:
        file = write_results(store, opened, done)
    except (OSError, StoreProblem) as trouble:
        return show_error(front, f"The answers are kept, but the results file is not written: {trouble}")
    count = len(opened.paper.questions)
    text = (
        f"Handed in: {answered} of {count} questions answered.\n\nThe results file: {user_prefs.told(file)}"
    )
    if opened.instructor is not None:
        sealed = "Give this file to your instructor: only your instructor's key opens it."
        return front.show(OverPage(front.desk, "Handed in", f"{text}\n\n{sealed}", []))
    text += "\n\nThis is a rehearsal: you may mark it now."
    page = ReadyPage(front.desk, "Handed in", text, "Mark it now")
    on = front.show(page)
    return on and (not page.begun or _marks(front, store, path, opened, done))


def write_results(store: Store, opened: OpenPaper, done: Sitting) -> Path:
    """The results file in the user's documents; another person's or paper's is never overwritten.

    Raises:
        OSError: it cannot be written.
        StoreProblem: the sitting was not handed in.
    """
    text = handed_in_text(store, done, opened.instructor, opened.paper.record_key)
    stem = file_name(done.paper, store.people()[done.person], apart=done.uid)
    return write_whole(takeaway.home_folder() / f"{stem}.results.json", text)


def _marks(front: Navigator, store: Store, path: Path, opened: OpenPaper, done: Sitting) -> bool:
    """Mark a rehearsal and show the reasons; False where the window was closed."""
    results = results_of(store, done)
    try:
        outcome = front.behind_bar("Marking", partial(_judged, path, results))
    except (BadInput, StoreProblem) as trouble:
        return show_error(front, " ".join(str(trouble).split()))
    if outcome is None:
        return False
    keep_marks(store, outcome)
    return front.show(marked_page(front, opened.paper, outcome))


def _no_key() -> PrivateKey:
    raise BadInput(["a sealed paper is marked by its instructor"])


def _judged(path: Path, results: Any, tell: ReportProgress) -> Outcome:
    sources = read_sources(path, _no_key)
    return judge(results, sources, keyed(sources, run_in_turn(len(sources.scenarios), tell)))


def marked_page(front: Navigator, paper: Paper, outcome: Outcome) -> MarkedPage:
    """The marks of one person."""
    asked = {q.asked.id: q.asked for q in paper.questions}
    given = {item.prompt: item.given for item in outcome.results.items}
    told = [
        MarkedPaper(asked[name].text, _words(asked[name], given[name]), r.marks, r.out_of, r.reason)
        for name, r in outcome.told
    ]
    return MarkedPage(front.desk, paper.paper, outcome.verdict.line, outcome.verdict.passed, told)


def _words(asked: Any, given: str) -> str:
    """A stored answer as people read it."""
    if not given:
        return "no answer"
    return type_of(asked).words(asked, given)
