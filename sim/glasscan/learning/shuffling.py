"""Orders and choices that a seed decides: the same seed, the same paper, on every machine."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import TypeVar

Item = TypeVar("Item")


def shuffled(items: Sequence[Item], seed: int, word: str) -> tuple[Item, ...]:
    """The items in an order that hangs on seed and word alone; never the given order where another exists."""
    rest = list(items)
    chance = Random(f"{seed}:{word}")
    for _ in range(16):
        chance.shuffle(rest)
        if rest != list(items):
            break
    return tuple(rest)


def pick(items: Sequence[Item], seed: int, word: str) -> Item:
    """One of the items."""
    return Random(f"{seed}:{word}").choice(items)
