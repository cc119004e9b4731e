"""What was done to the bodies, step by step: enough, with scene and seed, to do it again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.crowd import Crowd, Motion
from glasscan.debris.oil_field import Fields
from glasscan.filters.section import FlowState
from glasscan.flow.grid import Floats

Where = str | tuple[float, ...]


@dataclass(frozen=True)
class Added:
    """Bodies of a kind put somewhere before the step of that number."""

    step: int
    kind: str
    count: int
    where: Where
    size_m: float | None
    angle: float | None


@dataclass(frozen=True)
class Removed:
    """Bodies by number (in order of entry) taken out before the step of that number."""

    step: int
    numbers: tuple[int, ...]


@dataclass(slots=True)
class Flowing:
    """What a section asks of a moment (a `FlowState`), without all else that a snapshot tells."""

    inlet_pa: float
    outlet_pa: float
    mu_pa_s: float
    rho_kg_m3: float
    segment_m3s: Floats
    bypass_m3s: float
    lift_m: float

    @classmethod
    def of(cls, state: FlowState) -> Flowing:
        """The same moment."""
        return cls(
            state.inlet_pa, state.outlet_pa, state.mu_pa_s, state.rho_kg_m3,
            np.array(state.segment_m3s, dtype=float), state.bypass_m3s, state.lift_m,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Stepped:
    """One step. Steps with the same motion share one moment: an hour of them takes some megabytes.

    Attributes:
        fields: the moment, or fields by reference where these were given.
    """

    step: int
    fields: Fields | Any
    mu_pa_s: float
    rho_kg_m3: float
    lift_m: float
    dt_s: float


Entry = Added | Removed | Stepped


@dataclass(frozen=True)
class Oil:
    """The oil for which terminal speeds and inertias were last worked out, and the step length."""

    mu_pa_s: float
    rho_kg_m3: float
    dt_s: float


@dataclass(frozen=True)
class Checkpoint:
    """Whole state between two steps. The run itself goes on from it, so that a rewind does just the same."""

    step: int
    entries: int
    crowd: Crowd
    motion: Motion
    side: NDArray[np.int8]
    random: Mapping[str, Any]
    lift_m: float
    oil: Oil | None
    heavy: Oil | None
    units: int
    added: int
    left: tuple[tuple[str, int], ...]
    drained: tuple[tuple[str, int], ...]

    @classmethod
    def empty(cls, seed: int) -> Checkpoint:
        """Before the first step, without bodies."""
        nothing = Motion.at_rest(np.zeros((0, 2)), np.zeros(0))
        random = np.random.default_rng(seed).bit_generator.state
        return cls(0, 0, Crowd(()), nothing, np.zeros(0, np.int8), random, 0.0, None, None, 1, 0, (), ())
