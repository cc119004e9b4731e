"""Orders that a secret of the sitting decides, and values that a seed decides: the same on every machine."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from hashlib import sha256
from random import Random
from secrets import token_hex
from typing import TypeVar

Item = TypeVar("Item")

SALT_BYTES = 16


def new_salt() -> str:
    """A fresh secret of a sitting, 32 hexadecimal letters; kept with it, so that it goes on alike."""
    return token_hex(SALT_BYTES)


def mixed(
    items: Sequence[Item], salt: str, word: str, name: Callable[[Item], str], last: Collection[str] = ()
) -> tuple[Item, ...]:
    """The items in an order that hangs on the salt, the word and their names, never on the order given.

    Args:
        items: what is listed.
        salt: secret of the sitting.
        word: of the question.
        name: of an item; no two are alike.
        last: names of items that stay behind all others, in the order given.
    """
    ends = [item for item in items if name(item) in last]
    rest = [item for item in items if name(item) not in last]
    return (*sorted(rest, key=lambda item: _place(salt, word, name(item))), *ends)


def _place(salt: str, word: str, name: str) -> bytes:
    return sha256("\0".join((salt, word, name)).encode()).digest()


def pick(items: Sequence[Item], seed: int | str, word: str) -> Item:
    """One of the items."""
    return Random(f"{seed}:{word}").choice(items)
