"""Bring filters to the bench: rigs by kind of filter, planted stories, filters of a lesson. No window."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any

from glasscan.learning.catalogue import load_filter, load_fluid, load_plant
from glasscan.workshop.inspection.evidence import of_rig
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.inspection_data import FilterKind, story
from glasscan.workshop.inspection.planted_filters import draw_story, planted

if TYPE_CHECKING:
    from glasscan.filters.network import FilterNetwork
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.rig.setup import RigSetup

Tell = Callable[[float, str], None]
RIGS: dict[FilterKind, tuple[str, str, str]] = {
    "can": ("can-full-flow", "piston-single", "sae-50-mineral"),
    "cartridge": ("cartridge-bowl", "piston-single", "sae-50-mineral"),
    "disc": ("disc-stack", "radial-lube", "sae-60-mineral"),
}
"""Filter, rig and oil on which a kind of filter is worked on."""
HYDRAULIC = ("hydraulic-1500", "mil-prf-5606-class")
ROW_S = 0.5
BEFORE = 100_000  # added to a seed: the sound filter that was opened at the change before


def _silent(share: float, what: str) -> None:
    del share, what


@cache
def network_of(kind: FilterKind) -> FilterNetwork:
    """The solved network of a kind's filter; solved once."""
    from glasscan.filters.build import build
    from glasscan.filters.filter_data import FilterData

    return build(FilterData(load_filter(RIGS[kind][0]))).network


def sound_rig(kind: FilterKind, hydraulic: bool = False) -> RigSetup:
    """The sound rig of a kind of filter."""
    from glasscan.faults.sound_rigs import sound

    _, plant, oil = RIGS[kind]
    if hydraulic:
        plant, oil = HYDRAULIC
    return sound(load_fluid(oil), network_of(kind), load_plant(plant), "after")


def by_seed(kind: FilterKind, seed: int, word: str | None = None, tell: Tell = _silent) -> Inspection:
    """A filter with a story, drawn from a seed or named.

    Raises:
        BadInput: there is no such story.
        ValueError: it is not one of this kind of filter.
    """
    tell(0.0, "Solving the filter")
    told = story(word) if word else draw_story(kind, seed)
    evidence = planted(told, seed, sound_rig(kind), load_filter(RIGS[kind][0]), tell)
    before = planted(story("healthy"), seed + BEFORE, sound_rig(kind), load_filter(RIGS[kind][0]))
    return Inspection(evidence, seed, last=before)


def of_lesson(scenario: Scenario, tell: Tell = _silent) -> Inspection:
    """Run a lesson as it is written and bring its filter: what lies in it is what that run left there."""
    from glasscan.learning.assemble import rig_setup
    from glasscan.rig.rig import Rig

    rig = Rig(rig_setup(scenario))
    end = scenario.end_s
    while rig.t_s < end:
        rig.advance_to(min(rig.t_s + max(ROW_S, end / 2000.0), end))
        tell(rig.t_s / end, "Running the lesson")
    return of_state(rig, scenario.filter, scenario.seed)


def of_state(rig: Any, filter_name: str, seed: int, bodies: tuple[Any, ...] = ()) -> Inspection:
    """The filter of a rig as it stands now: for the window, and for a case.

    Args:
        rig: a `glasscan.rig.rig.Rig`.
        filter_name: name of its filter's data file.
        seed: of the lay-out.
        bodies: `glasscan.workshop.inspection.evidence.Body` pieces beside the ledger.
    """
    return Inspection(of_rig(rig, load_filter(filter_name), bodies=bodies), seed)
