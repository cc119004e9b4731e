"""What looks alike and lies together is one heap; what magnet, needle, lens, eye and patch say of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from glasscan.contaminant.classes import COUNTED_UM, counts_per_ml
from glasscan.debris.debris_data import catalogue
from glasscan.laws.cleanliness import iso4406
from glasscan.workshop.inspection.evidence import PLACES, Evidence, Place
from glasscan.workshop.inspection.inspection_data import manual, sources
from glasscan.workshop.inspection.piece_layout import PASTE, Laid, Lying

LEAST_FILM_KG, LEAST_FILM_SHARE = 5e-6, 0.30
"""A film of one kind is seen from this mass, and this share of the film at its place, on."""
Pull = Literal["all", "some", "none"]
MOSTLY, HARDLY = 0.9, 0.03
"""Shares of a paste that count as all of it, and as none (PRACTICE)."""
SHARES = (
    (0.9, "all"),
    (0.6, "most"),
    (0.4, "about half"),
    (0.2, "about a third"),
    (0.03, "a little"),
    (0.0, "nothing"),
)
_PLEATS = {"outside": "outside of the pleats", "inside": "inside of the pleats", "core": "core tube"}
PLACE_WORDS: dict[str, dict[str, str]] = {
    "can": {"cup": "cup", **_PLEATS},
    "cartridge": {"cup": "bowl", **_PLEATS},
    "disc": {"cup": "bowl", "outside": "edge of the stack", "core": "hollow centre"},
}


@dataclass(frozen=True)
class Heap:
    """Pieces and film of one kind at one place.

    Attributes:
        id: place and number, such as "outside-2"; tells nothing of the kind.
        code: its kind.
        place: where it was.
        pieces: drawn pieces.
        film_kg: fine part.
        mix: what a paste is made of, by kind, kg; empty where the fine part is of the one kind.
    """

    id: str
    code: str
    place: Place
    pieces: tuple[Lying, ...]
    film_kg: float
    mix: Mapping[str, float] = field(default_factory=dict)

    @property
    def mass_kg(self) -> float:
        """Mass of the heap, kg."""
        return self.film_kg + sum(p.mass_kg * p.stands_for for p in self.pieces)

    @property
    def count(self) -> int:
        """Pieces that it stands for."""
        return round(sum(p.stands_for for p in self.pieces))

    @property
    def counted(self) -> int:
        """Pieces long enough to be counted by the sheet."""
        least = manual().count_from_mm * 1e-3
        return round(sum(p.stands_for for p in self.pieces if p.size_m >= least))

    @property
    def longest_m(self) -> float:
        """Longest piece, m; 0 for a film."""
        return max((p.size_m for p in self.pieces), default=0.0)

    @property
    def stands_for(self) -> float:
        """Pieces for each drawn one, over the heap; 0 for a film."""
        return self.count / len(self.pieces) if self.pieces else 0.0


def places_of(laid: Laid) -> tuple[Place, ...]:
    """Places that can be looked at."""
    return tuple(p for p in PLACES if p in PLACE_WORDS[laid.element.kind])


def heaps_at(laid: Laid, place: Place) -> tuple[Heap, ...]:
    """Heaps of a place, the heaviest first."""
    film, mix = laid.film_at(place), laid.blend_at(place)
    whole = sum(film.values())
    if PASTE in film and mix:
        film[max(mix, key=lambda c: mix[c])] = film.pop(PASTE)
    seen = {c for c, m in film.items() if m >= LEAST_FILM_KG and m >= LEAST_FILM_SHARE * whole}
    pieces = laid.at(place)
    codes = seen | {p.code for p in pieces}
    made = [
        Heap(
            "",
            c,
            place,
            tuple(p for p in pieces if p.code == c),
            film.get(c, 0.0) if c in seen else 0.0,
            mix if c in seen and c in mix else {},
        )
        for c in codes
    ]
    made.sort(key=lambda h: (-h.mass_kg, h.code))
    return tuple(replace(h, id=f"{place}-{i + 1}") for i, h in enumerate(made))


def all_heaps(laid: Laid) -> dict[str, Heap]:
    """Every heap by id."""
    return {h.id: h for place in places_of(laid) for h in heaps_at(laid, place)}


def clings(code: str, number: int) -> bool:
    """Whether the n-th piece of a kind follows the magnet; of weakly magnetic ones every second does."""
    known = catalogue()
    pull = known.material(known.kind(code)).magnetic
    return pull == "yes" or (pull == "weak" and number % 2 == 0)


def magnet(heap: Heap) -> Pull:
    """What of a heap follows a magnet held in a bag: of a paste the iron, and no more."""
    if heap.mix and heap.film_kg > 0.0:
        share = drawn_kg(heap) / heap.mass_kg
        return "all" if share >= MOSTLY else "none" if share <= HARDLY else "some"
    words: dict[str, Pull] = {"yes": "all", "weak": "some", "no": "none"}
    return words[_pull(heap.code)]


def _pull(code: str) -> str:
    known = catalogue()
    return known.material(known.kind(code)).magnetic


def drawn_kg(heap: Heap) -> float:
    """Mass of a heap that follows the magnet, kg: of a paste the share of its iron."""
    part = {"yes": 1.0, "weak": 0.5, "no": 0.0}
    solid = (heap.mass_kg - heap.film_kg) * part[_pull(heap.code)]
    whole = sum(heap.mix.values())
    if whole <= 0.0:
        return solid + heap.film_kg * part[_pull(heap.code)]
    return solid + heap.film_kg * sum(kg * part[_pull(code)] for code, kg in heap.mix.items()) / whole


def lens_of(heap: Heap) -> str:
    """What the lens shows; of a paste how much of it the magnet parts from the rest."""
    facts = sources().kinds
    if not heap.mix or heap.film_kg <= 0.0:
        return facts[heap.code].lens
    share = drawn_kg(heap) / heap.mass_kg
    word = next(word for least, word in SHARES if share >= least)
    rest = max((c for c in heap.mix if _pull(c) != "yes"), key=lambda c: heap.mix[c], default="")
    stays = f"; what stays is {facts[rest].patch}" if rest and share < MOSTLY else ""
    pieces = f"; {facts[heap.code].lens}" if heap.pieces else ""
    return f"fine paste; on the magnet {word} of it stands up like hair{stays}{pieces}"


def needle_of(heap: Heap) -> str:
    """What the needle feels."""
    facts = sources().kinds
    paste = facts[PASTE].needle if heap.mix and heap.film_kg > 0.0 else ""
    if paste and not heap.pieces:
        return paste
    return f"{facts[heap.code].needle}; the fine part {paste}" if paste else facts[heap.code].needle


@dataclass(frozen=True)
class Patch:
    """A section of the medium washed through a white patch.

    Attributes:
        shares: of each stain in the fine dirt.
        mass_kg: fine dirt on the patch.
        code: ISO 4406 of the wash.
        wash_ml: volume of clean solvent.
    """

    shares: dict[str, float]
    mass_kg: float
    code: str
    wash_ml: float


def wash(evidence: Evidence) -> Patch:
    """Wash a small section of the medium, or of the stack's edge; the rest stays as it is."""
    sheet, facts = manual(), sources().kinds
    by_class = evidence.held.sum(axis=2) * sheet.wash_share
    shares: dict[str, float] = {}
    whole = float(by_class.sum())
    for code, mass in zip(evidence.codes, by_class.sum(axis=1), strict=True):
        stain = facts[code].patch
        shares[stain] = shares.get(stain, 0.0) + float(mass) / whole if whole > 0 else 0.0
    oil = by_class.sum(axis=0) / (sheet.wash_ml * 1e-6)
    first, second, third = (counts_per_ml(np.asarray(oil), um) for um in COUNTED_UM)
    return Patch(shares, whole, iso4406((first, second, third)), sheet.wash_ml)
