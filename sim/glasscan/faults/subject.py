"""What a test is made on: a rig with its fault beside the same rig when sound."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from glasscan.rig.setup import RigSetup


@dataclass(frozen=True)
class Subject:
    """A rig with (or without) a fault beside the same rig when sound.

    Attributes:
        setup, sound: the two rigs.
        found: what parts and papers show, shares of certainty.
        onsets: how its faults came.
        grown_h: running hours over which its sources of dirt have grown.
    """

    setup: RigSetup
    sound: RigSetup
    found: Mapping[str, float]
    onsets: frozenset[str] = frozenset()
    grown_h: float = 0.0
