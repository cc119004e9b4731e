"""A short scenario with questions, and papers of it, for the verbs of study and exam."""

from __future__ import annotations

import csv
import io
import sqlite3
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.learning.exam.exampaper import scenario_file

SECRET = "lapwing over wet grass"


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """What the learner types, line by line; then the input is at its end."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def scenario(folder: Path) -> str:
    """The scenario as a file, 8 s of model time."""
    return str(scenario_file(folder))


def make_words(folder: Path, out: Path, *more: str, seed: int = 1) -> tuple[str, ...]:
    """The words that make a paper of it."""
    return (
        "exam", "make", "--from", scenario(folder), "--seed", str(seed), "--minutes", "2", "--name", "week-3",
        "--out", str(out), "--data-dir", str(folder), *more,
    )  # fmt: skip


def table(path: Path) -> list[dict[str, str]]:
    """Rows of a CSV file that begins with the mark spreadsheets look for."""
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


def rows(folder: Path, query: str) -> list[tuple[object, ...]]:
    """Rows of the store in a folder, read by SQLite itself."""
    with closing(sqlite3.connect(folder / "results.sqlite3")) as db:
        return db.execute(query).fetchall()
