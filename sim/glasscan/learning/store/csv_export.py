"""Answers and marks as a table."""

from __future__ import annotations

from pathlib import Path

from glasscan.files import write_whole
from glasscan.learning.store.csv_text import csv_text
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import in_one_line

HEAD = (
    "nickname",
    "sitting",
    "kind",
    "paper",
    "seed",
    "prompt",
    "given",
    "confidence",
    "spent [s]",
    "answered [UTC]",
    "share",
    "out of",
    "slip",
    "codes",
)
QUERY = """SELECT p.nickname, s.id, s.kind, s.paper, s.seed, a.prompt, a.given, a.confidence, a.spent_s,
        a.answered_utc, m.share, m.out_of, m.slip, m.codes
    FROM answers a JOIN sittings s ON s.id = a.sitting JOIN people p ON p.id = s.person
    LEFT JOIN marks m ON m.answer = a.id WHERE ? IS NULL OR p.id = ? ORDER BY a.id"""


def answers_csv(store: Store, person: int | None = None) -> str:
    """Every answer of one person or of all, in order of entry."""
    return csv_text(HEAD, [tuple(row) for row in store.rows(QUERY, person, person)])


def write_csv(text: str, path: Path) -> None:
    """Write a table so that spreadsheet programs read its letters right (UTF-8 with a mark in front).

    A full disk leaves the table that was there before.

    Raises:
        StoreProblem: the file cannot be written.
    """
    with in_one_line(path, "; choose another folder"):
        write_whole(path, text.encode("utf-8-sig"))
