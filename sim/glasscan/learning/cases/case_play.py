"""A case as a trainee plays it: hypotheses, tests, unsafe acts that end it, verdict, action and log entry."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from functools import lru_cache
from typing import Literal

from glasscan.content import nearest
from glasscan.faults.fault_data import faults
from glasscan.faults.observables import Values
from glasscan.learning.cases.atlas import Say, atlas
from glasscan.learning.cases.case_rig import CaseRig, rig_after, rig_step
from glasscan.learning.cases.case_words import complaint_sentence
from glasscan.learning.cases.generate import Hidden, field_for, generate
from glasscan.learning.cases.likelihood import Result
from glasscan.learning.cases.solver import Field
from glasscan.learning.cases.test_menu import Test, tests_for

What = Literal["hypothesis", "act", "test", "help", "unsafe", "verdict", "action", "log"]
ACTS = ("start", "stop", "release")
CANNOT_TELL = "cannot-tell"


HELP_PRICE: Mapping[str, float] = {"hint-1": 0.02, "hint-2": 0.03, "hint-3": 0.05, "look-alikes": 0.03}
"""Taken off the score for a rung of the ladder of hints, and for the list of look-alikes (invented)."""
FREE_LEVEL, NO_HELP_LEVEL = 1, 3
"""Help costs nothing at the first level, and there is none at the last, as in an exam."""


def help_price(level: int, word: str) -> float | None:
    """What a piece of help costs at a level; None where there is none."""
    if level >= NO_HELP_LEVEL or word not in HELP_PRICE:
        return None
    return 0.0 if level == FREE_LEVEL else HELP_PRICE[word]


class RefusedError(ValueError):
    """Something that cannot be done now; the text is one line for the trainee. Nothing has changed."""


@dataclass(frozen=True)
class CaseEntry:
    """One line of the case's record: what was done, its words, result of a test or price of help."""

    what: What
    words: tuple[str, ...]
    result: Result = ()


@lru_cache(maxsize=64)
def hidden_of(seed: int, kind: str, level: int = 2) -> Hidden:
    """The hidden part of a case, made from its seed; the level tells whether a second fault may be there."""
    return generate(seed, kind, level=level)


def field_of(case: Case) -> Field:
    """Tests, sheets and suspects of a case; nothing of the fault."""
    return field_for(case.hidden, case.level)


def help_spent(case: Case) -> float:
    """Share of the score that help has cost so far."""
    return sum(entry.result[0] for entry in case.entries if entry.what == "help")


def sealed(hidden: Hidden, salt: str, level: int) -> str:
    """A digest that fixes level, fault and severity without telling them (SHA-256 with a random salt)."""
    what = "|".join(f"{fault.fault}|{severity.hex()}" for fault, severity in hidden.ill)
    text = f"{salt}|{hidden.seed}|{hidden.kind}|{level}|{what}"
    return hashlib.sha256(text.encode()).hexdigest()


