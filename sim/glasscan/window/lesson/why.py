"""Why is it open, or shut? Cause and effect one step at a time, every number from the snapshot."""

from __future__ import annotations

from dataclasses import dataclass

import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import MILLIMETRE, NEWTON, UnitSystem, viscosity
from glasscan.window.circuit.circuit_flows import RigNumbers, flows_of
from glasscan.window.circuit.circuit_view import suction_words
from glasscan.window.lesson.valve_state import (
    ValveMarks,
    balance_sentence,
    state_of,
    state_sentence,
    total_n,
)

FLOWING_M3S = 1e-6
STARVED = 0.02  # share of its flow that a pump misses before it is told


@dataclass(frozen=True)
class Link:
    """One link of the chain: a heading, a sentence, its number with unit, and the part it speaks of.

    `parts` are keys of parts, the first that a filter has is meant; `circuit` names a piece of the circuit.
    """

    head: str
    text: str
    number: str
    parts: tuple[str, ...] = ()
    circuit: str = ""


def chain(
    s: Snapshot, units: UnitSystem, marks: ValveMarks | None, rig: RigNumbers | None = None
) -> list[Link]:
    """The links from the oil to what reaches the bearings, for this moment."""
    if s.valve is None:
        return [Link("No valve", "This filter has no bypass valve.", "")]
    return [
        _oil(s, units),
        _pump(s, units, rig),
        _flow(s, units),
        _drop(s, units, marks),
        Link("Force balance", balance_sentence(s), f"{NEWTON.text(total_n(s))} N", VALVE),
        _lift(s, units, marks),
        _share(s, units),
    ]


VALVE = ("valve-poppet",)
MEDIA = ("medium", "discs")


def _oil(s: Snapshot, units: UnitSystem) -> Link:
    at = f"{units.temperature.text(s.filter_c)} {units.temperature.sign}"
    return Link(
        "Oil", f"The oil is at {at}. This is how thick it is: its kinematic viscosity.", viscosity(s.nu_m2_s)
    )


def _pump(s: Snapshot, units: UnitSystem, rig: RigNumbers | None) -> Link:
    """What the pump sends, and what keeps it from sending more."""
    flows = flows_of(s, rig)
    number = f"{units.flow.text(s.pump_m3s)} {units.flow.sign}"
    if flows.wanted_m3s <= FLOWING_M3S:
        return Link("Pump", "The pump stands.", number, circuit="pump")
    could = f"{units.flow.text(flows.wanted_m3s)} {units.flow.sign}"
    if not flows.covered:
        text = f"The level is below the pick-up: the pump draws air. It could send {could}."
    elif flows.fill < 1.0 - STARVED:
        what = suction_words(rig)
        text = f"The pump could send {could}; {what} lets it draw {units.flow.text(flows.m3s('suction'))}."
    else:
        text = "The pump draws all that its speed asks for."
    return Link("Pump", text, number, circuit="pump")


def _flow(s: Snapshot, units: UnitSystem) -> Link:
    through = s.element_m3s + s.bypass_m3s + s.readings.get("hole_m3s", 0.0)
    number = f"{units.flow.text(through)} {units.flow.sign}"
    if through < FLOWING_M3S:
        return Link("Flow", "No oil is being sent through the filter.", number)
    back = f"{units.flow.text(s.regulator_m3s)} {units.flow.sign}"
    if s.regulator_before:
        text = (
            f"The regulator sits before the filter and sends {back} back first. The rest has to go through."
        )
    else:
        text = "The regulator sits after the filter. All of this oil has to go through the filter."
    return Link("Flow", text, number, ("base", "head"))


def _drop(s: Snapshot, units: UnitSystem, marks: ValveMarks | None) -> Link:
    unit = units.pressure
    number = f"{unit.text(s.dp_pa)} {unit.sign}"
    text = "Forcing it through takes pressure: inlet minus outlet."
    own = marks.own_drop_pa(s) if marks is not None else None
    if marks is not None and own is not None:
        text += (
            f" The valve itself feels {unit.text(own)} {unit.sign} of it; "
            f"it opens at {unit.text(marks.opens_pa)} {unit.sign}."
        )
    elif marks is not None:
        text += f" The valve opens at {unit.text(marks.opens_pa)} {unit.sign} over the valve itself."
    return Link("Drop", text, number, MEDIA)


def _lift(s: Snapshot, units: UnitSystem, marks: ValveMarks | None) -> Link:
    state = state_of(s, marks.max_lift_m if marks is not None else 0.0)
    head = f"Lift: {state}"
    return Link(head, state_sentence(s, state, marks, units), f"{MILLIMETRE.text(s.lift_m)} mm", VALVE)


def _share(s: Snapshot, units: UnitSystem) -> Link:
    past = s.bypass_m3s + s.readings.get("hole_m3s", 0.0)
    through = s.element_m3s + past
    share = past / through if through > FLOWING_M3S else 0.0
    gone = f"{units.volume.text(s.unfiltered_m3)} {units.volume.sign}"
    if share < 0.005:
        text = f"All oil goes through the element now. Past it so far: {gone}."
    else:
        text = f"This part of the oil goes past the element to the bearings: {gone} so far."
    return Link("Unfiltered", text, f"{100 * share:.0f} %", ("core", "tube"))


def draw_why(canvas: Canvas, box: pygame.Rect, links: list[Link], shown: int) -> None:
    """Draw the first `shown` links as a chain, the newest in full, earlier ones as head and number."""
    canvas.panel(box, "sheet", "edge", 12, 2)
    pad, line = canvas.dp(18), canvas.measure("Ag")[1]
    y, seen = box.y + canvas.dp(10), links[: max(shown, 1)]
    tall = round(line * 1.25)
    told = canvas.measure(seen[-1].text, wrap=box.w - 2 * pad)[1] + line + canvas.dp(30)
    first = max(0, len(seen) - max(1, (box.h - told) // tall))
    for i, link in list(enumerate(seen))[first:]:
        newest = i == len(seen) - 1
        row = pygame.Rect(box.x + pad, y, box.w - 2 * pad, tall)
        number_w = canvas.measure(link.number, bold=True)[0] + 2
        head = pygame.Rect(row.x, row.y, row.w - number_w - canvas.dp(8), row.h)
        arrow = "→ " if i else ""
        canvas.text(f"{arrow}{link.head}", head, bold=newest, colour="accent" if newest else "soft")
        canvas.text(link.number, row, align="right", bold=True)
        y = row.bottom
    _draw_newest(
        canvas, pygame.Rect(box.x + pad, y, box.w - 2 * pad, box.bottom - y - canvas.dp(8)), links, seen
    )


def _draw_newest(canvas: Canvas, room: pygame.Rect, links: list[Link], seen: list[Link]) -> None:
    line = canvas.measure("Ag")[1]
    foot = pygame.Rect(room.x, room.bottom - line, room.w, line)
    text = seen[-1].text
    words = f"W or →: next ({len(seen)} of {len(links)})" if len(seen) < len(links) else "W: done.  ←: back"
    canvas.text(words, foot, colour="soft")
    place = pygame.Rect(room.x, room.y, room.w, foot.y - room.y)
    if canvas.measure(text, wrap=place.w)[1] <= place.h:
        canvas.text(text, place, wrap=True, valign="top")
