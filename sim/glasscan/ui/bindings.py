"""Keys of a screen as one table: what a key does, how it is written, and what the key sheet says of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

Act = Callable[[], object]


@dataclass(frozen=True)
class Binding:
    """One row of the key sheet and the keys it stands for.

    Attributes:
        shown: the keys as they are written on the sheet.
        what: what they do, in a few words.
        acts: key by letter or name in lower case -> what it does; none where a widget takes the key itself.
    """

    shown: str
    what: str
    acts: Mapping[str, Act] = field(default_factory=dict)


def acts_of(bindings: Iterable[Binding]) -> dict[str, Act]:
    """What each key does.

    Raises:
        ValueError: two rows claim one key.
    """
    found: dict[str, Act] = {}
    for row in bindings:
        twice = found.keys() & row.acts.keys()
        if twice:
            raise ValueError(f"key '{min(twice)}' stands in two rows")
        found |= row.acts
    return found


def sheet_of(bindings: Iterable[Binding]) -> tuple[tuple[str, str], ...]:
    """Rows of the key sheet."""
    return tuple((row.shown, row.what) for row in bindings)
