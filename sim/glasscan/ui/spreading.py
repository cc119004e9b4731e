"""Boxes kept apart along a line, each as near as it can be to where it is wanted."""

from __future__ import annotations

from collections.abc import Sequence


def spread(
    wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float, gap: float
) -> list[float]:
    """Centres near the wanted ones, in the same order, that keep boxes of the given heights apart."""
    centres: list[float] = []
    edge = top
    for want, height in zip(wanted, heights, strict=True):
        centre = max(want, edge + height / 2)
        centres.append(centre)
        edge = centre + height / 2 + gap
    edge = bottom
    for i in range(len(centres) - 1, -1, -1):
        centres[i] = min(centres[i], edge - heights[i] / 2)
        edge = centres[i] - heights[i] / 2 - gap
    return centres
