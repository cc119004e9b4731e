"""What a person has answered so far, as the self-study lists take it."""

from __future__ import annotations

from glasscan.learning.review.due import Scored
from glasscan.learning.scoring.confidence import Said
from glasscan.learning.store.store import Store

MARKED = """SELECT a.confidence, m.share, m.codes FROM answers a JOIN marks m ON m.answer = a.id
    JOIN sittings s ON s.id = a.sitting WHERE s.person = ? ORDER BY a.id"""


def scored(store: Store, person: int) -> list[Scored]:
    """Every marked answer with its syllabus codes, for `due.weak_codes`."""
    return [Scored(tuple(row["codes"].split()), row["share"]) for row in store.rows(MARKED, person)]


def said(store: Store, person: int) -> list[Said]:
    """Every marked answer with its confidence, for `confidence.calibration`."""
    rows = store.rows(MARKED, person)
    return [Said(row["confidence"], row["share"] >= 1.0) for row in rows if row["confidence"] is not None]
