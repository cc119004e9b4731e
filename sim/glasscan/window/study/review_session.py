"""The order of a self-study session: predictions, the run, their marks, then the other questions."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import groupby

from glasscan.learning.ask_wording import fill
from glasscan.learning.exam.readings_table import Readings, readings
from glasscan.learning.marking import Result
from glasscan.learning.prompts import PosedQuestion, needs_run
from glasscan.learning.study.study_session import Item, KeptAnswer, StudySession
from glasscan.window.lesson.lesson_loading import asked_early, ran
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError
from glasscan.window.questions.lesson_cards import card_of, line_of
from glasscan.window.questions.question_cards import QuestionCard
from glasscan.window.study.lesson_runs import Runs


@dataclass(frozen=True)
class ReviewStep:
    """Ask a question, or tell the mark of a prediction after its run."""

    item: Item
    place: int
    tells: bool = False


@dataclass
class ReviewSession:
    """Where a session stands; nothing here draws.

    Attributes:
        desk: keeps and marks.
        runs: of its lessons.
        items: questions, in the order asked.
        quiz: their cards.
        at: step under way; behind the last one, the session is over.
        kept: stored answers, with the confidence stated, by place.
    """

    desk: StudySession
    runs: Runs
    items: list[Item]
    quiz: AnswerSheet = field(init=False)
    steps: list[ReviewStep] = field(init=False)
    at: int = 0
    kept: dict[int, tuple[KeptAnswer, int | None]] = field(default_factory=dict)
    notice: str = ""
    _since: float = field(default_factory=time.monotonic)
    _tables: dict[str, Readings] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.quiz = AnswerSheet([self._card(item) for item in self.items])
        self.steps = steps_of(self.desk, self.items)
        self._show()

    def _card(self, item: Item) -> QuestionCard:
        name = item.lesson
        late = needs_run(item.prompt)
        shown = _early(self.desk, item) if late else self.desk.asked(item)
        choices = (lambda: self.desk.asked(item).choices) if late else None
        curve = partial(ran, shown.axes, partial(self.desk.log, name)) if shown.axes else None
        return card_of(shown, late=choices, ran=curve)

    @property
    def over(self) -> bool:
        """Every step is done."""
        return self.at >= len(self.steps)

    @property
    def step(self) -> ReviewStep:
        """The step under way; of a session that is over, the last one."""
        return self.steps[min(self.at, len(self.steps) - 1)]

    @property
    def lesson(self) -> str:
        """Id of the lesson of the step."""
        return self.step.item.lesson

    @property
    def results(self) -> list[Result]:
        """Marks so far."""
        return [g.result for g in self.quiz.given.values() if isinstance(g.result, Result)]

    def told(self) -> str:
        """What the lesson of the step says of itself."""
        return self.told_of(self.lesson)

    def told_of(self, name: str) -> str:
        """What a lesson says of itself."""
        scenario = self.desk.lesson(name)
        return f"{fill(scenario.about, scenario)}\n\n{scenario.safety}"

    def table(self) -> Readings | None:
        """Instruments of the run, once nothing is to be predicted and the run is there."""
        before = not self.step.tells and self.desk.before_run(self.step.item)
        return None if before else self.table_of(self.lesson)

    def table_of(self, name: str) -> Readings | None:
        """Instruments of a run, once it is there."""
        if not self.runs.ready(name):
            return None
        if name not in self._tables:
            self._tables[name] = readings(self.desk.lesson(name), self.desk.log(name))
        return self._tables[name]

    def keep(self, confidence: int | None) -> bool:
        """Store the answer shown; when this returns True it is on the disk. False: nothing to keep.

        Raises:
            ValueError: it is no answer to this question.
            StoreProblem: the disk refuses it.
        """
        line = line_of(self.quiz)
        if not line or self.quiz.now.locked or not self.quiz.answered():
            return False
        kept = self.desk.keep(self.step.item, line, confidence, time.monotonic() - self._since)
        self.kept[self.step.place] = kept, confidence
        self.quiz.now.locked = True
        if self.desk.before_run(self.step.item):
            self.next()
        else:
            self.mark()
        return True

    def mark(self) -> None:
        """Mark the kept answer shown as soon as its run is there."""
        now, step = self.quiz.now, self.step
        if self.over or now.result is not None or step.place not in self.kept:
            return
        if not step.tells and self.desk.before_run(step.item):
            return
        try:
            now.result = self.desk.mark(step.item, *self.kept[step.place])
            self.notice = ""
        except (AnswersAwaitedError, AnswersMissingError) as notice:
            self.notice = str(notice)

    def next(self) -> None:
        """The next step; marks of predictions that were left are skipped."""
        self.at += 1
        while not self.over and self.step.tells and self.step.place not in self.kept:
            self.at += 1
        if self.over:
            self.desk.close()
        else:
            self._show()

    def _show(self) -> None:
        self.quiz.at = self.step.place
        self._since = time.monotonic()
        self.mark()

    def update(self) -> None:
        """Let the runs go on, and mark what waits for them."""
        self.runs.update()
        self.mark()


def steps_of(desk: StudySession, items: Sequence[Item]) -> list[ReviewStep]:
    """Lesson by lesson: its predictions, their marks, then the rest."""
    steps: list[ReviewStep] = []
    for _, group in groupby(enumerate(items), key=lambda pair: pair[1].lesson):
        pairs = list(group)
        before = [(i, item) for i, item in pairs if desk.before_run(item)]
        steps += [ReviewStep(item, i) for i, item in before]
        steps += [ReviewStep(item, i, tells=True) for i, item in before]
        steps += [ReviewStep(item, i) for i, item in pairs if (i, item) not in before]
    return steps


def _early(desk: StudySession, item: Item) -> PosedQuestion:
    """A question whose numbers to choose from come from a run that is not there yet."""
    return asked_early(item.prompt, desk.lesson(item.lesson))
