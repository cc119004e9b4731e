"""What a class says before the run: a question, the hands counted for each answer, then what happened.

The truth comes from the model: for a question of the lesson its mark on the run of the lesson, for the
question on the valve the events of the run on the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from glasscan.ui.display_units import clock
from glasscan.window.lesson.lesson_session import LessonSession
from glasscan.window.questions.form_widgets import widgets_of
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError
from glasscan.window.questions.prompt_panel import AnswerSheet, QuestionCard

MOST = 999  # hands for one answer
VALVE = (
    ("shut", "It stays shut."),
    ("seats", "It opens and shuts again."),
    ("open", "It opens and is still open at the end."),
)


@dataclass(frozen=True)
class Truth:
    """The answer that was right, and why."""

    right: str
    reason: str


@dataclass(frozen=True)
class Poll:
    """One question: id, text, (id, text) of each answer, and how the truth is found.

    `truth` may raise `AnswersAwaitedError` or `AnswersMissingError`.
    """

    id: str
    text: str
    options: tuple[tuple[str, str], ...]
    truth: Callable[[], Truth]


def valve_truth(session: LessonSession) -> Truth:
    """What the bypass valve did in the run so far."""
    events = session.events
    opened = next((e for e in events if e.word == "bypass-cracks"), None)
    if opened is None:
        return Truth("shut", f"In {clock(session.snapshot.t_s)} of the run it did not lift.")
    seats = [e for e in events if e.word == "bypass-seats"]
    when = f"It cracked open at {clock(opened.t_s)}"
    if session.snapshot.lift_m > 0 or not seats:
        return Truth("open", f"{when} and is off its seat at {clock(session.snapshot.t_s)}.")
    return Truth("seats", f"{when} and was back on its seat at {clock(seats[-1].t_s)}.")


def card_truth(card: QuestionCard, moved: Callable[[], bool]) -> Truth:
    """The right one of a card's answers, found by marking each."""
    marked = [(word, card.mark(word)) for word, _ in card.choices]
    right, result = max(marked, key=lambda row: row[1].share)
    note = " (This is the lesson as written; the controls were changed meanwhile.)" if moved() else ""
    return Truth(right, result.reason + note)


def polls(session: LessonSession, prompts: AnswerSheet | None) -> list[Poll]:
    """The lesson's own questions with answers to choose from, and one on the valve; none in an exam."""
    if prompts is not None and prompts.exam:
        return []
    found = []
    for card in prompts.cards if prompts is not None else []:
        if card.late is None and widgets_of(card).whole and 2 <= len(card.choices) <= 6:
            truth = _bound(card, session)
            found.append(Poll(card.id, card.text, card.choices, truth))
    if session.facts.cracking_pa is not None:
        text = "What will the bypass valve do in this run?"
        found.append(Poll("bypass-valve", text, VALVE, lambda: valve_truth(session)))
    return found


def _bound(card: QuestionCard, session: LessonSession) -> Callable[[], Truth]:
    return lambda: card_truth(card, lambda: bool(session.changes))


@dataclass
class Hands:
    """Hands counted for each answer of each question.

    Attributes:
        polls: the questions.
        at: which is shown.
        notice: why the truth is not there yet.
    """

    polls: Sequence[Poll]
    at: int = 0
    notice: str = ""
    counts: dict[str, list[int]] = field(default_factory=dict)
    locked: set[str] = field(default_factory=set)
    truths: dict[str, Truth] = field(default_factory=dict)
    _order: list[tuple[str, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.counts = {p.id: [0] * len(p.options) for p in self.polls}

    @property
    def poll(self) -> Poll:
        """The question shown."""
        return self.polls[self.at]

    @property
    def now(self) -> list[int]:
        """Its hands."""
        return self.counts[self.poll.id]

    @property
    def is_locked(self) -> bool:
        """True once its hands are committed."""
        return self.poll.id in self.locked

    @property
    def truth(self) -> Truth | None:
        """What happened, once it was asked for."""
        return self.truths.get(self.poll.id)

    @property
    def any(self) -> bool:
        """True once a hand was counted."""
        return any(sum(row) for row in self.counts.values())

    def add(self, option: int) -> None:
        """One hand more for an answer."""
        if not self.is_locked and 0 <= option < len(self.now):
            self.now[option] = min(self.now[option] + 1, MOST)
            self._order.append((self.poll.id, option))

    def take_back(self) -> None:
        """Undo the last hand added to the question shown."""
        mine = [i for i, (word, _) in enumerate(self._order) if word == self.poll.id]
        if self.is_locked or not mine:
            return
        _, option = self._order.pop(mine[-1])
        self.now[option] = max(self.now[option] - 1, 0)

    def put(self, option: int, number: int) -> None:
        """Type the count of an answer."""
        if not self.is_locked:
            self.now[option] = min(max(number, 0), MOST)

    def lock(self) -> bool:
        """Commit the hands; False where there are none."""
        if sum(self.now) == 0:
            self.notice = "Count at least one hand first."
            return False
        self.notice = ""
        self.locked.add(self.poll.id)
        return True

    def reveal(self) -> None:
        """Ask for the truth of a locked question."""
        if not self.is_locked or self.truth is not None:
            return
        self.notice = ""
        try:
            self.truths[self.poll.id] = self.poll.truth()
        except (AnswersAwaitedError, AnswersMissingError, ValueError) as trouble:
            self.notice = str(trouble)

    def turn(self, by: int) -> None:
        """Another question."""
        self.at, self.notice = (self.at + by) % len(self.polls), ""

    def right_ones(self) -> int | None:
        """Hands for the right answer, once it is known."""
        if self.truth is None:
            return None
        words = [word for word, _ in self.poll.options]
        return self.now[words.index(self.truth.right)] if self.truth.right in words else None


def tally_csv(hands: Hands, stamp: str) -> str:
    """All questions with a hand as a table: question, answer, hands, whether it was right, why."""
    import csv
    import io

    out = io.StringIO()
    out.write(f"# {stamp}\n")
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["question", "answer", "hands", "right", "reason"])
    for poll in hands.polls:
        truth = hands.truths.get(poll.id)
        if sum(hands.counts[poll.id]) == 0:
            continue
        for (word, text), count in zip(poll.options, hands.counts[poll.id], strict=True):
            right = "" if truth is None else "yes" if truth.right == word else "no"
            rows.writerow([poll.text, text, count, right, truth.reason if truth and right == "yes" else ""])
    return out.getvalue()


def total_words(hands: Hands) -> str:
    """How many hands there are, and how many were right."""
    all_hands, right = sum(hands.now), hands.right_ones()
    if right is None:
        return f"{all_hands} {'hand' if all_hands == 1 else 'hands'}"
    return f"{right} of {all_hands} said so"
