"""Sit a paper in text: one question after another, the clock running, answers kept before they are told."""

from __future__ import annotations

import json
from pathlib import Path

from glasscan.cli.files import write_whole
from glasscan.cli.talk import InputEnded, Talk
from glasscan.content import BadInput
from glasscan.learning.exam.answer_codec import shown_lines
from glasscan.learning.exam.case_line import is_open, told
from glasscan.learning.exam.exam_sitting import ExamSitting, TimeIsUp, begin, handed_in, under_way
from glasscan.learning.exam.paper import OpenPaper, Paper, PaperQuestion
from glasscan.learning.exam.readings_table import table_lines
from glasscan.learning.store.connection import store_path
from glasscan.learning.store.results_files import handed_in_text
from glasscan.learning.store.rows import Sitting
from glasscan.learning.store.store import Store

STOPPED = 130
HELP = (
    "Enter alone: leave the question for now.  :go 3  :list  :readings  :time  :end",
    "Ctrl-C stops; the same command goes on where you were.",
)
CLOCKS = {
    "runs-on": "The clock runs on while the paper is not open; your instructor is told each break.",
    "stands": "The clock stands while the paper is not open; your instructor is told each break.",
}


def sit(opened: OpenPaper, who: str, data_dir: Path | None, out: Path, talk: Talk, as_json: bool) -> int:
    """Sit a paper, or go on with it, and write the results file.

    Raises:
        BadInput: the results file would overwrite another one.
        StoreProblem: the store cannot be used.
    """
    paper = opened.paper
    with Store(store_path(data_dir)) as store:
        person = store.person(who)
        done = handed_in(store, person, paper)
        may_be_written(out, store, person, paper)
        if done is None:
            exam = _begun(store, person, opened, talk)
            done = Conversation(talk, exam).hold() if exam else None
        if done is None:
            talk.say("", "stopped: every answer that was acknowledged is kept; the same command goes on")
            return STOPPED
        write_whole(out, handed_in_text(store, done, opened.instructor, paper.record_key))
        _tell(store, done, opened, out, talk, as_json)
    return 0


def _begun(store: Store, person: int, opened: OpenPaper, talk: Talk) -> ExamSitting | None:
    paper = opened.paper
    known = under_way(store, person, paper)
    talk.say(
        f"{paper.paper}: {len(paper.questions)} questions, {paper.marks:g} marks", *HELP, CLOCKS[paper.clock]
    )
    if not known:
        try:
            talk.ask(f"You have {clock_text(paper.limit_s)} from the moment you press Enter. ")
        except (InputEnded, KeyboardInterrupt):
            return None
    exam = begin(store, person, paper)
    if known:
        answered = len(exam.answers)
        talk.say(f"going on: {answered} of {len(paper.questions)} answered, {clock_text(exam.left_s)} left")
    return exam


def may_be_written(out: Path, store: Store, person: int, paper: Paper) -> None:
    """Refuse to overwrite anything but an earlier copy of the same results."""
    if not out.exists():
        return
    done = handed_in(store, person, paper)
    try:
        same = done is not None and out.read_text(encoding="utf-8") == store.handed_text(done)
    except (OSError, ValueError):
        same = False
    if not same:
        raise BadInput([f"{out}: is there already and holds something else; choose another name with --out"])


def _tell(store: Store, done: Sitting, opened: OpenPaper, out: Path, talk: Talk, as_json: bool) -> None:
    answered = len(store.answers(done))
    if as_json:
        told = {
            "paper": done.paper,
            "seed": done.seed,
            "handed_in": True,
            "answered": answered,
            "questions": len(opened.paper.questions),
            "left_s": done.left_s,
            "sealed": opened.instructor is not None,
            "results": str(out),
        }
        print(json.dumps(told))
    else:
        questions = len(opened.paper.questions)
        talk.say(f"handed in: {answered} of {questions} answered; give the file {out} to your instructor")


