"""For whoever presents: what to say and when, what the lesson will do, what is to be expected.

Expected events come from the run of the lesson as it is written; those that came stand at their own time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from glasscan.rig.records import Event
from glasscan.signals import event_words
from glasscan.ui.display_units import clock

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import FaultSpec, Scenario

SAY, DOES, COMES = "say", "does", "comes"
MARKS = {SAY: "say", DOES: "rig", COMES: "event"}


@dataclass(frozen=True)
class NoteLine:
    """One line of a lesson as written: at a time, or at an event."""

    kind: str
    text: str
    t_s: float = 0.0
    event: str = ""


@dataclass(frozen=True)
class Cue:
    """One line with the moment at which it is due, s."""

    t_s: float
    kind: str
    text: str


def lines_of(scenario: Scenario) -> tuple[NoteLine, ...]:
    """Notes and timeline of a scenario."""
    notes = [NoteLine(SAY, n.say, n.at_s, n.event or "") for n in scenario.notes]
    changes = [NoteLine(DOES, change_words(line), line.at_s) for line in scenario.timeline]
    return (
        *notes,
        *changes,
        *(NoteLine(DOES, fault_words(ill), ill.at_s) for ill in scenario.faults if ill.comes),
    )


def fault_words(ill: FaultSpec) -> str:
    """A fault to come in words."""
    from glasscan.faults.fault_data import faults

    fault = faults()[ill.fault]
    if ill.on_pulse:
        inlet, across = fault.pulse_kpa, fault.pulse_dp_kpa
        mark = f"{inlet:g} kPa before the filter" if inlet else f"a difference of {across:g} kPa"
        when = f"waits for {mark}"
    else:
        when = "begins" if ill.over_s else "is there"
    over = f", grows over {ill.over_s:g} s" if ill.over_s else ""
    return f"fault {fault.fault} {when}{over}: {fault.title.lower()}"


def change_words(line: Any) -> str:
    """A line of the timeline in words."""
    words = {
        "rpm": "shaft to {to:.0f} rpm",
        "air_c": "air to {to:.0f} °C",
        "regulator": "regulator {to} the filter",
        "fluid": "oil changed to {to}",
        "plant": "{key} becomes {to:g}",
        "scraper_turns": "handle turned {to:g} times",
        "drain_bowl": "bowl drained",
        "add_dirt_g": "{to:g} g of dirt into the oil",
        "indicator_reset": "indicator pushed in",
    }
    text = words[line.set].format(**line.model_dump()).replace("-", "−" if line.set == "air_c" else "-")
    over = getattr(line, "over_s", 0.0)
    return f"{text} within {over:g} s" if over else text


def cues(
    lines: Sequence[NoteLine], expected: Sequence[Event], came: Sequence[Event], now_s: float
) -> list[Cue]:
    """Every line with its moment, in order; lines at an event that neither came nor is expected are last."""
    future = [e for e in expected if e.t_s > now_s]
    first: dict[str, float] = {}
    for event in (*came, *future):
        first.setdefault(event.word, event.t_s)
    found = [Cue(e.t_s, COMES, event_words(e.word)) for e in (*came, *future)]
    for line in lines:
        if not line.event:
            found.append(Cue(line.t_s, line.kind, line.text))
        elif line.event in first:
            found.append(Cue(first[line.event], line.kind, line.text))
    order = {COMES: 0, DOES: 1, SAY: 2}
    found.sort(key=lambda c: (c.t_s, order[c.kind]))
    late = [x for x in lines if x.event and x.event not in first]
    return found + [Cue(float("inf"), x.kind, f"{x.text} (at: {event_words(x.event).lower()})") for x in late]


def next_cue(found: Sequence[Cue], now_s: float) -> Cue | None:
    """The next thing to come."""
    return next((c for c in found if now_s < c.t_s < float("inf")), None)


def to_say(found: Sequence[Cue], now_s: float) -> Cue | None:
    """The newest note that is due."""
    due = [c for c in found if c.kind == SAY and c.t_s <= now_s]
    return due[-1] if due else None


def when(cue: Cue) -> str:
    """The moment of a cue as it is shown."""
    return clock(cue.t_s).removesuffix(".0") if cue.t_s < float("inf") else "…"
