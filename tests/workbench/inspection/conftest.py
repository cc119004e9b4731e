"""Planted filters, made once for all tests of the inspection."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from sim.lessons.catalogue import load_filter
from sim.screens.benchpages.bringing import RIGS, sound_rig
from sim.workbench.inspection.data import FilterKind, story
from sim.workbench.inspection.evidence import Evidence
from sim.workbench.inspection.planted import planted

Make = Callable[..., Evidence]


@cache
def made(kind: FilterKind, word: str, seed: int = 3) -> Evidence:
    """Evidence of a story."""
    return planted(story(word), seed, sound_rig(kind), load_filter(RIGS[kind][0]))


@pytest.fixture(scope="session")
def evidence() -> Make:
    """Makes the evidence of a story."""
    return made
