"""Planted filters, made once for all tests of the inspection."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest
from glasscan.learning.catalogue import load_filter
from glasscan.window.bench.filter_sources import RIGS, sound_rig
from glasscan.workshop.inspection.evidence import Evidence
from glasscan.workshop.inspection.inspection_data import FilterKind, story
from glasscan.workshop.inspection.planted_filters import planted

Make = Callable[..., Evidence]


@cache
def made(kind: FilterKind, word: str, seed: int = 3) -> Evidence:
    """Evidence of a story."""
    return planted(story(word), seed, sound_rig(kind), load_filter(RIGS[kind][0]))


@pytest.fixture(scope="session")
def evidence() -> Make:
    """Makes the evidence of a story."""
    return made
