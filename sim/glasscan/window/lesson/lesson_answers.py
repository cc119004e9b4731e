"""Answers given in a lesson go into the store as those of self-study and papers do."""

from __future__ import annotations

import time
from collections.abc import Mapping
from contextlib import closing
from typing import TYPE_CHECKING, Any

from glasscan.learning.answer_recorder import AnswerRecorder, gone_on_with
from glasscan.learning.answer_text import to_text
from glasscan.learning.exam.paper_marking import codes_of
from glasscan.learning.shuffling import new_salt
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.lesson_cards import restore
from glasscan.window.study import user_prefs

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.learning.store.rows import Sitting

SELF = "me"
"""Nickname where none was asked for yet, as in `glasscan study`."""


def who() -> str:
    """Nickname of the one at the screen."""
    return user_prefs.load().nickname or SELF


class LessonAnswers:
    """Keeps and marks the answers of one lesson; the store is opened with the first one.

    Attributes:
        salt: secret of the sitting, that of the sitting gone on with where there is one.
        trouble: why the last answer was not kept, or "".
    """

    def __init__(self, scenario: Scenario, resume: bool) -> None:
        self.scenario, self.trouble = scenario, ""
        self.salt = new_salt()
        self._recorder: AnswerRecorder | None = None
        self._numbers: dict[str, int] = {}
        self._kept: Mapping[str, str] = {}
        self._sitting: Sitting | None = None
        self._since = time.monotonic()
        self._look(resume)

    def _look(self, resume: bool) -> None:
        """A sitting that is not over is gone on with, or ended where the lesson begins anew."""
        if not user_prefs.store_file().is_file():
            return
        try:
            with closing(Store(user_prefs.store_file())) as store:
                person = store.person(who())
                while found := gone_on_with(store, person, "lesson", self.scenario.scenario):
                    if resume:
                        self._sitting, self.salt = found, found.salt
                        kept = store.answers(found)
                        self._kept = {a.given.prompt: a.given.given for a in kept}
                        self._numbers = {a.given.prompt: a.id for a in kept}
                        return
                    store.end(found)
        except StoreProblem as problem:
            self.trouble = str(problem)

    def put_back(self, sheet: AnswerSheet) -> None:
        """Answers of a sitting that is gone on with, where they were."""
        for card in sheet.cards:
            if card.id in self._kept:
                restore(card, self._kept[card.id], sheet.given[card.id])
                sheet.given[card.id].locked = True
                sheet.given[card.id].notice = "Kept from the last time."

    def keep(self, prompt: str, answer: Any) -> None:
        """Store a committed answer; what the disk refuses is told and the lesson goes on."""
        spent, self._since = time.monotonic() - self._since, time.monotonic()
        try:
            self._numbers[prompt] = self._open().keep(prompt, to_text(answer), None, spent)
            self.trouble = ""
        except (StoreProblem, ValueError) as problem:
            self.trouble = f"Not kept: {problem}"

    def mark(self, prompt: str, result: Any) -> None:
        """Store its mark."""
        if prompt not in self._numbers:
            return
        own = next(p for p in self.scenario.prompts if p.id == prompt)
        try:
            self._open().mark(self._numbers[prompt], result, codes_of(self.scenario, own))
        except StoreProblem as problem:
            self.trouble = f"Not kept: {problem}"

    def _open(self) -> AnswerRecorder:
        if self._recorder is None:
            store = Store(user_prefs.store_file())
            name, seed = self.scenario.scenario, self.scenario.seed
            person = store.person(who())
            self._recorder = AnswerRecorder(store, person, "lesson", name, seed, self.salt, self._sitting)
        return self._recorder

    def close(self, over: bool) -> None:
        """Close the store; a lesson with every question answered is over."""
        if self._recorder is None:
            return
        try:
            if over:
                self._recorder.close()
        except StoreProblem as problem:
            self.trouble = str(problem)
        finally:
            self._recorder.store.close()
            self._recorder = None
