"""What a learner finds on opening: items due, new ones, weak codes with their lessons, calibration."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from glasscan.learning.catalogue import scenario_names
from glasscan.learning.identity import identity
from glasscan.learning.review.due import due_today, exam_recall, lessons_for, weak_codes
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.scoring.confidence import Calibrated, calibration
from glasscan.learning.store.history import said, scored
from glasscan.learning.store.review_cards import cards_of
from glasscan.learning.store.store import Store
from glasscan.learning.syllabus import load_syllabus

Lessons = Mapping[str, Scenario]
"""Scenarios by id."""
FILTERS = ("can", "cartridge", "disc")
"""How the filters of a kind are named at the start: spin-on, cartridge, stacked discs."""


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
        new: items never answered, in the order of the path.
        weak: weakest first.
        lessons: lessons for all weak codes, those that teach most of them first.
        calibration: confidence against what came.
        exam_recall: mean chance of recall on the day of the exam as things stand, 0..1; None without a day.
    """

    due: tuple[str, ...]
    new: tuple[str, ...]
    weak: tuple[WeakCode, ...]
    lessons: tuple[str, ...]
    calibration: tuple[Calibrated, ...]
    exam_recall: float | None = None


def shipped_lessons(words: Sequence[str] = ()) -> dict[str, Scenario]:
    """Scenarios to study: those named, else all that are shipped, in the order of the path.

    The path goes from easy to hard, and within a level from the spin-on filter over the cartridge to the
    stacked discs, lessons with the fewest codes first.

    Raises:
        BadInput: one of them is bad.
    """
    found = [load_scenario(word) for word in words or scenario_names()]
    return {s.scenario: s for s in sorted(found, key=_place)}


def _place(scenario: Scenario) -> tuple[int, int, int, str]:
    kind = next((i for i, word in enumerate(FILTERS) if scenario.filter.startswith(word)), len(FILTERS))
    return scenario.level, kind, len(codes_taught(scenario)), scenario.scenario


def chosen(
    lessons: Lessons, filter_kind: str | None = None, code: str | None = None, level: int | None = None
) -> dict[str, Scenario]:
    """The lessons about one kind of filter (`FILTERS`), one syllabus code, one level, or all of these."""
    return {
        name: s
        for name, s in lessons.items()
        if (filter_kind is None or s.filter.startswith(filter_kind))
        and (code is None or code in codes_taught(s))
        and (level is None or s.level == level)
    }


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
    here = [c.card for c in cards if c.item in items]
    due = due_today(here, today, exam_on)
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
        exam_recall(here, len(items), exam_on) if exam_on and items else None,
    )


def codes_taught(scenario: Scenario) -> tuple[str, ...]:
    """Codes of a lesson and of its prompts."""
    return tuple(dict.fromkeys([*scenario.codes, *(c for p in scenario.prompts for c in p.codes)]))


def person_of(store: Store, nickname: str) -> int | None:
    """Id of someone of this computer who is in the store already, or None; enters nobody."""
    rows = store.rows("SELECT id FROM people WHERE origin = '' AND identity = ?", identity(nickname))
    return int(rows[0]["id"]) if rows else None
