"""Why is it open, or shut? Cause and effect one step at a time, every number from the snapshot."""

from __future__ import annotations

from dataclasses import dataclass

import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import MILLIMETRE, NEWTON, UnitSystem, viscosity
from glasscan.window.lesson.gauges import OPEN_M

FLOWING_M3S = 1e-6
SUMMED = ("pressure_n", "flow_n")


@dataclass(frozen=True)
class Link:
    """One link of the chain: a heading, a sentence, and its number with unit."""

    head: str
    text: str
    number: str


def chain(s: Snapshot, units: UnitSystem, cracking_pa: float | None) -> list[Link]:
    """The links from the oil to what reaches the bearings, for this moment."""
    if s.valve is None:
        return [Link("No valve", "This filter has no bypass valve.", "")]
    return [
        _oil(s, units),
        _flow(s, units),
        _drop(s, units, cracking_pa),
        _balance(s),
        _lift(s),
        _share(s, units),
    ]


def _oil(s: Snapshot, units: UnitSystem) -> Link:
    at = f"{units.temperature.text(s.filter_c)} {units.temperature.sign}"
    text = f"The oil in the filter has {at}. This is its kinematic viscosity: how stiffly it flows."
    return Link("Oil", text, viscosity(s.nu_m2_s))


def _flow(s: Snapshot, units: UnitSystem) -> Link:
    through = s.element_m3s + s.bypass_m3s
    number = f"{units.flow.text(through)} {units.flow.sign}"
    if through < FLOWING_M3S:
        return Link("Flow", "No oil is being sent through the filter.", number)
    place = "before" if s.regulator_before else "after"
    what = "takes its share away first" if s.regulator_before else "takes nothing away before the filter"
    return Link(
        "Flow", f"The regulator sits {place} the filter and {what}. So much oil must pass the filter.", number
    )


def _drop(s: Snapshot, units: UnitSystem, cracking_pa: float | None) -> Link:
    unit = units.pressure
    number = f"{unit.text(s.dp_pa)} {unit.sign}"
    text = "Pushing this oil through costs pressure: inlet less outlet (differential)."
    if cracking_pa is not None:
        word = "more" if s.dp_pa > cracking_pa else "less"
        text += f" That is {word} than the {unit.text(cracking_pa)} {unit.sign} at which the valve cracks."
    return Link("Drop", text, number)


def _balance(s: Snapshot) -> Link:
    assert s.valve is not None
    v = s.valve
    opening = v.pressure_n + v.flow_n
    text = (
        f"On the valve the oil pushes with {NEWTON.text(opening)} N to open, and the spring with "
        f"{NEWTON.text(-v.spring_n)} N to shut. Seat or stop carries {NEWTON.text(abs(v.seat_n))} N."
    )
    return Link("Force balance", text, f"{NEWTON.text(opening + v.spring_n)} N")


def _lift(s: Snapshot) -> Link:
    number = f"{MILLIMETRE.text(s.lift_m)} mm"
    if s.lift_m <= OPEN_M:
        return Link("Lift", "The spring is the stronger one: the valve stays on its seat.", number)
    return Link("Lift", "The oil was the stronger one: the valve stands off its seat by this much.", number)


def _share(s: Snapshot, units: UnitSystem) -> Link:
    through = s.element_m3s + s.bypass_m3s
    share = s.bypass_m3s / through if through > FLOWING_M3S else 0.0
    gone = f"{units.volume.text(s.unfiltered_m3)} {units.volume.sign}"
    if share < 0.005:
        text = f"All oil goes through the element now. Since the start {gone} went past it."
    else:
        text = f"This part of the oil goes past the element to the bearings. Since the start it was {gone}."
    return Link("Unfiltered", text, f"{100 * share:.0f} %")


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