class Conversation:
    """The questions of one sitting, on a terminal."""

    def __init__(self, talk: Talk, exam: ExamSitting) -> None:
        self.talk, self.exam = talk, exam
        self._told: set[str] = set()

    def hold(self) -> Sitting | None:
        """Ask until the paper is handed in or the time is up; None where it was stopped before."""
        try:
            self._ask_all()
        except TimeIsUp:
            self.talk.say("", "The time is up.")
        except (InputEnded, KeyboardInterrupt):
            self.exam.leave()
            return None
        return self.exam.hand_in()

    def _ask_all(self) -> None:
        self._meanwhile()
        place: int | None = self._first_open()
        while place is not None:
            place = self._question(place) if place < len(self.exam.paper.questions) else self._end()

    def _first_open(self) -> int:
        rest, every = self.exam.open_questions, self.exam.paper.questions
        return every.index(rest[0]) if rest else len(every)

    def _question(self, place: int) -> int | None:
        """Ask one question; the place of the next, None to hand in."""
        question = self.exam.paper.questions[place]
        self._section(question)
        asked = question.asked
        head = f"Question {place + 1} of {len(self.exam.paper.questions)} ({_marks(asked.marks)})"
        self.talk.say("", f"{head}, {clock_text(self.exam.left_s)} left")
        self.talk.tell(asked.text)
        self.talk.say(*shown_lines(asked))
        if asked.id in self.exam.answers:
            self.talk.say(f"(kept so far: {self.exam.answers[asked.id]})")
        return self._answer(place, question)

    def _answer(self, place: int, question: PaperQuestion) -> int | None:
        since = self.exam.clock()
        while True:
            line = self.talk.ask("> ", self._meanwhile)
            if line.startswith(":"):
                return self._command(place, line[1:].split())
            if not line:
                return place + 1
            try:
                so_far = self.exam.answers.get(question.asked.id, "")
                whole = f"{so_far} {line}" if is_open(question.asked, so_far) else line
                kept = self.exam.give(question, whole, self.exam.clock() - since)
            except ValueError as problem:
                self.talk.say(str(problem))
                continue
            self.talk.say(f"kept: {kept}", *told(question.asked, kept))
            return place if is_open(question.asked, kept) else place + 1

    def _command(self, place: int, words: list[str]) -> int | None:
        """What a line that begins with a colon asks for; the place of the next question."""
        count = len(self.exam.paper.questions)
        match words:
            case ["go", number] if number.isdecimal() and 1 <= int(number) <= count:
                return int(number) - 1
            case ["list"]:
                self.talk.say(*self._list())
            case ["time"]:
                self.talk.say(f"{clock_text(self.exam.left_s)} left")
            case ["readings"] if place < count:
                self._told.discard(self.exam.paper.questions[place].section)
            case ["end"]:
                return count
            case _:
                self.talk.say(*HELP)
        return place

    def _end(self) -> int | None:
        """Before handing in."""
        rest = len(self.exam.open_questions)
        self.talk.say("", f"{rest} of {len(self.exam.paper.questions)} questions are without an answer.")
        line = self.talk.ask("Hand in? Type yes, or :go N for a question, :list for all: ", self._meanwhile)
        if line.casefold() == "yes":
            return None
        count = len(self.exam.paper.questions)
        return self._command(count, line[1:].split()) if line.startswith(":") else count

    def _list(self) -> list[str]:
        kept = self.exam.answers
        return [f"{i:3}  {kept.get(q.asked.id, '-')}" for i, q in enumerate(self.exam.paper.questions, 1)]

    def _section(self, question: PaperQuestion) -> None:
        if question.section in self._told:
            return
        self._told.add(question.section)
        section = next(s for s in self.exam.paper.sections if s.scenario == question.section)
        self.talk.say("", section.title)
        self.talk.tell(section.about, section.safety)
        self.talk.say("", *table_lines(section.readings))

    def _meanwhile(self) -> None:
        self.exam.tick()
        if self.exam.left_s <= 0.0:
            raise TimeIsUp


def clock_text(seconds: float) -> str:
    """Time as minutes and seconds."""
    whole = int(seconds)
    return f"{whole // 60}:{whole % 60:02} min"


def _marks(marks: float) -> str:
    return f"{marks:g} mark" + ("" if marks == 1 else "s")
