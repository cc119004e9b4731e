"""One self-study session in text."""

from __future__ import annotations

import time
from collections.abc import Sequence
from itertools import groupby

from glasscan.cli.talk import InputEnded, Talk
from glasscan.learning.ask_wording import fill
from glasscan.learning.exam.answer_codec import shown_lines
from glasscan.learning.exam.case_line import is_open, told
from glasscan.learning.exam.readings_table import readings, table_lines
from glasscan.learning.marking import Result
from glasscan.learning.scoring.confidence import ODDS
from glasscan.learning.study.study_session import Item, KeptAnswer, StudySession

STOPPED = 130
SURE = "How sure? " + ", ".join(f"{level} = {odds}" for level, odds in ODDS.items()) + "; Enter = not said: "

Pending = list[tuple[Item, KeptAnswer, int | None]]
"""Predictions that wait for the run."""


def hold(talk: Talk, desk: StudySession, names: Sequence[str]) -> int:
    """Ask the questions named; 0, or 130 where it was stopped from the keyboard.

    Every answer is on the disk before it is acknowledged; one whose mark was cut off is marked next time.
    """
    try:
        if not names:
            talk.say("", "Nothing is due. Come back tomorrow, or name a lesson.")
        for lesson, items in groupby(desk.items(names), key=lambda item: item.lesson):
            _lesson(talk, desk, lesson, list(items))
    except (InputEnded, KeyboardInterrupt):
        talk.say("", "stopped: every answer that was acknowledged is kept")
        return STOPPED
    desk.close()
    return 0


def _lesson(talk: Talk, desk: StudySession, name: str, items: Sequence[Item]) -> None:
    scenario = desk.lesson(name)
    talk.say("", scenario.title)
    talk.tell(fill(scenario.about, scenario), scenario.safety, "Enter alone leaves a question.")
    waiting: Pending = []
    for item in (i for i in items if desk.before_run(i)):
        if kept := _ask(talk, desk, item):
            waiting.append(kept)
    talk.say("", "The run:", *table_lines(readings(scenario, desk.log(name))))
    for item, answer, confidence in waiting:
        talk.say("")
        talk.tell(desk.asked(item).text, f"You said: {answer.given}")
        _told(talk, desk.mark(item, answer, confidence))
    for item in (i for i in items if not desk.before_run(i)):
        if kept := _ask(talk, desk, item):
            _told(talk, desk.mark(*kept))


def _ask(talk: Talk, desk: StudySession, item: Item) -> tuple[Item, KeptAnswer, int | None] | None:
    """Ask one question; the answer as kept, or None where it was left."""
    asked = desk.asked(item)
    talk.say("")
    talk.tell(asked.text)
    talk.say(*shown_lines(asked))
    since, so_far = time.monotonic(), ""
    while line := talk.ask("> "):
        line = f"{so_far} {line}".strip()
        try:
            known = desk.readable(item, line)
        except ValueError as problem:
            talk.say(str(problem))
            continue
        if is_open(asked, known):
            so_far = known
            talk.say(*told(asked, known))
            continue
        confidence = _sure(talk)
        kept = desk.keep(item, line, confidence, time.monotonic() - since)
        talk.say(f"kept: {kept.given}")
        return item, kept, confidence
    return None


def _sure(talk: Talk) -> int | None:
    while line := talk.ask(SURE):
        if line in ("1", "2", "3"):
            return int(line)
    return None


def _told(talk: Talk, result: Result) -> None:
    score = f"{result.marks:g} of {result.out_of:g}. " if result.out_of else ""
    talk.tell(f"{score}{result.reason}")
