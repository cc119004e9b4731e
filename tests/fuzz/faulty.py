"""Random rigs with faults, under hands that never rest: `python -m tests.fuzz.long faulty 10000`.

Every rig is a shipped filter, plant and fluid with one to three faults of any severity; while it runs
somebody moves speed, air, oil and regulator, turns the scraper, drains, lets dirt in, stops and rests.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import fields, replace
from functools import cache

import numpy as np
from glasscan.faults.apply import combined
from glasscan.faults.fault_data import acting
from glasscan.faults.sound_rigs import sound
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.filters.network import FilterNetwork
from glasscan.learning.catalogue import load_filter, load_fluid, load_plant, names
from glasscan.rig import state_index as at
from glasscan.rig.records import Snapshot
from glasscan.rig.rig import Rig
from glasscan.rig.setup import RigSetup

KINDS = {"can": "can-full-flow", "cartridge": "cartridge-bowl", "disc": "disc-stack"}
CLOSED = 1e-9
WARMEST_C = 400.0  # no lump of metal or oil gets hotter in any rig; a bound against running away, not a law
MOVES = 4
STEPS_S = [1e-3, 1 / 60, 1 / 60, 0.5, 20.0, 600.0]
Hand = Callable[[Rig, random.Random], None]


@cache
def network(kind: str) -> FilterNetwork:
    """The shipped filter of a kind, solved once in a process."""
    return build(FilterData(load_filter(KINDS[kind]))).network


def faulty_setup(dice: random.Random) -> RigSetup:
    """A rig of shipped parts with faults."""
    kind, place = dice.choice(list(KINDS)), dice.choice(["before", "after"])
    rig = sound(
        load_fluid(dice.choice(names("fluids"))),
        network(kind),
        load_plant(dice.choice(names("plants"))),
        place,
    )
    rig = replace(
        rig,
        air_c=dice.uniform(-54, 50),
        oil_c=dice.choice([None, dice.uniform(-54, 150)]),
        gallery_fill=dice.random(),
        can_fill=dice.choice([1.0, dice.random()]),
        dirt_kg=dice.choice([0.0, 0.0, 0.001, 0.02]),
        rpm=dice.choice([0.0, 600.0, 4000.0]),
    )
    chosen = dice.sample(acting(kind, place), dice.randint(1, 3))
    return combined([(fault, dice.choice([0.0, 1.0, dice.random()])) for fault in chosen], rig)


def _rest(rig: Rig, dice: random.Random) -> None:
    rig.set("rpm", 0.0)
    rig.step(dice.choice([10.0, 10.0, 600.0, 8 * 3600.0]))


def _scrape(rig: Rig, dice: random.Random) -> None:
    if rig.setup.network.dirt_side.scraper is not None:
        rig.set("scraper_turns", dice.uniform(0, 5))
        rig.set("drain_bowl", dice.choice([0.0, 1.0, dice.random()]))


HANDS: tuple[Hand, ...] = (
    lambda rig, dice: rig.set("rpm", dice.choice([0.0, 500.0, dice.uniform(0, 5000)])),
    lambda rig, dice: rig.set("air_c", dice.uniform(-54, 60)),
    lambda rig, dice: rig.set("fluid", load_fluid(dice.choice(names("fluids")))),
    lambda rig, dice: rig.set("regulator", dice.choice(["before", "after"])),
    lambda rig, dice: rig.set("add_dirt_g", dice.choice([0.0, 0.01, 1.0, 30.0])),
    lambda rig, dice: rig.set("lodged_mm", dice.choice([0.0, dice.random()])),
    lambda rig, dice: rig.set("gauge.offset_kpa", dice.uniform(-100, 100)),
    lambda rig, dice: rig.set("pump.volumetric_efficiency", dice.random()),
    lambda rig, _: rig.set("indicator_reset", True),
    _scrape,
    _rest,
)


def one_faulty_rig(number: int) -> str:
    """Run one rig under random hands and check it after each move."""
    dice = random.Random(number)
    rig = Rig(faulty_setup(dice))
    coldest = min(rig.setup.air_c, rig.setup.start_c)
    for _ in range(MOVES):
        dice.choice(HANDS)(rig, dice)
        coldest = min(coldest, rig.state.controls.air_c.end)
        rig.step(dice.choice(STEPS_S))
        _sound_state(rig, coldest)
    _again_the_same(rig, 0.1)
    return "valve open" if rig.snapshot().lift_m > 1e-5 else "valve shut"


def _again_the_same(rig: Rig, dt_s: float) -> None:
    """Step twice from the same state: the second future is the first, bit by bit."""
    before = rig.state
    rig.step(dt_s)
    first, rig.state = rig.state, before
    rig.step(dt_s)
    assert first.y.tobytes() == rig.state.y.tobytes(), "another future"
    assert first.events == rig.state.events, "other events"


def _sound_state(rig: Rig, coldest_c: float) -> None:
    seen, books = rig.snapshot(), rig.ledger()
    assert np.isfinite(rig.state.y).all(), "not finite"
    assert all(np.isfinite(x).all() for x in _numbers(seen)), "not finite"
    assert abs(books.volume_error_rel) < CLOSED, f"volume {books.volume_error_rel:.2e}"
    assert abs(books.mass_error_rel) < CLOSED, f"mass {books.mass_error_rel:.2e}"
    power = seen.dp_pa * (seen.element_m3s + seen.bypass_m3s)
    assert power >= -1e-9 * (abs(seen.inlet_pa) + 1), f"the filter gives {-power:.2e} W"
    warm = rig.state.y[at.T_SUMP : at.T_BLOCK + 1]
    assert warm.min() > coldest_c - 0.1, f"{warm.min():.2f} degC is colder than all round it"
    assert warm.max() < WARMEST_C, f"{warm.max():.0f} degC"
    assert seen.lift_m >= 0.0, "the valve below its seat"
    assert seen.deposit_kg.min() >= 0.0, "less than no dirt"


def _numbers(seen: Snapshot) -> list[object]:
    return [
        value for field in fields(seen) if isinstance(value := getattr(seen, field.name), float | np.ndarray)
    ] + list(seen.readings.values())
