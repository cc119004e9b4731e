"""A disc stack as the list of its pieces: count, height and gaps follow from what lies on the shaft."""

from __future__ import annotations

import re
from functools import cache

from glasscan.content import load
from glasscan.filters.filter_data import DiscStackData, FilterData
from glasscan.paths import asset

DISC, SPACER, WIDE = "d", "s", "w"
"""A disc, a spacer, and a spacer of double thickness that lies among the others in the box."""
TERM = re.compile(r"(?:(\d{1,3})\*)?([dsw]{1,400})")
MOST = 2000
NARROW, BROAD = 0.5, 1.5
"""Shares of the proper gap below which a gap is shut, and above which it is too wide, for the words."""


@cache
def stack_data() -> DiscStackData:
    """Sizes of the stack that is taken apart."""
    data = load(asset("filters", "disc-stack.yaml"), FilterData).root
    assert isinstance(data, DiscStackData)
    return data


def right_lay() -> str:
    """The pieces of the sound stack, bottom first: a disc, then spacer and disc for every gap."""
    return DISC + (SPACER + DISC) * stack_data().stack.gaps


def read_lay(text: str) -> str:
    """Pieces from words such as "60*ds+d": runs joined by "+", each with how often it comes.

    Raises:
        ValueError: what was expected and found.
    """
    pieces = ""
    for term in text.split("+"):
        found = TERM.fullmatch(term.strip())
        if found is None:
            raise ValueError(f"expected runs of d, s and w such as 60*ds+d, found '{term[:40]}'")
        pieces += found[2] * int(found[1] or 1)
    if not 1 <= len(pieces) <= MOST:
        raise ValueError(f"expected 1 to {MOST} pieces, found {len(pieces)}")
    return pieces


def gaps_um(lay: str) -> tuple[float, ...]:
    """Width of every gap of a clamped stack, um; 0 where two discs touch.

    The nut clamps the pack, so a gap is as wide as the spacers between its two discs, and nothing else.
    """
    gap = stack_data().stack.gap_um
    between = lay.strip(SPACER + WIDE).split(DISC)[1:-1]
    return tuple(gap * (part.count(SPACER) + 2.0 * part.count(WIDE)) for part in between)


def height_mm(lay: str) -> float:
    """Height of the clamped pack, mm."""
    s = stack_data().stack
    spacers = lay.count(SPACER) + 2.0 * lay.count(WIDE)
    return lay.count(DISC) * s.disc_mm + spacers * s.gap_um * 1e-3


def compared(lay: str) -> str:
    """Count and height beside the record."""
    right = right_lay()
    count = f"Counted {lay.count(DISC)} discs and {len(lay) - lay.count(DISC)} spacers"
    record = f"the record says {right.count(DISC)} and {right.count(SPACER)}"
    height = f"pack {height_mm(lay):.2f} mm, record {height_mm(right):.2f} mm"
    return f"{count}; {record}. Height: {height}."


def stack_faults(lay: str) -> tuple[str, ...]:
    """Conditions that a stack brings into the next run: a gap shut or too wide, or a count that is off."""
    gap, gaps = stack_data().stack.gap_um, gaps_um(lay)
    found = []
    if any(g < NARROW * gap for g in gaps):
        found.append("spacer-missing")
    if any(g > BROAD * gap for g in gaps):
        found.append("spacer-doubled")
    if not found and lay.strip(SPACER + WIDE) != right_lay():
        found.append("stack-short")
    return tuple(found)
