"""Agreement of two assessors beyond chance."""

from __future__ import annotations

from collections.abc import Hashable, Sequence


def cohen_kappa(first: Sequence[Hashable], second: Sequence[Hashable]) -> float | None:
    """Cohen's kappa (Cohen 1960): (p_o - p_e)/(1 - p_e).

    Args:
        first: marks of one assessor, one for each candidate or item.
        second: marks of the other, in the same order.

    Returns:
        -1..1, or None where both gave one and the same mark throughout (chance alone would agree).

    Raises:
        ValueError: no marks, or lists of different length.
    """
    if not first or len(first) != len(second):
        raise ValueError("kappa: two lists of marks of the same length, and not empty")
    n = len(first)
    seen = sum(a == b for a, b in zip(first, second, strict=True)) / n
    by_chance = sum(first.count(mark) * second.count(mark) for mark in set(first)) / n**2
    return None if by_chance == 1.0 else (seen - by_chance) / (1.0 - by_chance)
