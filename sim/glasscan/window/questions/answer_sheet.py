"""The cards of a lesson or paper with their answers: one is shown, locked ones stay as they are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from glasscan.window.questions.curve_pad import Point
from glasscan.window.questions.form_widgets import widgets_of
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError
from glasscan.window.questions.question_cards import (
    TEST,
    THINK,
    VERDICT,
    Answer,
    GivenAnswer,
    QuestionCard,
    Result,
)


class Recorder(Protocol):
    """Keeps what is committed; `trouble` says why the last answer was not kept."""

    trouble: str

    def keep(self, prompt: str, answer: Answer) -> None:
        """Store an answer."""

    def mark(self, prompt: str, result: Result) -> None:
        """Store its mark."""

    def close(self, over: bool) -> None:
        """Nothing more comes; `over` where every question was answered."""


class AnswerSheet:
    """The cards of a lesson and the answers given.

    Args:
        cards: the questions.
        exam: marks are kept back until every question is answered.
        recorder: takes committed answers and their marks, where they are kept.
    """

    def __init__(
        self, cards: Sequence[QuestionCard], exam: bool = False, recorder: Recorder | None = None
    ) -> None:
        self.cards, self.exam, self.recorder = list(cards), exam, recorder
        self.given = {c.id: GivenAnswer("", c.unit, [False] * max(0, len(c.edges_s) - 1)) for c in self.cards}
        self.at = 0
        self._late: dict[str, tuple[tuple[str, str], ...]] = {}
        self._ran: dict[str, Sequence[Point]] = {}

    def waits_for_fault(self) -> bool:
        """True while a question is open that a look at the faults could answer."""
        return any(given.result is None for given in self.given.values())

    def choices(self) -> tuple[tuple[str, str], ...]:
        """The lines to choose from; empty while the run they come from is being worked out."""
        card = self.card
        if card.late is None:
            return card.choices
        if card.id not in self._late:
            try:
                self._late[card.id] = card.late()
                self.now.notice = ""
            except AnswersAwaitedError as notice:
                self.now.notice = str(notice)
            except AnswersMissingError as trouble:
                self.now.trouble = str(trouble)
        return self._late.get(card.id, ())

    def ran(self) -> Sequence[Point]:
        """The run's own curve, once the drawn one is marked; else none."""
        card = self.card
        if card.ran is None or self.now.result is None:
            return ()
        if card.id not in self._ran:
            self._ran[card.id] = card.ran()
        return self._ran[card.id]

    def pick(self, key: str) -> None:
        """Tick a line, or take the tick away; of steps it is put last, or taken out of the order."""
        picked = self.now.picked
        if self.now.locked:
            return
        self.now.trouble = ""
        if key in picked:
            picked.remove(key)
        else:
            picked.append(key)

    def suspect(self, code: str) -> None:
        """Hold a suspect of a case possible, or no longer; what was held counts from the first test on."""
        if not self.bought:
            self.pick(THINK + code)
            self.now.picked.sort(key=lambda word: not word.startswith(THINK))

    def buy(self, word: str) -> None:
        """Buy a test of a case: it cannot be given back. Before the first, a suspect must be named."""
        now, word = self.now, TEST + word
        if now.locked or word in now.picked:
            return
        if not any(w.startswith(THINK) for w in now.picked):
            now.trouble = "Say first what you hold possible."
            return
        tests = [w for w in now.picked if not w.startswith(VERDICT)]
        now.picked[:] = [*tests, word, *(w for w in now.picked if w.startswith(VERDICT))]
        now.trouble = ""

    def decide(self, code: str) -> None:
        """Name the fault of a case."""
        if not self.now.locked:
            self.now.picked[:] = [w for w in self.now.picked if not w.startswith(VERDICT)] + [VERDICT + code]
            self.now.trouble = ""

    @property
    def bought(self) -> list[str]:
        """Tests of a case bought so far."""
        return [w.removeprefix(TEST) for w in self.now.picked if w.startswith(TEST)]

    @property
    def spent_min(self) -> float:
        """Minutes of the tests bought so far."""
        return sum(t.minutes for t in self.card.tests if t.word in self.bought)

    def plot(self, points: list[Point]) -> None:
        """Draw a curve anew."""
        if not self.now.locked:
            self.now.points, self.now.trouble = points, ""

    @property
    def card(self) -> QuestionCard:
        """The card shown."""
        return self.cards[self.at]

    @property
    def now(self) -> GivenAnswer:
        """What was done with the card shown."""
        return self.given[self.card.id]

    @property
    def kept_back(self) -> bool:
        """True in an exam while a question is still open."""
        return self.exam and any(not given.locked for given in self.given.values())

    def total(self) -> tuple[float, float] | None:
        """Marks earned and full marks, once every answer is marked."""
        results = [given.result for given in self.given.values()]
        known = [r for r in results if r is not None]
        if len(known) < len(results):
            return None
        return sum(r.marks for r in known), sum(r.out_of for r in known)

    def waiting(self) -> bool:
        """True where a prediction is still to be locked before the run may start."""
        return any(c.when == "before" and not self.given[c.id].locked for c in self.cards)

    def open_first(self, when: str) -> bool:
        """Show the first unlocked card of a time; False where there is none."""
        for i, card in enumerate(self.cards):
            if card.when == when and not self.given[card.id].locked:
                self.at = i
                return True
        return False

    def answer(self, text: str) -> None:
        """Write an answer; a locked one stays as it is."""
        if not self.now.locked:
            self.now.text, self.now.trouble = text, ""

    def flip(self, window: int) -> None:
        """Open or shut for one window of a valve strip."""
        if not self.now.locked:
            self.now.strip[window] = not self.now.strip[window]

    def lock(self) -> bool:
        """Commit the answer; False where there is none yet."""
        if not self.answered():
            self.now.trouble = "Give an answer first."
            return False
        self.now.locked = True
        if self.recorder is not None:
            self.recorder.keep(self.card.id, self.as_given())
            self.now.trouble = self.recorder.trouble
        return True

    def answered(self) -> bool:
        """Whether something stands there to be committed."""
        return widgets_of(self.card).answered(self.now)

    def reveal(self) -> None:
        """Mark the locked answer shown. An answer that cannot be read is opened again, with the reason.

        Where the key is still being worked out, `notice` says so and `update` tries again.
        """
        now = self.now
        if not now.locked or now.result is not None or self.kept_back:
            return
        now.notice = now.trouble = ""
        try:
            now.result = self.card.mark(self.as_given())
            if self.recorder is not None:
                self.recorder.mark(self.card.id, now.result)
        except AnswersAwaitedError as notice:
            now.notice = str(notice)
        except AnswersMissingError as trouble:
            now.trouble = str(trouble)
        except ValueError as trouble:
            now.locked, now.trouble = False, str(trouble)

    def update(self) -> None:
        """Mark the answer shown as soon as its key is there."""
        if self.now.notice and self.now.locked:
            self.reveal()

    def as_given(self) -> Answer:
        """The answer as it is marked: a number carries its unit where another one was chosen."""
        return widgets_of(self.card).given(self.card, self.now)

    def measure_in(self, unit: str) -> None:
        """Choose the unit of a number."""
        if not self.now.locked:
            self.now.unit = unit

    def turn(self, by: int) -> None:
        """Show the next or the last card."""
        self.at = (self.at + by) % len(self.cards)
