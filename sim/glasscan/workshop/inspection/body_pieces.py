"""Bodies of a run, dropped in or planted by a case, as pieces on the bench, at the places where they lie."""

from __future__ import annotations

from typing import Any

import numpy as np

from glasscan.debris.debris import Debris
from glasscan.debris.debris_data import catalogue
from glasscan.filters.section import CLEAN
from glasscan.workshop.inspection.evidence import Body, Place

CAKE = "cake-flake"
"""Flakes drawn where a scraper has combed: the ledger holds their mass already."""
GOLDEN = 0.6180339887498949


def bodies_of(debris: Debris, data: Any) -> tuple[Body, ...]:
    """Every body still in the filter, at the place where it lies.

    Args:
        debris: of the run, in its section.
        data: data of the filter: `CanData`, `CartridgeData` or `DiscStackData`.

    Returns:
        Bodies by number; the section knows no way round, so that is spread evenly.
    """
    low, high = _span_m(data)
    known, found = catalogue(), list[Body]()
    members = zip(
        debris.numbers, debris.kinds, debris.positions.tolist(), debris.masses_kg.tolist(), strict=True
    )
    for i, (number, kind, (r, z), mass) in enumerate(members):
        if kind == CAKE:
            continue
        up = float(np.clip((z - low) / (high - low), 0.0, 1.0))
        place: Place = "core" if _region(debris, r, z) == CLEAN else "cup" if z < low else "outside"
        piece = debris.piece(i)
        found.append(Body(known.kind(kind).code, place, number * GOLDEN % 1.0, up, piece, mass))
    return tuple(found)


def _span_m(data: Any) -> tuple[float, float]:
    """Foot and head of medium or stack, m."""
    if data.kind == "disc":
        return data.stack.bottom_mm * 1e-3, data.stack.top_m
    return data.element.bottom_mm * 1e-3, data.element.top_mm * 1e-3


def _region(debris: Debris, r: float, z: float) -> int:
    """Region of the cell that a place lies in."""
    scene = debris.scene
    i = int(np.clip(np.searchsorted(scene.r_edges_m, r) - 1, 0, scene.region.shape[0] - 1))
    j = int(np.clip(np.searchsorted(scene.z_edges_m, z) - 1, 0, scene.region.shape[1] - 1))
    return int(scene.region[i, j])
