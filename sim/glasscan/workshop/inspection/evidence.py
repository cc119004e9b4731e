"""What lies in an opened filter: the ledger's deposit by kind and place, single pieces, state of parts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import SIZE_M
from glasscan.contaminant.contaminant_state import feed_kg_s
from glasscan.debris.debris_data import catalogue
from glasscan.debris.piece_shapes import Piece, draw_piece
from glasscan.filters.network import ValveSpec
from glasscan.rig.plant_data import DirtData
from glasscan.rig.rig import Rig
from glasscan.workshop.inspection.inspection_data import FilterKind, sources, wear_mix
from glasscan.workshop.inspection.part_findings import defects_of, sound_parts

Floats = NDArray[np.float64]
Place = Literal["outside", "inside", "core", "cup"]
PLACES: tuple[Place, ...] = ("cup", "outside", "inside", "core")


@dataclass(frozen=True)
class Element:
    """Sizes of what is opened.

    Attributes:
        kind: can, cartridge or disc.
        title: of the filter.
        panels: faces of the unfolded medium, two for each pleat; gaps of a stack.
        height_m: of the medium or stack.
        depth_m: of one panel; ring of a disc.
        width_m: of the unfolded strip; way round the stack.
        core_m: way round the core tube, inside.
        segments: slices of the model along the height.
    """

    kind: FilterKind
    title: str
    panels: int
    height_m: float
    depth_m: float
    width_m: float
    core_m: float
    segments: int

    @property
    def area_m2(self) -> float:
        """Face of the whole strip, or of the stack's edge, m2."""
        return self.width_m * self.height_m


@dataclass(frozen=True)
class Body:
    """One piece large enough to be seen with the eye.

    Attributes:
        code: its kind.
        place: where it lies.
        along, up: on the strip, 0..1.
        piece: its outline and volume.
        mass_kg: its mass.
    """

    code: str
    place: Place
    along: float
    up: float
    piece: Piece
    mass_kg: float

    @property
    def size_m(self) -> float:
        """Longest side, m."""
        corners = self.piece.outline
        return float(max(np.hypot(*(p - q)) for p in corners for q in corners))


@dataclass(frozen=True)
class Evidence:
    """Everything an inspection can find.

    Attributes:
        element: sizes.
        codes: kinds of the deposit.
        held: (F, C, K) mass by kind, size class and segment, kg.
        bowl: (F, C) mass loose or settled in the bowl, kg.
        bodies: pieces beside the ledger.
        gone: pieces that went on with the oil, by code.
        parts: what each part shows.
        defects: parts that are not sound.
        hours: in service.
        tells: what it was, for the debriefing; empty where nobody planted anything.
        story: word of the story, or "".
        valve: the bypass valve of the rig it came from, to be pressed by hand.
    """

    element: Element
    codes: tuple[str, ...]
    held: Floats
    bowl: Floats
    bodies: tuple[Body, ...] = ()
    gone: Mapping[str, int] = field(default_factory=dict)
    parts: Mapping[str, str] = field(default_factory=dict)
    defects: frozenset[str] = frozenset()
    hours: float = 0.0
    tells: str = ""
    story: str = ""
    valve: ValveSpec | None = None

    @property
    def valve_open(self) -> bool:
        """The bypass valve stands off its seat."""
        return "stands open" in self.parts.get("valve", "")

    @property
    def mass_kg(self) -> float:
        """Deposit, bowl and pieces together, kg."""
        return float(self.held.sum() + self.bowl.sum() + sum(b.mass_kg for b in self.bodies))


def element_of(data: Any, segments: int) -> Element:
    """Sizes of the element of a filter's data file.

    Args:
        data: `CanData`, `CartridgeData` or `DiscStackData`.
        segments: slices of the solved section.
    """
    if data.kind == "disc":
        stack = data.stack
        ring = (stack.outer_radius_mm - stack.inner_radius_mm) * 1e-3
        height = stack.top_m - stack.bottom_mm * 1e-3
        edge, core = (2e-3 * math.pi * r for r in (stack.outer_radius_mm, stack.inner_radius_mm))
        return Element("disc", data.title, stack.gaps, height, ring, edge, core, segments)
    e = data.element
    panels, core = 2 * e.pleats, 2e-3 * math.pi * (e.inner_radius_mm - e.core_mm)
    return Element(data.kind, data.title, panels, e.height_m, e.depth_m, panels * e.depth_m, core, segments)


