"""A store with one exam, and a way to run the helper programs."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from glasscan.learning.store.rows import Sitting, StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store

ROOT = Path(__file__).resolve().parents[3]
Program = Callable[..., "subprocess.Popen[str]"]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store with a clock that stands still."""
    with Store(tmp_path / "data" / "results.sqlite3", lambda: datetime(2031, 3, 1, 9, tzinfo=UTC)) as opened:
        yield opened


@pytest.fixture
def marked_exam(store: Store) -> Sitting:
    """An exam of Wen, handed in: p1 right, p2 wrong, p3 not marked."""
    exam = store.begin(store.person("Wen"), "exam", "cold-start", seed=7, left_s=600.0)
    numbers = [store.answer(exam, StoredAnswer(f"p{n}", f"given {n}", 2, 30.0)) for n in (1, 2, 3)]
    store.end(exam)
    store.mark(numbers[0], StoredMarks(1.0, 2.0, "key one", codes=("16.3",)))
    store.mark(numbers[1], StoredMarks(0.0, 1.0, "key two", slip="unit"))
    return store.sitting(exam.id)


@pytest.fixture
def program() -> Program:
    """Start a helper program of this folder."""

    def start(name: str, *words: object) -> subprocess.Popen[str]:
        command = [sys.executable, str(Path(__file__).with_name(name)), *map(str, words)]
        env = {**os.environ, "PYTHONPATH": str(ROOT / "sim"), "PYTHONDONTWRITEBYTECODE": "1"}
        return subprocess.Popen(
            command, env=env, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )

    return start
