"""The real filters in the sound rig, built once."""

from __future__ import annotations

from functools import cache

from glasscan.faults.sound_rigs import sound
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.learning.catalogue import load_filter, load_fluid, load_plant
from glasscan.rig.setup import RigSetup

FLUID = "multigrade-15w-50"
PLANTS = {"can": "piston-test-stand", "cartridge": "piston-test-stand", "disc": "radial-test-stand"}
FILES = {"can": "can-full-flow", "cartridge": "cartridge-bowl", "disc": "disc-stack"}


@cache
def network(kind: str):
    """Network of a shipped filter."""
    return build(FilterData(load_filter(FILES[kind]))).network


@cache
def rig(kind: str, layout: str) -> RigSetup:
    """The sound rig with a shipped filter."""
    return sound(load_fluid(FLUID), network(kind), load_plant(PLANTS[kind]), layout)