@dataclass(frozen=True)
class Brought:
    """(F, C) masses by kind and class that came into the oil, kg; over kinds they sum to the ledger's."""

    codes: tuple[str, ...]
    mass_kg: Floats

    @property
    def shares(self) -> Floats:
        """(F, C) share of each kind in each class; a class that nothing came into takes the whole mix."""
        whole = self.mass_kg.sum(axis=0)
        mix = self.mass_kg.sum(axis=1)
        even = mix / mix.sum() if mix.sum() > 0 else np.full(len(mix), 1.0 / len(mix))
        return np.where(whole > 0, self.mass_kg / np.where(whole > 0, whole, 1.0), even[:, None])


def brought(parts: Iterable[tuple[Mapping[str, float], Floats]]) -> Brought:
    """Add up sources.

    Args:
        parts: (shares by code, (C,) mass by class in kg) of each source.
    """
    parts = list(parts)
    codes = tuple(dict.fromkeys(code for mix, _ in parts for code in mix))
    mass = np.zeros((len(codes), len(SIZE_M)))
    for mix, by_class in parts:
        for code, share in mix.items():
            mass[codes.index(code)] += share * by_class
    return Brought(codes, mass)


def sources_of(rig: Rig, wear: Mapping[str, float] | None = None) -> list[tuple[Mapping[str, float], Floats]]:
    """The sources of a rig's dirt: the first filling, wear, dust let in, and what hands let in.

    The split between wear and dust is that of the rig's settings; the sum is the ledger's. The deposit an
    element holds at the start was built up from the same mix.
    """
    plant, known = rig.state.controls.plant, sources().mixes
    share, start, let_in = worn_share(plant.dirt), rig.start_dirt, rig.state.dirt.let_in
    mine = dict(wear) if wear else wear_mix(plant.plant, plant.dirt.wear_iron)
    fed = let_in + start.held.sum(axis=1) + start.sludge
    return [(known["start"], start.suspended), (mine, fed * share), (known["dust"], fed * (1.0 - share))]


def worn_share(dirt: DirtData) -> Floats:
    """(C,) share of wear in what a rig lets in; a class that neither brings counts as dust."""
    whole = feed_kg_s(dirt, 1.0)
    wear = feed_kg_s(dirt.model_copy(update={"dust_mg_h": 0.0}), 1.0)
    return np.divide(wear, whole, out=np.zeros_like(whole), where=whole > 0)


def of_rig(
    rig: Rig,
    data: Any,
    came: Brought | None = None,
    bodies: tuple[Body, ...] = (),
    **more: Any,
) -> Evidence:
    """The evidence in a rig as it stands now; for a lesson, a case or a planted run.

    Args:
        rig: at the end of its run.
        data: data of its filter.
        came: what came into the oil by kind; None reads it off the rig's own sources.
        bodies: pieces beside the ledger.
        more: further fields of `Evidence`; `parts` adds to what the rig itself tells of its parts.
    """
    came = came or brought(sources_of(rig))
    dirt, element = rig.state.dirt, element_of(data, rig.network.segments)
    held = came.shares[:, :, None] * dirt.held[None]
    bowl = came.shares * (dirt.sludge + dirt.loose)
    hours = more.pop("hours", rig.state.t_s / 3600.0)
    bad = defects_of(rig) | dict(more.pop("parts", {}))
    parts = sound_parts(element.kind) | bad
    defects = frozenset(bad)
    return Evidence(
        element,
        came.codes,
        held,
        bowl,
        bodies,
        hours=hours,
        parts=parts,
        defects=defects,
        valve=rig.network.valve,
        **more,
    )


def drawn_body(
    code: str, place: Place, along: float, up: float, random: np.random.Generator, size_m: float | None = None
) -> Body:
    """A body of a kind with its size, outline and mass drawn."""
    known = catalogue()
    kind = known.kind(code)
    piece = draw_piece(kind, random, size_m)
    return Body(code, place, along, up, piece, known.material(kind).density_kg_m3 * piece.volume_m3)
