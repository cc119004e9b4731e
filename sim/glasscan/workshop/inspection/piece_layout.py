"""Lay out on the bench what the evidence holds: single pieces and a film, so that the mass adds up.

Dirt of the fine classes is a film. Dirt of the coarse classes is drawn as pieces; where there are too many,
one drawn piece stands for several, by a number that makes the mass of all drawn pieces that of the ledger.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import EDGES_UM, SIZE_M
from glasscan.debris.debris_data import catalogue
from glasscan.debris.piece_shapes import draw_piece
from glasscan.workshop.inspection.evidence import Body, Element, Evidence, Place
from glasscan.workshop.inspection.inspection_data import sources

Floats = NDArray[np.float64]
Opening = Literal["roller", "saw", "look", "wash"]
OPENINGS: dict[str, tuple[Opening, Opening]] = {
    "can": ("roller", "saw"),
    "cartridge": ("roller", "saw"),
    "disc": ("look", "wash"),
}
"""Ways to open each kind of filter: the good one and the tempting one."""
COARSE = tuple(c for c in range(len(SIZE_M)) if EDGES_UM[c] >= 150.0)
"""Size classes whose grains can be told apart by eye."""
MOST_GRAINS, MOST_BODIES = 30, 60
LEAST_STANDS = 0.5
"""A drawn piece that would stand for less than this is part of the film."""
SWARF = "D17"
PASTE = "D1"
"""What fine dirt looks like unless its kind has a look of its own; `blend` says what it is."""
SWARF_PIECES = (18, 34)
WASHED_OFF = 0.9
"""Share of film and pieces that washing takes off before anyone has looked (common practice, no source)."""


@dataclass(frozen=True)
class Lying:
    """One drawn piece.

    Attributes:
        code: its kind.
        place: where it lies.
        along, up: on the strip, 0..1.
        outline: (n, 2) corners about its middle, m.
        turn: rad.
        size_m: longest side, m.
        mass_kg: of one piece.
        stands_for: how many pieces it stands for.
    """

    code: str
    place: Place
    along: float
    up: float
    outline: Floats
    turn: float
    size_m: float
    mass_kg: float
    stands_for: float


@dataclass(frozen=True)
class Laid:
    """The opened filter on the bench.

    Attributes:
        element: sizes.
        pieces: drawn pieces.
        film: (K,) fine dirt by place and look, kg.
        blend: what the grey-black paste of a place is made of, by place and kind, kg.
        lost_kg: washed away before it was looked at.
        opened: how.
    """

    element: Element
    pieces: tuple[Lying, ...]
    film: dict[tuple[Place, str], Floats]
    lost_kg: float
    opened: Opening
    blend: dict[tuple[Place, str], float] = field(default_factory=dict)

    @property
    def mass_kg(self) -> float:
        """Mass of all that is laid out, swarf of the cutting left out, kg."""
        drawn = sum(p.mass_kg * p.stands_for for p in self.pieces if p.code != SWARF)
        return float(drawn + sum(m.sum() for m in self.film.values()))

    def at(self, place: Place) -> tuple[Lying, ...]:
        """Pieces of a place."""
        return tuple(p for p in self.pieces if p.place == place)

    def blend_at(self, place: Place) -> dict[str, float]:
        """Kinds in the paste of a place, kg."""
        return {code: kg for (where, code), kg in self.blend.items() if where == place and kg > 0.0}

    def film_at(self, place: Place) -> dict[str, float]:
        """Film of a place by kind, kg."""
        return {code: float(m.sum()) for (where, code), m in self.film.items() if where == place and m.any()}


def lay_out(evidence: Evidence, seed: int, opened: Opening) -> Laid:
    """Lay out the evidence.

    Args:
        evidence: what there is.
        seed: of places, sizes and outlines; the same seed gives the same bench.
        opened: how it was opened; a saw leaves swarf on the outside, washing first takes evidence away.
    """
    random = np.random.default_rng([seed, 3])
    film: dict[tuple[Place, str], Floats] = defaultdict(lambda: np.zeros(evidence.element.segments))
    blend: dict[tuple[Place, str], float] = defaultdict(float)
    pieces = [*_grains(evidence, film, blend, random), *_bodies(evidence.bodies, random)]
    if opened == "saw":
        pieces += _swarf(random)
    laid = Laid(evidence.element, tuple(pieces), dict(film), 0.0, opened, dict(blend))
    return _washed(laid, random) if opened == "wash" else laid


def _grains(
    evidence: Evidence,
    film: dict[tuple[Place, str], Floats],
    blend: dict[tuple[Place, str], float],
    random: np.random.Generator,
) -> Iterator[Lying]:
    """Grains of the coarse classes; the fine classes, and too little for a grain, go to the film."""
    segments = evidence.element.segments
    bowl = np.repeat(evidence.bowl[:, :, None] / segments, segments, axis=2)
    places: tuple[tuple[Place, Floats], ...] = (("outside", evidence.held), ("cup", bowl))
    looks = sources().film_as
    for place, mass in places:
        for f, code in enumerate(evidence.codes):
            for c in range(len(SIZE_M)):
                lot = mass[f, c]
                drawn = list(_lot(code, place, c, lot, random)) if c in COARSE and lot.any() else []
                if not drawn:
                    film[place, looks.get(code, PASTE)] += lot
                    blend[place, code] += float(lot.sum()) * (code not in looks)
                yield from drawn


def _lot(
    code: str, place: Place, size_class: int, mass: Floats, random: np.random.Generator
) -> Iterator[Lying]:
    """Pieces of one kind and class; none where there is less than half a piece."""
    kind, known = catalogue().kind(code), catalogue()
    density, whole = known.material(kind).density_kg_m3, float(mass.sum())
    middle = density * draw_piece(kind, np.random.default_rng(0), float(SIZE_M[size_class])).volume_m3
    number = int(min(np.ceil(whole / middle), MOST_GRAINS))
    low, high = (1e-6 * EDGES_UM[size_class + i] for i in (0, 1))
    sizes = low * (high / low) ** random.random(number)
    drawn = [draw_piece(kind, random, float(size)) for size in sizes]
    stands = whole / (density * sum(p.volume_m3 for p in drawn))
    if stands < LEAST_STANDS:
        return
    for piece, size in zip(drawn, sizes.tolist(), strict=True):
        k = int(random.choice(len(mass), p=mass / whole))
        up, along = (k + random.random()) / len(mass), random.random()
        turn = 2 * np.pi * random.random()
        yield Lying(
            code, place, along, up, piece.outline, turn, size, density * piece.volume_m3, stands
        )  # fmt: skip


def _bodies(bodies: Iterable[Body], random: np.random.Generator) -> Iterator[Lying]:
    """Single pieces; of very many of a kind at a place some, which stand for the rest."""
    lots: dict[tuple[str, Place], list[Body]] = defaultdict(list)
    for body in bodies:
        lots[body.code, body.place].append(body)
    for (code, place), lot in lots.items():
        shown = lot[:MOST_BODIES]
        stands = sum(b.mass_kg for b in lot) / sum(b.mass_kg for b in shown)
        for b in shown:
            turn = 2 * np.pi * random.random()
            yield Lying(code, place, b.along, b.up, b.piece.outline, turn, b.size_m, b.mass_kg, stands)


def _swarf(random: np.random.Generator) -> Iterator[Lying]:
    """What a saw leaves: fresh curls on the outside, most of them near the cut at one end."""
    kind, known = catalogue().kind(SWARF), catalogue()
    for _ in range(int(random.integers(*SWARF_PIECES))):
        piece = draw_piece(kind, random)
        up = 1.0 - min(float(random.exponential(0.12)), 0.98)
        size = float(max(np.hypot(*(p - q)) for p in piece.outline for q in piece.outline))
        mass = known.material(kind).density_kg_m3 * piece.volume_m3
        turn = 2 * np.pi * random.random()
        yield Lying(SWARF, "outside", float(random.random()), up, piece.outline, turn, size, mass, 1.0)


def _washed(laid: Laid, random: np.random.Generator) -> Laid:
    """What is left where the stack was washed before anybody had looked."""
    stays = [p for p in laid.pieces if p.place != "outside" or random.random() > WASHED_OFF]
    film = {
        key: mass * (1.0 - WASHED_OFF) if key[0] == "outside" else mass for key, mass in laid.film.items()
    }
    blend = {key: kg * (1.0 - WASHED_OFF) if key[0] == "outside" else kg for key, kg in laid.blend.items()}
    left = Laid(laid.element, tuple(stays), film, 0.0, laid.opened, blend)
    return replace(left, lost_kg=laid.mass_kg - left.mass_kg)
