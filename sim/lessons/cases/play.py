"""A case as a trainee plays it: hypotheses, tests, unsafe acts that end it, verdict, action and log entry."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from functools import lru_cache
from typing import Literal

from sim.lessons.cases.atlas import Say, atlas
from sim.lessons.cases.generate import Hidden, generate
from sim.lessons.cases.likelihood import Result
from sim.lessons.cases.menu import Test, tests_for
from sim.lessons.cases.words import complaint_sentence
from sim.loading import nearest
from sim.plant.faults.data import faults
from sim.plant.faults.observe import Values

What = Literal["hypothesis", "act", "test", "unsafe", "verdict", "action", "log"]
ACTS = ("start", "stop", "release")
CANNOT_TELL = "cannot-tell"


class RefusedError(ValueError):
    """Something that cannot be done now; the text is one line for the trainee. Nothing has changed."""


@dataclass(frozen=True)
class Entry:
    """One line of the case's record: what was done, its words, and the result of a test."""

    what: What
    words: tuple[str, ...]
    result: Result = ()


@lru_cache(maxsize=64)
def hidden_of(seed: int, kind: str) -> Hidden:
    """The hidden part of a case, made from its seed."""
    return generate(seed, kind)


def sealed(hidden: Hidden, salt: str) -> str:
    """A digest that fixes fault and severity without telling them (SHA-256 over a random salt and both)."""
    text = f"{salt}|{hidden.seed}|{hidden.kind}|{hidden.fault.fault}|{hidden.severity.hex()}"
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
    """

    seed: int
    kind: str
    level: int
    salt: str
    seal: str
    entries: list[Entry] = field(default_factory=list)
    running: bool = False
    trapped: bool = True
    ended: str | None = None

    @classmethod
    def begin(cls, seed: int, kind: str, level: int, say: Say | None = None) -> Case:
        """A new case."""
        if say:
            generate(seed, kind, say)
        salt = secrets.token_hex(16)
        return cls(seed, kind, level, salt, sealed(hidden_of(seed, kind), salt))

    @property
    def layout(self) -> str:
        """Place of the regulator, seen from the filter."""
        return hidden_of(self.seed, self.kind).layout

    @property
    def noted(self) -> Result:
        """What the flight line noted."""
        return hidden_of(self.seed, self.kind).complaint

    @property
    def baseline(self) -> Values:
        """The sound rig."""
        hidden = hidden_of(self.seed, self.kind)
        return atlas(hidden.kind, hidden.layout).baseline

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
        """Faults that can be named; the same for every case of the filter and layout."""
        hidden = hidden_of(self.seed, self.kind)
        return atlas(hidden.kind, hidden.layout).codes

    @property
    def tests_done(self) -> list[str]:
        """Words of the tests ordered so far."""
        return [entry.words[0] for entry in self.entries if entry.what == "test"]

    @property
    def cost_min(self) -> float:
        """Minutes spent."""
        return sum(self.menu[word].cost_min for word in self.tests_done)

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
        self._keep("hypothesis", *dict.fromkeys(self._fault(code) for code in codes))

    def act(self, word: str) -> None:
        """Start or stop the engine, or release the pressure.

        Raises:
            RefusedError: an unknown act.
        """
        self._open()
        if word not in ACTS:
            raise RefusedError(f"act: expected one of {', '.join(ACTS)}, found '{word[:40]}'")
        if word == "start" and not hidden_of(self.seed, self.kind).runnable:
            self._stop_case(
                "run without oil pressure, or with oil pouring out: what was noted forbids a start"
            )
        elif word == "release" and self.running:
            self._stop_case("a joint was loosened with the engine running")
        else:
            self._keep("act", word)
            self.running = word == "start"
            self.trapped = word != "release" and (self.trapped or word == "start")

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
        result = hidden_of(self.seed, self.kind).result(test, self.level)
        self.entries.append(Entry("test", (word,), result))
        return result

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
        if test.needs == "running" and not self.running:
            raise RefusedError(f"{word}: asks for a running engine: start it first")
        if test.needs == "stopped" and self.running:
            raise RefusedError(f"{word}: asks for a stopped engine: stop it first")
        return test

    def _danger(self, test: Test) -> str:
        if test.needs != "open":
            return ""
        if self.running:
            return "the system was opened with the engine running"
        return "the system was opened under pressure: hot oil and stored spring force" if self.trapped else ""

    def decide(self, word: str, action: str = "", log: str = "") -> None:
        """Give the verdict, the action and the log entry; the case is then over.

        Args:
            word: a fault, or "cannot-tell".
            action: what shall be done.
            log: the entry for the aircraft's log.

        Raises:
            RefusedError: no such fault.
        """
        self._open()
        self._keep("verdict", word if word == CANNOT_TELL else self._fault(word))
        for what, text in (("action", action), ("log", log)):
            if text:
                self._keep(what, text[:500])  # type: ignore[arg-type]
        self.ended = "verdict"

    @property
    def verdict(self) -> str | None:
        """Fault named, "cannot-tell", or None before the verdict."""
        return next((entry.words[0] for entry in self.entries if entry.what == "verdict"), None)

    def _fault(self, code: str) -> str:
        named = next(
            (c for c in self.suspects if c.lower() == code.lower() or faults()[c].word == code), None
        )
        if named is None:
            near = nearest(code.upper(), list(self.suspects))
            meant = f" (did you mean '{near}'?)" if near else ""
            raise RefusedError(f"there is no fault '{code[:40]}' on this rig{meant}")
        return named

    def _open(self) -> None:
        if self.ended:
            raise RefusedError(f"the case is over: {self.ended}")

    def _keep(self, what: What, *words: str) -> None:
        self.entries.append(Entry(what, words))

    def _stop_case(self, reason: str) -> None:
        self._keep("unsafe", reason)
        self.ended = f"unsafe: {reason}"

    def as_data(self) -> dict[str, object]:
        """The case as plain data, without its fault."""
        return asdict(self)
