"""From results files to one table of people by questions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.learning.identity import identity
from glasscan.learning.scoring.confidence import Said
from glasscan.learning.store.results_files import Item, Results
from glasscan.learning.store.store_problems import StoreProblem


@dataclass(frozen=True)
class ClassTable:
    """Everyone's marks of one paper.

    Attributes:
        paper: id.
        people: nicknames, one for each row.
        prompts: ids, one for each column.
        out_of: full marks of each column.
        shares: (people, prompts) of the full marks, 0..1; 0 where no answer was given.
        given: answers as text by (row, column), only where one was given.
        keys: right answer of each column; variants of a paper may differ, then the first.
        said: answers with their confidence.
    """

    paper: str
    people: tuple[str, ...]
    prompts: tuple[str, ...]
    out_of: tuple[float, ...]
    shares: NDArray[np.float64]
    given: dict[tuple[int, int], str]
    keys: tuple[str, ...]
    said: tuple[Said, ...]

    @property
    def totals(self) -> NDArray[np.float64]:
        """Share of the marks of the paper, (people,)."""
        full = np.asarray(self.out_of)
        return np.asarray(self.shares @ full / full.sum()) if full.sum() > 0 else np.zeros(len(self.people))


def gather(results: Iterable[Results]) -> ClassTable:
    """Table of one paper; of several sittings of one person the last handed in counts.

    Raises:
        StoreProblem: no results, several papers, or an answer without a mark.
    """
    kept = _last_of_each(results)
    papers = sorted({one.paper for one in kept})
    if len(papers) != 1:
        found = ", ".join(papers) or "none"
        raise StoreProblem(f"class results: expected sittings of one paper, found {found}")
    columns: dict[str, Item] = {}
    for item in (item for one in kept for item in one.items):
        columns.setdefault(item.prompt, item)
    prompts = tuple(columns)
    places = {prompt: column for column, prompt in enumerate(prompts)}
    shares = np.zeros((len(kept), len(prompts)))
    given: dict[tuple[int, int], str] = {}
    for row, one in enumerate(kept):
        for item in one.items:
            column = places[item.prompt]
            shares[row, column] = _share(one, item)
            if item.given:  # a question that was left has a mark of 0 and no answer
                given[row, column] = item.given
    marks = [columns[prompt].mark for prompt in prompts]
    out_of = tuple(mark.out_of if mark else 0.0 for mark in marks)
    keys = tuple(mark.key if mark else "" for mark in marks)
    people = tuple(one.nickname for one in kept)
    return ClassTable(papers[0], people, prompts, out_of, shares, given, keys, tuple(_said(kept)))


def _last_of_each(results: Iterable[Results]) -> list[Results]:
    ordered = sorted(results, key=lambda one: one.ended_utc)
    last = {(one.origin, identity(one.nickname)): one for one in ordered}
    return sorted(last.values(), key=lambda one: (identity(one.nickname), one.origin))


def _share(one: Results, item: Item) -> float:
    if item.mark is None:
        raise StoreProblem(f"class results: {one.nickname}, {item.prompt}: not marked yet")
    return item.mark.share


def _said(kept: Iterable[Results]) -> Iterable[Said]:
    for one in kept:
        for item in one.items:
            if item.confidence is not None:
                yield Said(item.confidence, item.mark is not None and item.mark.share >= 1.0)
