"""What a rule says of one answer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Credit:
    """Share of the full marks, and why.

    Attributes:
        share: 0..1, never negative.
        rights: what was right.
        wrongs: what was wrong or missing.
        gates: safety faults; where there is one the share is 0 whatever else was right.
    """

    share: float
    rights: tuple[str, ...] = ()
    wrongs: tuple[str, ...] = ()
    gates: tuple[str, ...] = ()
