"""The way "Due today": who, what is due, a session, and back to what is due."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any

from glasscan.content import BadInput
from glasscan.learning.cases.short_case import short_case
from glasscan.learning.question_types.diagnose import CaseForm
from glasscan.learning.review.due import due_day
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.store.review_cards import cards_of
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.learning.study.study_plan import Plan, person_of, plan
from glasscan.learning.study.study_session import StudySession, left_over, settle
from glasscan.learning.variants import load_variant
from glasscan.ui.page_widgets import Row
from glasscan.window.open_request import OpenRequest
from glasscan.window.questions.key_run import work_out
from glasscan.window.study import user_prefs
from glasscan.window.study.aloud_page import AloudPage
from glasscan.window.study.lesson_runs import Runs
from glasscan.window.study.nickname_page import WhoPage
from glasscan.window.study.review_session import ReviewSession
from glasscan.window.study.session_end_page import OverPage
from glasscan.window.study.study_page import StudyPage
from glasscan.window.study.today_page import TodayPage, Todo

if TYPE_CHECKING:
    from glasscan.ui.progress_task import ReportProgress
    from glasscan.window.navigator import Navigator

Lessons = Mapping[str, Scenario]


def due_today(front: Navigator) -> bool:
    """Self-study until it is left; False where the window was closed."""
    lessons = front.behind_bar("Reading the lessons", read_lessons)
    if lessons is None:
        return False
    try:
        with Store(user_prefs.store_file()) as store:
            return _with_store(front, store, lessons)
    except StoreProblem as problem:
        return front.show(OverPage(front.desk, "The answers cannot be kept", str(problem), []))


def read_lessons(tell: ReportProgress) -> dict[str, Scenario]:
    """The shipped lessons, easy ones first; one with mistakes is left out."""
    from glasscan.learning.catalogue import scenario_names

    found, names = [], scenario_names()
    for i, name in enumerate(names):
        tell(i / len(names), name.replace("-", " "))
        try:
            found.append(load_scenario(name))
        except BadInput:
            continue
    return {s.scenario: s for s in sorted(found, key=lambda s: (s.level, s.scenario))}


def _with_store(front: Navigator, store: Store, lessons: Lessons) -> bool:
    on = user_prefs.load().nickname != "" or ask_who(front, store)
    while on and user_prefs.load().nickname:
        person = store.person(user_prefs.load().nickname)
        if not _settle(front, store, person, lessons):
            return False
        todo, on = _today(front, store, person, lessons)
        if todo is None:
            return on
        on = _do(front, store, person, todo)
    return on


def ask_who(front: Navigator, store: Store) -> bool:
    """Ask for a nickname and keep it; False where the window was closed."""
    rows = store.rows("SELECT nickname FROM people WHERE origin = '' ORDER BY nickname")
    page = WhoPage(front.desk, [row["nickname"] for row in rows])
    on = front.show(page)
    if page.chosen:
        user_prefs.change(nickname=page.chosen)
    return on


def _today(front: Navigator, store: Store, person: int, lessons: Lessons) -> tuple[Todo | None, bool]:
    """The lists of today; what was chosen, and whether the window is still open."""
    remembered, today = user_prefs.load(), date.today()

    def replan(exam_on: date | None) -> Plan:
        exams = {k: v for k, v in remembered.exams.items() if k != remembered.nickname}
        user_prefs.change(exams=exams | ({remembered.nickname: exam_on} if exam_on else {}))
        return plan(store, person, lessons, today, exam_on)

    exam_on = remembered.exam_on
    lists = plan(store, person_of(store, remembered.nickname), lessons, today, exam_on)
    page = TodayPage(front.desk, remembered.nickname, lists, lessons, today)
    page.exam_on, page.replan = exam_on, replan
    note = store.clock_note()
    if note:
        page.tell(note, bad=True)
    on = front.show(page)
    return page.todo, on


def _do(front: Navigator, store: Store, person: int, todo: Todo) -> bool:
    """What was chosen; False where the window was closed."""
    if todo.what == "who":
        return ask_who(front, store)
    if todo.what == "lesson":
        return front.open(OpenRequest(todo.names[0], "practise"))
    return _hold(front, store, person, todo)


def _hold(front: Navigator, store: Store, person: int, todo: Todo) -> bool:
    """One session."""
    names = list(dict.fromkeys(name.partition("/")[0] for name in todo.names))
    seed = date.today().toordinal()
    drawn = front.behind_bar("Drawing the questions", partial(_variants, names, seed))
    if drawn is None:
        return False
    runs = Runs(drawn.values())
    desk = StudySession(store, person, seed, lambda name, _: drawn[name], runs, date.today())
    try:
        session = ReviewSession(desk, runs, desk.items(todo.names))
        aloud = todo.what == "aloud"
        on = front.show(AloudPage(front.desk, session) if aloud else StudyPage(front.desk, session))
    finally:
        runs.stop()
    return on and (not session.results or front.show(_over(front, session)))


def _variants(names: list[str], seed: int, tell: ReportProgress) -> dict[str, Scenario]:
    found = {}
    for i, name in enumerate(names):
        tell(i / len(names), name.replace("-", " "))
        found[name] = load_variant(name, seed)
        for prompt in found[name].prompts:
            if isinstance(prompt, CaseForm):
                short_case(prompt)  # takes seconds the first time: here, behind the bar
    return found


def _over(front: Navigator, session: ReviewSession) -> OverPage:
    """What the session brought."""
    marked = [(i, g.result) for i, g in enumerate(session.quiz.given.values()) if g.result is not None]
    right = sum(result.share >= 1.0 for _, result in marked)
    summary = (
        f"{right} of {len(marked)} right. Wrong answers come again today; of the right ones, those you were "
        "not sure of come first. All of it is kept."
    )
    day = session.desk.today
    days = {c.item: (due_day(c.card) - day).days for c in cards_of(session.desk.store, session.desk.person)}
    rows = [
        Row(
            str(i),
            session.quiz.cards[i].text,
            f"{session.desk.lesson(item.lesson).title}: {_again(days.get(item.name, 0))}",
            "✓ right" if result.share >= 1 else "◐ partly" if result.share > 0 else "✗ not yet",
        )
        for i, result in marked
        for item in [session.items[i]]
    ]
    return OverPage(front.desk, "Session over", summary, rows)


def _again(days: int) -> str:
    return ("again today", "again tomorrow")[max(0, days)] if days < 2 else f"again in {days} days"


def _settle(front: Navigator, store: Store, person: int, lessons: Lessons) -> bool:
    """Mark what sessions that were cut off had kept but not marked; False where the window was closed."""
    items = {f"{name}/{p.id}" for name, s in lessons.items() for p in s.prompts}
    for sitting in left_over(store, person):
        rest = [a.given.prompt for a in store.answers(sitting) if a.mark is None and a.given.prompt in items]
        names = list(dict.fromkeys(prompt.partition("/")[0] for prompt in rest))
        again = front.behind_bar("Marking what was kept", partial(_run_again, names, sitting.seed))
        if again is None:
            return False
        desk = StudySession(store, person, sitting.seed, again.load, again.run, date.today())
        settle(store, sitting, desk, again.knows)
    return True


@dataclass(frozen=True)
class Again:
    """Lessons of a session that was cut off, with their runs by id."""

    lessons: dict[str, Scenario]
    logs: dict[str, Any]

    def load(self, name: str, _seed: int) -> Scenario:
        """A lesson."""
        return self.lessons[name]

    def run(self, scenario: Scenario) -> Any:
        """Its run."""
        return self.logs[scenario.scenario]

    def knows(self, prompt: str) -> bool:
        """Whether a question can be marked."""
        lesson, _, word = prompt.partition("/")
        return lesson in self.logs and any(p.id == word for p in self.lessons[lesson].prompts)


def _tell_part(tell: ReportProgress, what: str, done: int, of: int, share: float) -> None:
    tell((done + share) / of, what)


def _run_again(names: list[str], seed: int, tell: ReportProgress) -> Again:
    """Draw the lessons as they were asked, and run them; one that fails stays unmarked."""
    drawn = _variants(names, seed, lambda *_: None)
    logs = {}
    for i, (name, scenario) in enumerate(drawn.items()):
        logs[name] = work_out(scenario, partial(_tell_part, tell, scenario.title, i, len(drawn)))
    return Again(drawn, logs)
