"""Parts a learner can point at, by kind of filter; a test holds them to the sections' own parts."""

from __future__ import annotations

from collections.abc import Iterable

from glasscan.learning.catalogue import load_filter

PARTS: dict[str, dict[str, str]] = {
    "can": {
        "shell": "can (shell)",
        "base": "base plate and inlet holes",
        "seal": "seal (gasket)",
        "bottom-cap": "lower end cap",
        "medium": "pleated element",
        "core": "centre tube",
        "top-cap": "upper end cap and valve seat",
        "hold-spring": "hold-down spring",
        "valve-cage": "spring cage",
        "valve-spring": "bypass spring",
        "valve-poppet": "bypass valve",
        "antidrain": "anti-drain-back valve",
    },
    "cartridge": {
        "head": "head",
        "bowl": "bowl",
        "bowl-seal": "bowl O-ring",
        "lower-cap": "lower end cap",
        "lower-grommet": "lower grommet",
        "medium": "pleated element",
        "core": "centre tube",
        "upper-cap": "upper end cap",
        "upper-grommet": "upper grommet",
        "spigot": "spigot of the head",
        "spring-seat": "spring seat and washer",
        "hold-spring": "element spring",
        "bolt": "through-bolt",
        "washer": "sealing washer",
        "valve-seat": "valve seat",
        "valve-poppet": "bypass valve (poppet)",
        "valve-spring": "bypass spring",
    },
    "disc": {
        "head": "head",
        "bowl": "bowl",
        "bowl-seal": "bowl O-ring",
        "drain": "drain plug",
        "discs": "disc stack",
        "foot": "foot plate",
        "tube": "outlet tube",
        "shaft": "shaft",
        "blade-post": "blade post",
        "blades": "scraper blades",
        "stack-nut": "stack nut and spring",
        "cover": "bolted cover",
        "gland": "gland and packing",
        "handle": "handle",
        "valve-seat": "valve seat",
        "valve-poppet": "bypass valve (ball)",
        "valve-spring": "bypass spring",
    },
}
"""Kind of filter -> key of a part -> its trade name."""


def part_names(filter_name: str) -> dict[str, str]:
    """Keys and trade names of the parts of a filter, in the order of the drawing.

    Raises:
        BadInput: there is no such filter, or its file is bad.
    """
    return PARTS[load_filter(filter_name).kind]


def parts_beside(named: Iterable[str]) -> dict[str, str]:
    """Keys and trade names of the parts of every filter that has all the named ones.

    A key that several of these filters have gets its plainest name.
    """
    wanted = set(named)
    found: dict[str, str] = {}
    for names in PARTS.values():
        if wanted <= names.keys():
            for key, name in names.items():
                found.setdefault(key, name)
    return found
