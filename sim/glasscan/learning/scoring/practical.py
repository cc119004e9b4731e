"""Mark sheet of a practical: gates first, then six headings of 0 to 3 (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from glasscan.learning.scoring.verdict import PASS_SHARE, Verdict, verdict

GATES: Mapping[str, str] = {
    "depressurised": "system depressurised before opening",
    "right-part": "right part fitted",
    "old-seal": "old seal found and removed",
    "no-missed-defect": "no defect missed",
    "release-deferred": "release left to a licensed person",
    "tools-count": "tools counted out and in",
}
"""Any of these not met means 'not yet', whatever the score."""
HEADINGS: Mapping[str, str] = {
    "sequence": "sequence",
    "handling": "handling and cleanliness",
    "explanation": "explanation",
    "manual": "use of the manual",
    "findings": "findings",
    "record": "record",
}
TOP = 3
"""Best mark of one heading."""


@dataclass(frozen=True)
class MarkSheet:
    """A filled sheet.

    Attributes:
        gates: met or not, by the keys of `GATES`.
        marks: 0..3 by the keys of `HEADINGS`.
        basis: how the pass mark was set: "authority" or "angoff"; printed with the outcome.
    """

    gates: Mapping[str, bool]
    marks: Mapping[str, int]
    basis: str = "authority"


def practical_verdict(sheet: MarkSheet, pass_share: float = PASS_SHARE) -> Verdict:
    """Outcome of a sheet.

    Raises:
        ValueError: a gate or heading is missing, unknown, or has a mark other than 0, 1, 2 or 3.
    """
    if set(sheet.gates) != set(GATES) or set(sheet.marks) != set(HEADINGS):
        raise ValueError("mark sheet: every gate and every heading is filled, and no other")
    if any(mark not in range(TOP + 1) for mark in sheet.marks.values()):
        raise ValueError(f"mark sheet: expected a whole mark from 0 to {TOP}")
    failed = [text for key, text in GATES.items() if not sheet.gates[key]]
    marks = [float(sheet.marks[key]) for key in HEADINGS]
    return verdict(marks, [float(TOP)] * len(HEADINGS), failed, pass_share)


def angoff(ratings: ArrayLike) -> float:
    """Pass mark from judges: the mean chance that a person just fit to pass gets an item right (Angoff 1971).

    Args:
        ratings: (judges, items), each 0..1.

    Raises:
        ValueError: empty, or a rating outside 0..1.
    """
    table = np.asarray(ratings, dtype=float)
    if table.size == 0 or not bool(np.all((table >= 0.0) & (table <= 1.0))):
        raise ValueError("Angoff ratings are chances from 0 to 1")
    return float(table.mean())
