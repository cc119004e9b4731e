"""A job being done: cards with steps, common wrong ways and tempting things, in a hand that moves along."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from glasscan.workshop.machine import BadChoiceError, CannotError
from glasscan.workshop.procedures.procedure_catalogue import ALWAYS, load_conditions
from glasscan.workshop.procedures.procedure_plan import Procedure
from glasscan.workshop.procedures.procedure_walk import Act, Outcome, choices, walk

SLIP = ":slip"
"""Ending of a card's id that stands for the common wrong way of its step."""
SPREAD = 2.2
"""How far a card strays from its place in the work, in steps."""
MET = 0.4
"""Chance that a state which the work may meet is there."""


@dataclass(frozen=True)
class JobCard:
    """Something that can be done next.

    Attributes:
        id: of the step, with ":slip" for its common wrong way; or of a tempting thing.
        text: what is done.
        place: where it comes in the tray.
        asks: what the hand chooses when it is done, such as "torque".
    """

    id: str
    text: str
    place: float
    asks: tuple[str, ...] = ()

    @property
    def step(self) -> str:
        """The step it belongs to."""
        return self.id.removesuffix(SLIP)

    def act(self, chosen: Mapping[str, str]) -> Act:
        """What doing it is, with what the hand chose."""
        return Act(self.step, self.id.endswith(SLIP), tuple(sorted(chosen.items())))


@dataclass
class Job:
    """One job.

    Attributes:
        procedure: what is worked on.
        seed: of the tray, and of what is met.
        present: states that are there before the work, None draws them.
        acts: what was done so far.
        refused: (step, why) of what the machine did not let happen.
    """

    procedure: Procedure
    seed: int
    present: tuple[str, ...] | None = None
    acts: list[Act] = field(default_factory=list)
    refused: list[tuple[str, str]] = field(default_factory=list)
    _last: tuple[tuple[Act, ...], Outcome] | None = field(default=None, repr=False, compare=False)

    def __post_init__(self) -> None:
        random = np.random.default_rng([self.seed, 4])
        if self.present is None:
            met = states_met(self.procedure)
            self.present = tuple(c for c in met if random.random() < MET)
        self.cards = tuple(sorted(_cards(self.procedure, random), key=lambda card: card.place))

    def left_over(self) -> tuple[JobCard, ...]:
        """Cards still in the tray: neither way of a step that was done."""
        done = {act.step for act in self.acts}
        return tuple(c for c in self.cards if c.step not in done)

    def hand(self, most: int) -> tuple[JobCard | None, ...]:
        """The cards that lie in the tray now, each in its place; None where nothing is left to lie.

        A card that was taken leaves its place to the next one, so that no other card moves under the hand.
        The step that is due is always among them.
        """
        done: set[str] = set()
        slots: list[JobCard | None] = [None] * most
        self._refill(slots, done)
        for act in self.acts:
            done.add(act.step)
            slots = [None if c is not None and c.step in done else c for c in slots]
            self._refill(slots, done)
        return tuple(slots)

    def _refill(self, slots: list[JobCard | None], done: set[str]) -> None:
        due = next((s for s in self.best if s not in done), None)
        shown = {c.id for c in slots if c is not None}
        waiting = [c for c in self.cards if c.step not in done and c.id not in shown]
        waiting.sort(key=lambda c: c.id != due)  # stable: the due one first, the others in their order
        for i, card in enumerate(slots):
            if card is None and waiting:
                slots[i] = waiting.pop(0)
        if waiting and waiting[0].id == due:
            slots[-1] = waiting[0]

    @cached_property
    def best(self) -> tuple[str, ...]:
        """The job done well, with what is met in it."""
        return best_way(self)

    def do(self, card: str, chosen: Mapping[str, str] | None = None) -> tuple[str, ...]:
        """Do what a card says; returns what was found by it, and what happened at once.

        Args:
            card: its id.
            chosen: what the hand chose, by key; what is not named is done as the manual says.

        Raises:
            KeyError: there is no such card in the tray.
            CannotError: the machine does not let it happen; nothing has changed.
            BadChoiceError: something no hand can choose.
        """
        found = {c.id: c for c in self.left_over()}[card]
        strange = set(chosen or ()) - set(found.asks)
        if strange:
            known = ", ".join(found.asks) or "nothing"
            raise BadChoiceError(f"{card}: the hand chooses {known} here, found '{min(strange)[:40]}'")
        before = self.outcome()
        self.acts.append(found.act(chosen or {}))
        try:
            after = self.outcome()
        except BadChoiceError:
            self.acts.pop()
            raise
        if after.refused:
            self.acts.pop()
            self.refused.append((card, after.refused[0].why))
            raise CannotError(after.refused[0].why)
        happened = [e.text for e in after.machine.events[len(before.machine.events) :]]
        return (*happened, *after.findings[len(before.findings) :])

    @property
    def ended(self) -> str | None:
        """Why the work was stopped, or None."""
        return self.outcome().machine.ended

    def undo(self) -> None:
        """Lay the last card back: a slip of the finger, not of the work. What has hurt somebody stays."""
        if self.acts and self.ended is None:
            self.acts.pop()

    def outcome(self) -> Outcome:
        """What came of it so far."""
        key = tuple(self.acts)
        if self._last is None or self._last[0] != key:
            self._last = key, walk(self.procedure, key, self.present or ())
        return self._last[1]


def states_met(procedure: Procedure) -> tuple[str, ...]:
    """States that the work may meet: those that its steps mend, find or depend on."""
    named: Collection[str] = dict.fromkeys(
        c
        for step in procedure.steps
        for c in (*([step.only_if] if step.only_if else []), *step.mends, *step.finds)
        if c != ALWAYS
    )
    known = load_conditions()
    return tuple(c for c in named if known[c].onset == "before-work")


def _cards(procedure: Procedure, random: np.random.Generator) -> list[JobCard]:
    made = list[JobCard]()
    places = {step.id: float(i) for i, step in enumerate(procedure.steps)}
    for step in procedure.steps:
        place = places[step.id] + random.normal(0.0, SPREAD)
        made.append(JobCard(step.id, step.do, place, choices(step)))
        if step.slip:
            made.append(JobCard(step.id + SLIP, step.slip, places[step.id] + random.normal(0.0, SPREAD)))
    for trap in procedure.tempting:
        made.append(JobCard(trap.id, trap.do, places[trap.near] + random.normal(0.0, SPREAD)))
    return made


def best_way(job: Job) -> tuple[str, ...]:
    """Steps of the job done well with what is met in it: findings are acted on, a stop is a stop."""
    p, present = job.procedure, job.present or ()
    done: list[str] = []
    for step in p.steps:
        if step.id in p.answering or step.optional:
            continue
        done.append(step.id)
        found = [a for a in p.answers if any(c in walk(p, done, present).found for c in a.found)]
        for answer in found:
            if answer.act not in done and (answer.stops or step.id in _last_before(p, answer.before)):
                done.append(answer.act)
        if any(a.stops and a.act in done for a in found):
            return (*done, *(s for s in ("tools-count", "record") if s in p.by_id))
    return tuple(done)


def _last_before(procedure: Procedure, later: Collection[str]) -> set[str]:
    """The step just before the first of some steps, in the order of the procedure."""
    ids = [s.id for s in procedure.steps if s.id not in procedure.answering and not s.optional]
    places = [ids.index(name) for name in later if name in ids]
    return {ids[min(places) - 1]} if places else set()
