"""What an element catches and how it clogs: numbers of the medium or of the gaps, SI units."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glasscan.laws.combing import Comb
from glasscan.laws.deposit import PleatRoom
from glasscan.laws.disc_pack import DiscPack

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Catcher:
    """An element as a catcher of dirt.

    Attributes:
        opening_m: (K,) size of pore or gap that sieves, m; one number for each segment, or one for all.
        spread: standard deviation of ln(size) in sieving: pores and grains are irregular.
        fibre_m: diameter of the fibres of a medium that also intercepts, m; None for plain gaps.
        rating_m, beta: size at which the clean medium has this filtration ratio, m and dimensionless.
        porosity: void share of the deposit.
        solid_kg_m3: density of the dirt, kg/m3.
        block_kg_m2: deposit that covers the pores to 63 %, kg/m2.
        first_grain: resistance of a pore's first covering over that of the clean medium.
        bulk_solids: volume share of solids in the wet deposit as it lies: what fills the folds.
        squeeze: index of the cake's compressibility; 0 = hard grains.
        room: wedge between the panels that the deposit fills, or None.
    """

    opening_m: Floats
    spread: float
    fibre_m: float | None
    rating_m: float
    beta: float
    porosity: float = 0.45
    solid_kg_m3: float = 2650.0
    block_kg_m2: float = 0.01
    first_grain: float = 1.0
    bulk_solids: float = 0.55
    squeeze: float = 0.0
    room: PleatRoom | None = None


@dataclass(frozen=True)
class Scraper:
    """Blades that comb the gaps when the stack is turned, and the bowl below them.

    Attributes:
        cleared_per_turn: share of a gap's deposit that a full turn takes off.
        loose_share: share of what is scraped that comes off as single grains and floats; the rest sinks.
        sink_m: height that loose grains sink through to lie still, m.
        stir_m3s: flow above which settled sludge is stirred up, m3/s.
        stir_s: time in which twice that flow stirs up 63 % of the sludge, s.
        room_kg: solids of the sludge that fills the bowl up to the stack, kg.
        beside_kg: solids of the sludge that fills the room beside the whole stack, kg.
        bed_1_m3: resistance of that sludge before one gap, 1/m3.
        comb: what the handle turns, and what resists it.
        sludge_kg_m3: solids in settled sludge, kg/m3.
    """

    cleared_per_turn: float
    loose_share: float
    sink_m: float
    stir_m3s: float
    stir_s: float
    room_kg: float = math.inf
    beside_kg: float = math.inf
    bed_1_m3: float = 0.0
    comb: Comb = field(default_factory=Comb)
    sludge_kg_m3: float = 530.0

    def covered(self, sludge_kg: float) -> tuple[float, float]:
        """Share of the stack that stands in sludge, never the whole, and share of the sludge there."""
        above = sludge_kg - self.room_kg
        return (min(above / self.beside_kg, 0.98), above / sludge_kg) if above > 0.0 else (0.0, 0.0)


@dataclass(frozen=True)
class Antidrain:
    """Diaphragm over the inlet holes: pressure that lifts it, Pa, and leak at rest `q = leak dp/mu`, m3."""

    crack_pa: float
    leak_m3: float


@dataclass(frozen=True)
class DirtSide:
    """All of a filter that deals with dirt and with standing still.

    Attributes:
        catcher: the element.
        scraper: blades, or None where there are none.
        pack: parts of a disc stack on their rod, or None where there is no stack.
        antidrain: diaphragm, or None where there is none: then the pump's clearances alone hold the oil back.
    """

    catcher: Catcher
    scraper: Scraper | None = None
    antidrain: Antidrain | None = None
    pack: DiscPack | None = None


def plain_medium(rating_um: float, beta: float = 20.0, fibre_um: float = 10.0) -> DirtSide:
    """A pleated paper of a rating, for a filter whose data say no more: numbers of common practice."""
    rating = rating_um * 1e-6
    return DirtSide(Catcher(np.array([2.0 * rating]), 0.3, fibre_um * 1e-6, rating, beta))


@dataclass(frozen=True)
class Faults:
    """State of blades and drive: 1, 1 and 0 when healthy.

    Attributes:
        bite: share of its clearing that a worn blade still does, 0..1.
        drive: share of the handle's turn that reaches the stack, 0..1.
        missed: share of the gaps that bent blades do not comb, in bands, 0..1.
    """

    bite: float = 1.0
    drive: float = 1.0
    missed: float = 0.0
