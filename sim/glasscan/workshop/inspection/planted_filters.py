"""A filter with a story: so many hours of healthy service and then a fault, both run by the model."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from glasscan.faults.apply import apply
from glasscan.faults.fault_data import faults
from glasscan.rig.rig import Rig
from glasscan.rig.setup import RigSetup
from glasscan.workshop.inspection.evidence import Body, Evidence, brought, element_of, of_rig, worn_share
from glasscan.workshop.inspection.inspection_data import FilterKind, Story, sources, stories, wear_mix
from glasscan.workshop.inspection.piece_placing import strew, ways_of

CRUISE_C, CRUISE_RPM = 85.0, 2400.0
WARM_UP_S = 30.0
STEP_H = 0.5
HEALTHY_TURNS = 3
TURN_EVERY_H = 4.0
"""Interval between two turnings of a scraper (invented)."""
Tell = Callable[[float, str], None]


def _silent(share: float, what: str) -> None:
    del share, what


def _told(tell: Tell, begin: float, part: float, what: str, share: float) -> None:
    tell(begin + part * share, what)


@dataclass(frozen=True)
class Drawn:
    """Numbers of a story, drawn from its ranges."""

    hours: float
    since: float
    severity: float
    load_g: float = 0.0


def stories_for(kind: FilterKind) -> tuple[Story, ...]:
    """Stories that a kind of filter can have."""
    return tuple(s for s in stories().values() if kind in s.filters)


def draw_story(kind: FilterKind, seed: int) -> Story:
    """The story of a seed, by weight."""
    known = stories_for(kind)
    weight = np.array([s.weight for s in known])
    pick = np.random.default_rng([seed, 1]).choice(len(known), p=weight / weight.sum())
    return known[int(pick)]


def planted(story: Story, seed: int, setup: RigSetup, data: Any, tell: Tell = _silent) -> Evidence:
    """Run a story and open the filter.

    Args:
        story: what happened.
        seed: of all that is drawn.
        setup: the sound rig with its filter.
        data: data of that filter.
        tell: told how far it is.

    Raises:
        ValueError: the story is not one of this kind of filter.
    """
    if data.kind not in story.filters:
        raise ValueError(f"story {story.story}: not one of a {data.kind} filter")
    random = np.random.default_rng([seed, 2])
    drawn = Drawn(
        *(float(random.uniform(*span)) for span in (story.hours, story.since, story.severity, story.load_g))
    )
    setup = replace(setup, dirt_kg=setup.dirt_kg + drawn.load_g * 1e-3)
    well_hours = partial(_told, tell, 0.0, 0.6, "Service hours")
    before = _served(Rig(_at_cruise(setup)), drawn.hours, HEALTHY_TURNS, well_hours)
    rig, came = before, brought(_sources(before, setup, before, story))
    if story.fault and drawn.since > 0:
        ill = apply(faults()[story.fault], drawn.severity, _at_cruise(setup))
        rig = _taken_over(Rig(ill), before)
        ill_hours = partial(_told, tell, 0.6, 0.4, "Hours with a fault")
        rig = _served(rig, drawn.since, story.turns, ill_hours)
        came = brought(_sources(rig, setup, before, story))
    bodies, gone = _pieces(story, drawn, rig, data, random)
    return of_rig(
        rig, data, came, tuple(bodies), gone=dict(gone), parts=dict(story.parts), tells=story.tells,
        hours=drawn.hours + drawn.since, story=story.story,
    )  # fmt: skip


def _at_cruise(setup: RigSetup) -> RigSetup:
    return replace(
        setup, air_c=15.0, oil_c=CRUISE_C, rpm=CRUISE_RPM, gallery_fill=1.0, can_fill=1.0, timeline=()
    )


def _served(rig: Rig, hours: float, turns: int, tell: Callable[[float], None]) -> Rig:
    """Let it run; a stack is turned at every interval but the last."""
    end, begun = rig.t_s + WARM_UP_S + hours * 3600.0, rig.t_s
    rig.advance_to(begun + WARM_UP_S)
    turned_h = 0.0
    scraper = rig.network.dirt_side.scraper is not None
    while rig.t_s < end:
        rig.advance_to(min(rig.t_s + STEP_H * 3600.0, end))
        done_h = (rig.t_s - begun) / 3600.0
        if scraper and turns and done_h - turned_h >= TURN_EVERY_H and rig.t_s < end:
            rig.set("scraper_turns", float(turns))
            rig.advance_to(rig.handle_rests_s)
            turned_h = done_h
        tell((rig.t_s - begun) / (end - begun))
    if scraper and turns:
        rig.set("scraper_turns", float(turns))
        rig.advance_to(rig.handle_rests_s)
    return rig


def _taken_over(rig: Rig, before: Rig) -> Rig:
    """The rig with the fault, with the dirt that was there before; a load of its own comes on top."""
    old, new = before.state.dirt, rig.state.dirt
    dirt = replace(old, held=old.held + new.held, sludge=old.sludge + new.sludge)
    rig.state = replace(rig.state, dirt=dirt, segment_r=rig.element.resistance(dirt.held, dirt.sludge))
    return rig


def _sources(rig: Rig, setup: RigSetup, before: Rig, story: Story) -> list[tuple[dict[str, float], Any]]:
    """Filling, wear of the healthy hours, what the fault added, by kind."""
    known, sound = sources().mixes, setup.plant.dirt
    mix = wear_mix(setup.plant.plant, sound.wear_iron)
    parts: list[tuple[dict[str, float], Any]] = [(known["start"], before.start_dirt.suspended)]
    parts += [(story.wear or mix, before.start_dirt.held.sum(axis=1))]
    worn = worn_share(sound)
    first = before.state.dirt.let_in
    parts += [(mix, first * worn), (known["dust"], first * (1.0 - worn))]
    if rig is before:
        return parts
    added, ill = rig.state.dirt.let_in - first, rig.setup.plant.dirt
    load = rig.start_dirt.held.sum(axis=1) + rig.start_dirt.sludge
    worn = worn_share(ill)
    normal = min(sound.wear_mg_h / ill.wear_mg_h, 1.0) if ill.wear_mg_h else 0.0
    wear = added * worn
    parts += [(mix, wear * normal), (story.wear or mix, wear * (1.0 - normal) + load * worn)]
    return [*parts, (known["dust"], (added + load) * (1.0 - worn))]


def _pieces(
    story: Story, drawn: Drawn, rig: Rig, data: Any, random: np.random.Generator
) -> tuple[list[Body], Counter[str]]:
    ways = ways_of(rig, element_of(data, rig.network.segments).height_m)
    bodies, gone = list[Body](), Counter[str]()
    for strewn in story.pieces:
        more, lost = strew(strewn, drawn.since, ways, random)
        bodies += more
        gone += lost
    return bodies, gone
