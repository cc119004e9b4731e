"""A disc stack as the list of its pieces: count, height and gaps follow from what lies on the shaft."""

from __future__ import annotations

import re
from functools import cache

import numpy as np

from glasscan.content import load
from glasscan.filters.filter_data import DiscStackData, FilterData
from glasscan.paths import asset

DISC, SPACER, PAIR, BLADE = "d", "s", "w", "b"
"""A disc, a spacer, two spacers that stick together, a blade on its post."""
TERM = re.compile(r"(?:(\d{1,3})\*)?([dswb]{1,2000})")
MOST = 2000
NARROW, BROAD = 0.5, 1.5
"""Shares of the proper gap below which a gap is shut, and above which it is too wide, for the words."""
STUCK = 0.03
"""Chance that a spacer comes out of its box with another one on its back (invented)."""


@cache
def stack_data() -> DiscStackData:
    """Sizes of the stack that is taken apart."""
    data = load(asset("filters", "disc-stack.yaml"), FilterData).root
    assert isinstance(data, DiscStackData)
    return data


def right_lay() -> str:
    """The pieces of the sound stack, bottom first: a disc, then spacer, blade and disc for every gap."""
    return DISC + (SPACER + BLADE + DISC) * stack_data().stack.gaps


def short_lay() -> str:
    """The stack threaded until the shaft is full: one spacer in the middle stays on the bench."""
    right = right_lay()
    cut = right.index(SPACER, len(right) // 2)
    return right[:cut] + right[cut + 1 :]


def next_piece(lay: str) -> str:
    """The piece that comes next: disc, spacer, blade, disc and so on."""
    if not lay:
        return DISC
    return {DISC: SPACER, SPACER: BLADE, PAIR: BLADE, BLADE: DISC}[lay[-1]]


def from_the_box(seed: int, place: int) -> str:
    """What the hand takes out of the box of spacers: one, or two that stick together."""
    return PAIR if np.random.default_rng([seed, 41, place]).random() < STUCK else SPACER


def read_lay(text: str) -> str:
    """Pieces from words such as "d+60*sbd": runs joined by "+", each with how often it comes.

    Raises:
        ValueError: what was expected and found.
    """
    pieces = ""
    for term in text.split("+"):
        found = TERM.fullmatch(term.strip())
        if found is None:
            raise ValueError(f"expected runs of d, s, w and b such as d+60*sbd, found '{term[:40]}'")
        pieces += found[2] * int(found[1] or 1)
    if not 1 <= len(pieces) <= MOST:
        raise ValueError(f"expected 1 to {MOST} pieces, found {len(pieces)}")
    return pieces


def gaps_um(lay: str) -> tuple[float, ...]:
    """Width of every gap of a clamped stack, um; 0 where two discs touch.

    The nut clamps the pack, so a gap is as wide as the spacers between its two discs, and nothing else.
    """
    gap = stack_data().stack.gap_um
    between = lay.strip(SPACER + PAIR + BLADE).split(DISC)[1:-1]
    return tuple(gap * spacers_in(part) for part in between)


def spacers_in(pieces: str) -> int:
    """Spacers among some pieces; two that stick together are two."""
    return pieces.count(SPACER) + 2 * pieces.count(PAIR)


def height_mm(lay: str) -> float:
    """Height of the clamped pack, mm; the blades lie in the gaps and add nothing."""
    s = stack_data().stack
    return lay.count(DISC) * s.disc_mm + spacers_in(lay) * s.gap_um * 1e-3


def compared(lay: str) -> str:
    """Count and height beside the record."""
    right = right_lay()
    taken = (
        f"{lay.count(DISC)} discs, {lay.count(SPACER) + lay.count(PAIR)} spacers, {lay.count(BLADE)} blades"
    )
    record = f"{right.count(DISC)}, {right.count(SPACER)} and {right.count(BLADE)}"
    height = f"pack {height_mm(lay):.2f} mm, record {height_mm(right):.2f} mm"
    return f"Counted {taken}; the record says {record}. Height: {height}."


def stack_faults(lay: str) -> tuple[str, ...]:
    """Conditions that a stack brings into the next run: gaps shut or too wide, blades or discs left out."""
    gap, gaps, right = stack_data().stack.gap_um, gaps_um(lay), right_lay()
    found = []
    if any(g < NARROW * gap for g in gaps):
        found.append("spacer-missing")
    if any(g > BROAD * gap for g in gaps):
        found.append("spacer-doubled")
    if lay.count(BLADE) < len(gaps):
        found.append("partly-scraped")
    if lay.count(DISC) != right.count(DISC):
        found.append("stack-short")
    return tuple(found)
