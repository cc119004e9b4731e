"""A case as it lies on the page: what is ticked, asked for and written, kept on disk after every entry."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from glasscan.content import BadInput
from glasscan.learning.cases.case_files import save
from glasscan.learning.cases.case_play import Case, CaseEntry, RefusedError
from glasscan.learning.cases.debrief import hint, look_alikes, tell_apart
from glasscan.learning.cases.hints import Rung
from glasscan.window.cases.case_wording import ACTS, MOST_ACTION, MOST_LOG, listed, named, spoken

Pane = Literal["tests", "suspects", "verdict", "help"]
DONE = {"start": "The engine runs.", "stop": "The engine stands.", "release": "The pressure is let out."}


@dataclass
class CaseSession:
    """One case under way.

    Attributes:
        case: the engine's record.
        path: where it is kept; None keeps nothing.
        pane: what lies open at the right.
        pending: test that waits for a hypothesis, or "".
        ticks: suspects held possible now.
        named: verdict chosen so far, or "".
        action, log: texts written so far.
        told: answers of the help asked for, the newest first.
        fresh: the file was made for this case: it goes again where nothing was done.
        notice: what has just happened, one line; `refused` where it did not.
    """

    case: Case
    path: Path | None = None
    pane: Pane = "tests"
    pending: str = ""
    ticks: set[str] = field(default_factory=set)
    named: str = ""
    action: str = ""
    log: str = ""
    told: list[str] = field(default_factory=list)
    notice: str = ""
    refused: bool = False
    fresh: bool = False
    _why: dict[str, str] = field(default_factory=dict)
    _why_for: int = -1

    def __post_init__(self) -> None:
        held = [entry.words for entry in self.case.entries if entry.what == "hypothesis"]
        self.ticks |= set(held[-1]) if held else set()

    # --- what can be seen -----------------------------------------------------------------------------

    def why_not(self, word: str) -> str:
        """Why a test cannot be ordered now; "" where it can. Of its dangers nothing is said."""
        if self._why_for != len(self.case.entries):
            self._why, self._why_for = {}, len(self.case.entries)
        if word not in self._why:
            self._why[word] = refusal(self.case, word)
        return self._why[word]

    # --- what is done -----------------------------------------------------------------------------------

    def tick(self, code: str) -> None:
        """Hold a suspect possible, or no longer."""
        self.ticks ^= {code}

    def ask(self, word: str) -> None:
        """Ask for a test: the hypothesis comes first."""
        why = self.why_not(word)
        if why:
            self._say(f"Not now: {why}.", refused=True)
            return
        self.pending, self.pane = word, "suspects"
        self._say("Which faults are still possible? Tick them, then order.")

    def drop(self) -> None:
        """Leave a test that was asked for."""
        self.pending, self.pane = "", "tests"

    def order(self) -> None:
        """State what is ticked, then order the test that waits."""
        if not self.pending:
            return
        if not self.ticks:
            self._say("Tick at least one suspect first.", refused=True)
            return
        word, self.pending, self.pane = self.pending, "", "tests"
        test = self.case.menu[word]
        codes = [code for code in self.case.suspects if code in self.ticks]

        def both() -> None:
            self.case.think(codes)
            self.case.order(word)

        if self._do(both):
            self._say(f"{spoken(test.title)}: done in {test.cost_min:g} min.")

    def act(self, word: str) -> None:
        """Start or stop the engine, or let the pressure out."""
        if word == "start" and self.case.running:
            self._say("The engine runs already.", refused=True)
        elif word == "stop" and not self.case.running:
            self._say("The engine stands already.", refused=True)
        elif self._do(lambda: self.case.act(word)):
            caution = next(text for name, _, text in ACTS if name == word)
            self._say(f"{DONE[word]} {caution}")

    def write(self, what: Literal["action", "log"], text: str) -> None:
        """Keep a text of the verdict."""
        setattr(self, what, text[: MOST_ACTION if what == "action" else MOST_LOG])

    def decide(self) -> None:
        """Give the verdict chosen."""
        if not self.named:
            self._say("Choose a fault first, or 'cannot tell yet'.", refused=True)
        else:
            self._do(lambda: self.case.decide(self.named, self.action.strip(), self.log.strip()))

    def help(self, rung: Rung) -> None:
        """A rung of the ladder of hints."""
        self._do(lambda: self._tell(hint(self.case, rung).text))

    def alike(self) -> None:
        """Suspects that give the picture seen so far."""

        def found() -> None:
            told = look_alikes(self.case)
            self._tell(
                "The same picture would come from: " + "; ".join(named(one.code) for one in told) + "."
            )

        self._do(found)

    def apart(self) -> None:
        """Tests that part the two suspects ticked; free."""
        pair = [code for code in self.case.suspects if code in self.ticks]
        if len(pair) != 2:
            self._say("Tick exactly two suspects first (5).", refused=True)
            return
        told = tell_apart(self.case, *pair)[:3]
        tests = "; ".join(f"{spoken(self.case.menu[one.test].title)} ({one.cost_min:g} min)" for one in told)
        self._tell(f"{listed(pair)} are parted by: {tests or 'no test on this rig'}.")
        self._say("That is told for nothing.")

    # --- underneath -------------------------------------------------------------------------------------

    def _tell(self, text: str) -> None:
        self.told.insert(0, text)

    def _say(self, text: str, refused: bool = False) -> None:
        self.notice, self.refused = text, refused

    def _do(self, what: Callable[[], object]) -> bool:
        """Do something to the case and keep it; a refusal is told."""
        try:
            what()
        except RefusedError as no:
            self._say(f"{str(no)[:1].upper()}{str(no)[1:]}.", refused=True)
            return False
        self._say("")
        self.keep()
        return not self.refused

    def leave(self) -> None:
        """The page is left: what was done is kept, an empty case leaves nothing behind."""
        if self.case.entries or not self.fresh or self.path is None:
            self.keep()
        else:
            with suppress(OSError):
                self.path.unlink(missing_ok=True)

    def keep(self) -> None:
        """Write the case; a disk that cannot be written is told, and the case goes on."""
        if self.path is None:
            return
        try:
            with suppress(OSError):
                self.path.parent.mkdir(parents=True, exist_ok=True)
            save(self.case, self.path)
        except BadInput as bad:
            self._say(f"Not kept: {bad.lines[0]}", refused=True)


def refusal(case: Case, word: str) -> str:
    """Why a test would be refused once a hypothesis is stated: tried on a copy of the case."""
    stated = CaseEntry("hypothesis", case.suspects[:1])
    trial = replace(case, entries=[stated, *case.entries])
    try:
        trial.order(word)
    except RefusedError as no:
        return str(no).removeprefix(f"{word}: ").removesuffix(", its result stands above")
    return ""


def cut(case: Case, before: int) -> Case:
    """A copy of a case as it stood before an entry of its record, to go on from there."""
    copy = replace(
        case,
        entries=list(case.entries[:before]),
        running=False,
        trapped=True,
        ended=None,
        spent_s=0.0,
        replayed=True,
    )
    copy.settle()
    return copy
