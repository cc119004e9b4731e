"""Figures of a class as the window shows them; who makes them stands outside the window."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from glasscan.learning.exam.paper import Paper
    from glasscan.learning.store.results_files import Loaded


@dataclass(frozen=True)
class ChoiceUse:
    """Use of one choice: its words, the share that took it 0..1, whether it is the key, and a remark."""

    text: str
    share: float
    is_key: bool
    remark: str = ""


@dataclass(frozen=True)
class ItemView:
    """One question; None where there is no value, which is shown as a dash.

    Attributes:
        name: of the question.
        asked: the question itself, where the paper is known.
        right: mean share of its marks, 0..1.
        corrected: point-biserial with the other questions only.
        words: guide word, or what to check.
        alarm: the key is to be checked.
        not_given: people without an answer.
        choices: where it has choices and the paper is known.
    """

    name: str
    right: float
    corrected: float | None
    words: str
    alarm: bool = False
    not_given: int = 0
    choices: tuple[ChoiceUse, ...] = ()
    asked: str = ""


@dataclass(frozen=True)
class ClassView:
    """All that the page shows, and the files that one key writes.

    Attributes:
        paper: id.
        totals: share of the marks of each person, 0..1; nobody is named on the screen.
        passed: how many reached the pass mark.
        pass_share: the pass mark, 0..1.
        figures: (words, value as text) of the paper as a whole.
        items: one for each question.
        warnings: one line each.
        files: texts by name of the file.
    """

    paper: str
    totals: tuple[float, ...]
    passed: int
    pass_share: float
    figures: tuple[tuple[str, str], ...]
    items: tuple[ItemView, ...]
    warnings: tuple[str, ...]
    files: dict[str, str] = field(default_factory=dict)


ClassMaker = Callable[["Sequence[tuple[Path, Loaded]]", "Paper | None"], ClassView]
"""Makes the view from results files that were read, and the paper where it is at hand."""


def number(value: float | None) -> str:
    """A figure with two decimals, or a dash where there is none."""
    return "–" if value is None else f"{value:.2f}".replace("-", "−")
