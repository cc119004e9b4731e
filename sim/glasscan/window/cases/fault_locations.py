"""Where a fault sits: parts of the filter for those inside it, a word for those elsewhere on the rig."""

from __future__ import annotations

from collections.abc import Sequence

from glasscan.faults.fault_data import Fault
from glasscan.window.contract import Section

INSIDE: dict[str, tuple[str, ...]] = {
    "valve": ("valve-poppet",),
    "element": ("medium", "discs"),
    "seal": ("seal", "bowl-seal"),
    "scraper": ("blades",),
    "start.can_fill": ("antidrain",),
    "housing.antidrain_leak_mm3": ("antidrain",),
    "start.dirt_kg": ("medium", "discs"),
    "start.sludge_kg": ("bowl", "shell"),
}
"""Numbers that a fault moves, whole or by group, and the parts of a filter that they belong to."""
PLACES = {
    "pump": "pump and its inlet",
    "regulator": "pressure regulator",
    "gallery": "oil gallery and bearings",
    "gauge": "cockpit gauge and its line",
    "indicator": "differential indicator",
    "oil": "the oil itself",
    "dirt": "what the engine sheds into the oil",
    "air": "air in the oil",
    "water": "water in the oil",
    "sump": "the sump and its level",
    "start.gallery_fill": "a gallery that has run empty",
}


def where(ill: Sequence[Fault], section: Section) -> tuple[str, tuple[str, ...]]:
    """A line on where to look, and keys of the parts to ring."""
    moved = [change.set for fault in ill for change in fault.changes]
    groups = list(dict.fromkeys(name.partition(".")[0] for name in moved))
    wanted = {key for word in [*moved, *groups] for key in INSIDE.get(word, ())}
    parts = [part for part in section.parts if part.key in wanted]
    names = [part.name for part in parts] + [PLACES[word] for word in [*moved, *groups] if word in PLACES]
    words = f"It sits here: {' and '.join(dict.fromkeys(names))}." if names else "It sits outside the filter."
    return words, tuple(part.key for part in parts)
