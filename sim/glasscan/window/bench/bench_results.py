"""Keep the outcome of a piece of work in the results store, under a nickname."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from glasscan.learning.store.connection import store_path
from glasscan.learning.store.rows import StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem


@dataclass(frozen=True)
class NicknameLine:
    """One thing done and its mark.

    Attributes:
        what: id of the prompt.
        given: what was said, as plain data.
        share: of the full marks.
        out_of: full marks.
        key: what would have been right.
        reason: why.
    """

    what: str
    given: Any
    share: float
    out_of: float
    key: str
    reason: str


def keep(
    nickname: str, paper: str, seed: int, lines: Iterable[NicknameLine], folder: Path | None = None
) -> str:
    """Store a piece of practical work as a practice sitting; returns what became of it, in one line.

    Args:
        nickname: whose.
        paper: "inspection-can" or "job-can-change" and so on.
        seed: of the filter or the tray.
        lines: what was done.
        folder: of the store; None for the user's own.
    """
    try:
        with Store(store_path(folder)) as store:
            sitting = store.begin(store.person(nickname), "practice", paper, seed)
            for line in lines:
                number = store.answer(sitting, StoredAnswer(line.what, json.dumps(line.given)))
                store.mark(number, StoredMarks(line.share, line.out_of, line.key, line.reason))
            store.end(sitting)
    except StoreProblem as problem:
        return str(problem)
    return f"Kept under the nickname {' '.join(nickname.split())}."
