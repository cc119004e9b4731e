"""A case at a table of text: one line in, some lines out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from glasscan.content import BadInput
from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.case_files import save
from glasscan.learning.cases.case_play import ACTS, CANNOT_TELL, Case, RefusedError, field_of
from glasscan.learning.cases.case_words import result_lines
from glasscan.learning.cases.hints import hint, look_alikes, tell_apart
from glasscan.learning.cases.reference import ReferenceStep
from glasscan.learning.cases.repair_check import repair_check
from glasscan.learning.cases.scoring import Review, own_path, review
from glasscan.learning.cases.test_menu import menu

HELP = (
    "think F06 F12 ...     state what you hold possible (before a test)",
    "start | stop | release   the engine; release = cool, let the pressure out; a start closes up first",
    "test WORD             order a test of the menu",
    "menu | faults | notes   show the tests, the faults that can be named, the record",
    "hint 1|2|3            where to look, which principle, the worked step; costs marks",
    "alike                 which faults give this picture; costs marks",
    "apart F06 F12         tests that part two faults",
    "action TEXT           what shall be done;  log TEXT: the entry for the log",
    f"verdict F06           name the fault;  verdict {CANNOT_TELL}: cannot tell yet",
    "save FILE | help | quit",
)
PRACTICE = "For practice: whoever knows the number can look it up; an assessed case comes from a sealed file."
SHOWN = 5
"""Faults shown in a list of beliefs."""


def opening(case: Case) -> list[str]:
    """What stands on the table at the beginning."""
    return [*told_of(case, f"Case {case.seed}"), PRACTICE, "", *tests_text(case)]


def told_of(case: Case, head: str) -> list[str]:
    """Which rig it is, and what the flight line noted."""
    beside = case.baseline
    return [
        f"{head}, level {case.level}: {case.kind} filter, regulator {case.layout} the filter.",
        f"Flight line: {case.complaint}",
        *(f"  {line}" for line in result_lines(menu().complaint, case.noted, beside)),
    ]


def tests_text(case: Case) -> list[str]:
    """The menu."""
    head = "Tests (minutes, state of the rig, risk):"
    rows = [
        f"  {t.test:<22}{t.cost_min:>5g}  {t.needs:<8} {t.risk:<22} {t.title}" for t in case.menu.values()
    ]
    return [head, *rows]


def faults_text(case: Case) -> list[str]:
    """The faults that can be named."""
    return [f"  {code:<8} {' and '.join(f.title for f in parts_of(code))}" for code in case.suspects]


class Table:
    """Reads commands for a case.

    Args:
        case: the case.
    """

    def __init__(self, case: Case) -> None:
        self.case = case
        self.texts = {"action": "", "log": ""}
        self.left = False

    def say(self, line: str) -> list[str]:
        """Do what a line asks; the answer."""
        word, _, rest = line.strip().partition(" ")
        if not word:
            return []
        try:
            return self._commands().get(word, self._unknown)(rest.strip())
        except RefusedError as refused:
            return [str(refused)]
        except BadInput as bad:
            return [str(line) for line in bad.lines]

    def _commands(self) -> dict[str, Callable[[str], list[str]]]:
        return {
            "think": self._think,
            "test": self._test,
            "menu": lambda _: tests_text(self.case),
            "faults": lambda _: faults_text(self.case),
            "hint": self._hint,
            "alike": self._alike,
            "apart": self._apart,
            "notes": lambda _: [f"  {e.what}: {', '.join(e.words)}" for e in self.case.entries],
            "action": lambda text: self._note("action", text),
            "log": lambda text: self._note("log", text),
            "verdict": self._verdict,
            "save": self._save,
            "help": lambda _: list(HELP),
            "quit": self._quit,
            **{act: partial(self._act, act) for act in ACTS},
        }

    def _unknown(self, _: str) -> list[str]:
        return ["expected one of these:", *HELP]

    def _think(self, text: str) -> list[str]:
        self.case.think(text.replace(",", " ").split())
        return []

    def _act(self, word: str, _: str) -> list[str]:
        off, before = sorted(self.case.rig.off), self.case.cost_min
        self.case.act(word)
        shut = f", {' and '.join(off)} closed up first" if word == "start" and off else ""
        return self._ended() or [f"{word}: done{shut}, {self.case.cost_min - before:g} min"]

    def _test(self, word: str) -> list[str]:
        result = self.case.order(word)
        if self.case.ended:
            return self._ended()
        beside = self.case.baseline
        lines = result_lines(self.case.menu[word].reads, result, beside)
        return [f"  {line}" for line in lines] + [f"  {self.case.cost_min:g} min spent", *self._help()]

    def _help(self) -> list[str]:
        """Level 1 tells what the results say so far."""
        if self.case.level != 1:
            return []
        tests = field_of(self.case)
        return [f"  the results speak for: {beliefs_text(own_path(self.case, tests)[-1].beliefs)}"]

    def _hint(self, rung: str) -> list[str]:
        told = hint(self.case, int(rung) if rung in ("1", "2", "3") else 0)  # type: ignore[arg-type]
        return [f"  {told.text}", f"  {_price(told.price)}"]

    def _alike(self, _: str) -> list[str]:
        found = look_alikes(self.case)
        return [f"  {one.code:<8} {' and '.join(f.title for f in parts_of(one.code))}" for one in found]

    def _apart(self, text: str) -> list[str]:
        codes = text.replace(",", " ").split()
        if len(codes) != 2:
            return ["apart: expected two faults, such as F06 F12"]
        found = tell_apart(self.case, *codes)
        rows = [f"  {t.test:<22}{t.cost_min:>5g} min  parts them {t.word}" for t in found[:SHOWN]]
        return rows or ["  no test of the menu parts them"]

    def _note(self, what: str, text: str) -> list[str]:
        self.texts[what] = text
        return []

    def _verdict(self, word: str) -> list[str]:
        self.case.decide(word, self.texts["action"], self.texts["log"])
        return self._ended()

    def _save(self, name: str) -> list[str]:
        if not name:
            return ["save: expected the name of a file"]
        save(self.case, Path(name))
        return [f"saved in {name}"]

    def _quit(self, _: str) -> list[str]:
        self.left = True
        return []

    def _ended(self) -> list[str]:
        if not self.case.ended:
            return []
        stopped = [f"The case stops here: {text}." for text in self.case.unsafe]
        check = repair_check(self.case)
        repaired = [*check.words, *(f"  {line}" for line in check.lines)] if check and check.mended else []
        if check and not check.mended:
            repaired = list(check.words)
        return [*stopped, *review_text(review(self.case)), *repaired]


def _price(price: float) -> str:
    return f"costs {price:.2f} of the score" if price else "free at this level"


def review_text(told: Review) -> list[str]:
    """The fault, the score and both paths."""
    ill = [fault for fault, _ in told.hidden.ill]
    score = told.score
    shown = {name: part for name, part in score.parts.items() if part or name not in ("swaps", "hints")}
    parts = ", ".join(f"{name} {part:.2f}" for name, part in shown.items())
    return [
        *(f"It was {fault.fault}, {fault.title}: {fault.mechanism}" for fault in ill),
        *(f"Action: {fault.action}" for fault in ill),
        *(f"Safety: {fault.safety}" for fault in ill),
        f"Score {score.score:.2f} ({parts})" + "".join(f"; gate: {gate}" for gate in score.gates),
        *path_text("Your path", told.own),
        *path_text(f"Reference, {told.reference.cost_min:g} min", told.reference.steps),
    ]


def path_text(title: str, steps: Sequence[ReferenceStep]) -> list[str]:
    """A path with the beliefs after each test."""
    return [f"{title}:", *(f"  {step.test:<22} {beliefs_text(step.beliefs)}" for step in steps)]


def beliefs_text(beliefs: dict[str, float]) -> str:
    """The strongest beliefs."""
    best = sorted(beliefs, key=lambda code: -beliefs[code])[:SHOWN]
    return ", ".join(f"{code} {beliefs[code]:.0%}" for code in best if beliefs[code] >= 0.005)
