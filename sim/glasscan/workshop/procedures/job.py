"""A job being done: cards with steps, common wrong ways and tempting things, in a hand that moves along."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

import numpy as np

from glasscan.workshop.procedures.procedure_catalogue import ALWAYS, load_conditions
from glasscan.workshop.procedures.procedure_plan import Procedure
from glasscan.workshop.procedures.procedure_walk import Act, Outcome, walk

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
    """

    id: str
    text: str
    place: float

    @property
    def step(self) -> str:
        """The step it belongs to."""
        return self.id.removesuffix(SLIP)

    @property
    def act(self) -> Act:
        """What doing it is."""
        return Act(self.step, self.id.endswith(SLIP))


@dataclass
class Job:
    """One job.

    Attributes:
        procedure: what is worked on.
        seed: of the tray, and of what is met.
        present: states that are there before the work, None draws them.
        acts: what was done so far.
    """

    procedure: Procedure
    seed: int
    present: tuple[str, ...] | None = None
    acts: list[Act] = field(default_factory=list)

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

    def hand(self, most: int) -> tuple[JobCard, ...]:
        """The next cards of the tray; the step that is due is always among them."""
        left = self.left_over()
        shown = left[:most]
        due = next((s.id for s in self.procedure.steps if s.id not in {a.step for a in self.acts}), None)
        missing = [c for c in left[most:] if c.step == due]
        return shown[: most - len(missing)] + tuple(missing)

    def do(self, card: str) -> tuple[str, ...]:
        """Do what a card says; returns what was found by it.

        Raises:
            KeyError: there is no such card in the tray.
        """
        found = {c.id: c for c in self.left_over()}[card]
        before = len(self.outcome().findings)
        self.acts.append(found.act)
        return self.outcome().findings[before:]

    def undo(self) -> None:
        """Lay the last card back: a slip of the finger, not of the work."""
        if self.acts:
            self.acts.pop()

    def outcome(self) -> Outcome:
        """What came of it so far."""
        return walk(self.procedure, self.acts, self.present or ())


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
        made.append(JobCard(step.id, step.do, places[step.id] + random.normal(0.0, SPREAD)))
        if step.slip:
            made.append(JobCard(step.id + SLIP, step.slip, places[step.id] + random.normal(0.0, SPREAD)))
    for trap in procedure.tempting:
        made.append(JobCard(trap.id, trap.do, places[trap.near] + random.normal(0.0, SPREAD)))
    return made
