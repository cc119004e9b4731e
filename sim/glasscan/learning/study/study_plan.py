"""What a learner finds on opening: items due, new ones, weak codes with their lessons, calibration."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from glasscan.learning.catalogue import scenario_names
from glasscan.learning.identity import identity
from glasscan.learning.review.due import due_today, lessons_for, weak_codes
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.scoring.confidence import Calibrated, calibration
from glasscan.learning.store.history import said, scored
from glasscan.learning.store.review_cards import cards_of
from glasscan.learning.store.store import Store
from glasscan.learning.syllabus import load_syllabus

Lessons = Mapping[str, Scenario]
"""Scenarios by id."""


@dataclass(frozen=True)
class WeakCode:
    """A syllabus code below the pass mark.

    Attributes:
        code: id.
        title: what it asks.
        share: mean share of its answers, 0..1.
        lessons: ids of lessons that teach it.
    """

    code: str
    title: str
    share: float
    lessons: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """The lists of one day.

    Attributes:
        due: items to review today, SCENARIO/PROMPT.
        new: items never answered, easy lessons first.
        weak: weakest first.
        lessons: lessons for all weak codes, those that teach most of them first.
        calibration: confidence against what came.
    """

    due: tuple[str, ...]
    new: tuple[str, ...]
    weak: tuple[WeakCode, ...]
    lessons: tuple[str, ...]
    calibration: tuple[Calibrated, ...]


def shipped_lessons(words: Sequence[str] = ()) -> dict[str, Scenario]:
    """Scenarios to study: those named, else all that are shipped, easy ones first.

    Raises:
        BadInput: one of them is bad.
    """
    found = [load_scenario(word) for word in words or scenario_names()]
    return {s.scenario: s for s in sorted(found, key=lambda s: (s.level, s.scenario))}


def plan(
    store: Store, person: int | None, lessons: Lessons, today: date, exam_on: date | None = None
) -> Plan:
    """Work out the lists.

    Args:
        store: answers so far.
        person: whose; None for someone without any.
        lessons: what there is to study.
        today: the day.
        exam_on: day of the exam, before which every item comes up again.
    """
    cards = cards_of(store, person) if person is not None else []
    items = [f"{name}/{p.id}" for name, s in lessons.items() for p in s.prompts]
    due = due_today((c.card for c in cards if c.item in items), today, exam_on)
    known = {c.item for c in cards}
    weak = weak_codes(scored(store, person)) if person is not None else {}
    teaching = {name: codes_taught(s) for name, s in lessons.items()}
    titles = {c.id: c.title for c in load_syllabus().codes} if weak else {}
    return Plan(
        tuple(c.item for c in due),
        tuple(item for item in items if item not in known),
        tuple(
            WeakCode(code, titles.get(code, code), share, tuple(lessons_for([code], teaching)))
            for code, share in weak.items()
        ),
        tuple(lessons_for(weak, teaching)),
        calibration(said(store, person) if person is not None else ()),
    )


def codes_taught(scenario: Scenario) -> tuple[str, ...]:
    """Codes of a lesson and of its prompts."""
    return tuple(dict.fromkeys([*scenario.codes, *(c for p in scenario.prompts for c in p.codes)]))


def person_of(store: Store, nickname: str) -> int | None:
    """Id of someone of this computer who is in the store already, or None; enters nobody."""
    rows = store.rows("SELECT id FROM people WHERE origin = '' AND identity = ?", identity(nickname))
    return int(rows[0]["id"]) if rows else None