@dataclass
class Case:
    """A case under way. What is kept here tells nothing of the fault.

    Attributes:
        seed, kind, level: which case.
        salt, seal: commitment to the fault.
        entries: record so far.
        running: the engine runs.
        trapped: pressure may stand in the filter.
        ended: why the case is over, or None.
        spent_s: time at the case by the clock on the wall, s; not the minutes that tests cost.
        replayed: played again from a record whose fault was told.
    """

    seed: int
    kind: str
    level: int
    salt: str
    seal: str
    entries: list[CaseEntry] = field(default_factory=list)
    running: bool = False
    trapped: bool = True
    ended: str | None = None
    spent_s: float = 0.0
    replayed: bool = False

    @classmethod
    def begin(cls, seed: int, kind: str, level: int, say: Say | None = None) -> Case:
        """A new case."""
        if say:
            generate(seed, kind, say)
        salt = secrets.token_hex(16)
        return cls(seed, kind, level, salt, sealed(hidden_of(seed, kind, level), salt, level))

    @property
    def hidden(self) -> Hidden:
        """What is wrong: not for the trainee's eyes before the verdict."""
        return hidden_of(self.seed, self.kind, self.level)

    @property
    def layout(self) -> str:
        """Place of the regulator, seen from the filter."""
        return self.hidden.layout

    @property
    def noted(self) -> Result:
        """What the flight line noted."""
        return self.hidden.complaint

    @property
    def baseline(self) -> Values:
        """The sound rig."""
        return atlas(self.hidden.kind, self.hidden.layout).baseline

    @property
    def complaint(self) -> str:
        """A flight-line sentence."""
        return complaint_sentence(self.noted, self.baseline)

    @property
    def menu(self) -> dict[str, Test]:
        """All tests of this kind of filter, by word."""
        return {test.test: test for test in tests_for(self.kind)}

    @property
    def suspects(self) -> tuple[str, ...]:
        """Faults that can be named: a short list at level 1, all at level 2, double faults too at level 3."""
        return field_of(self).suspects

    @property
    def tests_done(self) -> list[str]:
        """Words of the tests ordered so far."""
        return [entry.words[0] for entry in self.entries if entry.what == "test"]

    @property
    def rig(self) -> CaseRig:
        """The rig as it stands: it follows from the record."""
        return rig_after(self.entries, self.menu)

    @property
    def cost_min(self) -> float:
        """Minutes spent, with stopping, cooling, closing up and starting."""
        return self.rig.minutes

    def on_new_filter(self) -> dict[str, bool]:
        """Tests done, each with whether it read a new filter."""
        rig, found = CaseRig(), dict[str, bool]()
        for entry in self.entries:
            if entry.what == "test" and entry.words[0] in self.menu:
                found[entry.words[0]] = rig.reads_new(self.menu[entry.words[0]])
            rig = rig_step(rig, entry, self.menu)
        return found

    @property
    def unsafe(self) -> tuple[str, ...]:
        """Unsafe acts, with the reason."""
        return tuple(entry.words[0] for entry in self.entries if entry.what == "unsafe")

    def think(self, codes: Sequence[str]) -> None:
        """State a hypothesis: the faults now held possible.

        Raises:
            RefusedError: none named, or an unknown one.
        """
        self._open()
        if not codes:
            raise RefusedError("think: name at least one fault, such as F06")
        self._keep("hypothesis", *dict.fromkeys(self.fault_code(code) for code in codes))

    def act(self, word: str) -> None:
        """Start or stop the engine, or release the pressure.

        Raises:
            RefusedError: an unknown act.
        """
        self._open()
        if word not in ACTS:
            raise RefusedError(f"act: expected one of {', '.join(ACTS)}, found '{word[:40]}'")
        if word == "start" and not self.hidden.runnable:
            self._stop_case(
                "run without oil pressure, or with oil pouring out: what was noted forbids a start"
            )
        elif word == "release" and self.running:
            self._stop_case("a joint was loosened with the engine running")
        else:
            self._keep("act", word)
            self.settle()

    def order(self, word: str) -> Result:
        """Order a test; an unsafe one ends the case and gives no result.

        Raises:
            RefusedError: unknown, done already, no longer possible, or no hypothesis stated before it.
        """
        self._open()
        test = self._orderable(word)
        danger = self._danger(test)
        if danger:
            self._stop_case(danger)
            return ()
        result = self.hidden.result(test, self.level, self.rig.reads_new(test))
        self.entries.append(CaseEntry("test", (word,), result))
        self.settle()
        return result

    def settle(self) -> None:
        """Set what is told of the engine as the record has it."""
        rig = self.rig
        self.running, self.trapped = rig.running, rig.trapped

    def _orderable(self, word: str) -> Test:
        test = self.menu.get(word)
        if test is None:
            near = nearest(word, list(self.menu))
            meant = f" (did you mean '{near}'?)" if near else ""
            raise RefusedError(f"test: there is no '{word[:40]}'{meant}")
        if word in self.tests_done:
            raise RefusedError(f"{word}: done already, its result stands above")
        if any(word in self.menu[done].destroys for done in self.tests_done):
            raise RefusedError(f"{word}: the part is cut up")
        if not self.entries or not any(entry.what == "hypothesis" for entry in self.entries):
            raise RefusedError("state a hypothesis before the first test")
        if (test.needs == "running" or test.runs) and not self.hidden.runnable:
            raise RefusedError(f"{word}: needs a run, and what was noted forbids a start")
        if test.needs == "running" and not self.running:
            raise RefusedError(f"{word}: asks for a running engine: start it first")
        if test.needs == "stopped" and self.running:
            raise RefusedError(f"{word}: asks for a stopped engine: stop it first")
        return test

    def _danger(self, test: Test) -> str:
        if test.needs != "open" or (test.old_part and self.rig.element == "new"):
            return ""  # a filter that was changed lies on the bench
        if self.running:
            return "the system was opened with the engine running"
        return "the system was opened under pressure: hot oil and stored spring force" if self.trapped else ""

    def decide(self, word: str, action: str = "", log: str = "") -> None:
        """Give the verdict, the action and the log entry; the case is then over.

        Args:
            word: a fault, two at once ("F01+F06"), or "cannot-tell".
            action: what shall be done.
            log: the entry for the aircraft's log.

        Raises:
            RefusedError: no such fault.
        """
        self._open()
        self._keep("verdict", word if word == CANNOT_TELL else self.fault_code(word))
        for what, text in (("action", action), ("log", log)):
            if text:
                self._keep(what, text[:500])  # type: ignore[arg-type]
        self.ended = "verdict"

    @property
    def verdict(self) -> str | None:
        """Fault named, "cannot-tell", or None before the verdict."""
        return next((entry.words[0] for entry in self.entries if entry.what == "verdict"), None)

    def fault_code(self, text: str) -> str:
        """Code of a suspect, from its code or word; two at once are joined by "+", in any order.

        Raises:
            RefusedError: no such suspect.
        """
        words = {fault.word: code for code, fault in faults().items()}
        parts = sorted({words.get(part.strip(), part.strip()).upper() for part in text.split("+")})
        code = next((c for c in self.suspects if c.upper() == "+".join(parts)), None)
        if code is None:
            near = nearest(text.upper(), list(self.suspects))
            meant = f" (did you mean '{near}'?)" if near else ""
            raise RefusedError(f"'{text[:40]}' is none of the suspects of this case{meant}")
        return code

    def helped(self, word: str) -> float:
        """Note that help was asked for; its price.

        Raises:
            RefusedError: the case is over, or its level gives no help.
        """
        self._open()
        price = help_price(self.level, word)
        if price is None:
            raise RefusedError(f"level {self.level} gives no help: it is played as in an exam")
        self.entries.append(CaseEntry("help", (word,), (price,)))
        return price

    def _open(self) -> None:
        if self.ended:
            raise RefusedError(f"the case is over: {self.ended}")

    def _keep(self, what: What, *words: str) -> None:
        self.entries.append(CaseEntry(what, words))

    def _stop_case(self, reason: str) -> None:
        self._keep("unsafe", reason)
        self.ended = f"unsafe: {reason}"

    def as_data(self) -> dict[str, object]:
        """The case as plain data, without its fault."""
        return asdict(self)
