"""A lesson plan to hold in the hand: objective, time, safety, what to say when, the questions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from glasscan.reports.handout import stamp
from glasscan.reports.html_pages import Html, Paper, element, page, table
from glasscan.signals import event_words

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Note, Scenario

FORMS = {
    "predict-then-watch": "before the run",
    "draw-the-curve": "before the run",
}
"""When a question is asked; the others come after the run."""


def lesson_plan(scenario: Scenario, paper: Paper = "A4") -> str:
    """The plan of a lesson, for whoever gives it; no answers stand on it."""
    parts: list[Html] = [_facts(scenario), element("p", scenario.about)]
    if scenario.safety:
        parts += [element("h2", "Safety, to be said first"), element("p", scenario.safety, class_="note")]
    parts += [element("h2", "What happens, and what to say"), _course(scenario)]
    parts += [element("h2", "Questions"), _questions(scenario)]
    parts += [element("h2", "Afterwards"), element("p", AFTERWARDS)]
    return page(f"Lesson plan: {scenario.title}", *parts, paper=paper, made=stamp(scenario))


AFTERWARDS = (
    "Bring the run to its end, set the hands of the class beside what happened, and run it again with one "
    "thing changed (B). Sheet and answer key: controls (C), Take away."
)


def _facts(scenario: Scenario) -> Html:
    rows = [
        ("Objective", scenario.objective or "see the questions"),
        ("Time in class", f"{scenario.minutes:g} min" if scenario.minutes else "as long as the run"),
        ("Run", f"{_time(scenario.end_s)} of model time; ] makes it faster"),
        ("Level", str(scenario.level)),
        ("Filter, oil", f"{scenario.filter}, {scenario.fluid}; air {scenario.air_c:g} °C"),
        ("Syllabus", ", ".join(scenario.codes) or "none named"),
        ("Open it with", f"glasscan open {scenario.scenario}"),
    ]
    return table(("What", "This lesson"), rows)


def _course(scenario: Scenario) -> Html:
    rows = [(_when(note), note.say) for note in scenario.notes]
    return table(("When", "Say, ask, point at"), rows or [("", "No notes in this lesson.")])


def _when(note: Note) -> str:
    return event_words(note.event) if note.event else _time(note.at_s)


def _time(t_s: float) -> str:
    """A moment of the run in words."""
    minutes, seconds = divmod(round(t_s), 60)
    hours, minutes = divmod(minutes, 60)
    named = ((hours, "h"), (minutes, "min"), (seconds, "s"))
    return " ".join(f"{n} {unit}" for n, unit in named if n) or "0 s"


def _questions(scenario: Scenario) -> Html:
    from glasscan.learning.ask_wording import fill

    rows = [
        (str(n), FORMS.get(p.kind, "after the run"), fill(p.ask, scenario), f"{p.marks:g}")
        for n, p in enumerate(scenario.prompts, 1)
    ]
    return table(("No.", "When", "Question", "Marks"), rows)
