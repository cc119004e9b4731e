"""Figures of a class, ready to print."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from glasscan.learning.scoring.confidence import Calibrated, calibration
from glasscan.learning.scoring.verdict import GRAIN, PASS_SHARE
from glasscan.reports.classroom import items, reliability
from glasscan.reports.classroom.gathering import ClassTable
from glasscan.units import counted

SMALL_CLASS = 30
"""Takers below which figures of questions are a hint only (secondary sources; 100 or more are better)."""
WANTED = 0.80
"""Reliability for which the length of paper is told (common practice, no source)."""


@dataclass(frozen=True)
class ItemRow:
    """Figures of one question; None where there is no value.

    Attributes:
        prompt: id.
        not_given: people without an answer.
        facility: mean share, 0..1.
        raw: point-biserial with the whole score.
        corrected: the same with the other questions only.
        groups: upper less lower 27 %.
        label: guide word, or "check the key".
        choices: use of each choice, where the question has choices.
    """

    prompt: str
    not_given: int
    facility: float
    raw: float | None
    corrected: float | None
    groups: float | None
    label: str
    choices: tuple[items.Choice, ...]


@dataclass(frozen=True)
class ClassReport:
    """Figures of a class.

    Attributes:
        table: what they were worked from.
        pass_share: pass mark used.
        passed: one for each person, from the score alone; gates are judged apart.
        kr20: None where there are part marks or no variance.
        kr21: as KR-20.
        alpha: for any marks; equal to KR-20 for right and wrong.
        sem: standard error of measurement, items, from alpha.
        doubled: reliability of a paper twice as long.
        longer: times as long for a reliability of 0.80.
        items: one row for each question.
        calibration: confidence of the whole class.
        warnings: one line each.
    """

    table: ClassTable
    pass_share: float
    passed: tuple[bool, ...]
    kr20: float | None
    kr21: float | None
    alpha: float | None
    sem: float | None
    doubled: float | None
    longer: float | None
    items: tuple[ItemRow, ...]
    calibration: tuple[Calibrated, ...]
    warnings: tuple[str, ...]


def class_report(
    table: ClassTable, choices: Mapping[str, Sequence[str]] | None = None, pass_share: float = PASS_SHARE
) -> ClassReport:
    """Work out the figures of a class.

    Args:
        table: marks of one paper.
        choices: ids of all choices by prompt, for questions that have them.
        pass_share: pass mark, 0..1.
    """
    whole = bool(np.isin(table.shares, (0.0, 1.0)).all())
    alpha = reliability.alpha(table.shares)
    rows = tuple(_row(table, i, (choices or {}).get(prompt, ())) for i, prompt in enumerate(table.prompts))
    return ClassReport(
        table=table,
        pass_share=pass_share,
        passed=tuple(bool(share >= pass_share - GRAIN) for share in table.totals),
        kr20=reliability.kr20(table.shares) if whole else None,
        kr21=reliability.kr21(table.shares) if whole else None,
        alpha=alpha,
        sem=reliability.error_of_measurement(table.shares, alpha),
        doubled=reliability.lengthened(alpha, 2.0) if alpha and alpha > 0.0 else None,
        longer=reliability.times_longer(alpha, WANTED) if alpha else None,
        items=rows,
        calibration=calibration(table.said),
        warnings=tuple(_warnings(table, rows)),
    )


def _row(table: ClassTable, i: int, choices: Sequence[str]) -> ItemRow:
    given = [text for (_, column), text in table.given.items() if column == i]
    corrected = items.item_rest(table.shares, i)
    return ItemRow(
        prompt=table.prompts[i],
        not_given=len(table.people) - len(given),
        facility=float(items.facility(table.shares)[i]),
        raw=items.item_total(table.shares, i),
        corrected=corrected,
        groups=items.upper_lower(table.shares, i),
        label=items.label(corrected),
        choices=tuple(items.choice_use(given, choices, table.keys[i])) if choices else (),
    )


def _warnings(table: ClassTable, rows: Sequence[ItemRow]) -> list[str]:
    told = []
    if len(table.people) < SMALL_CLASS:
        few = counted(len(table.people), "taker")
        told.append(f"Only {few}, fewer than {SMALL_CLASS}: the figures are a hint only.")
    told += [
        f"{row.prompt}: those who did well elsewhere did worse here: check the key."
        for row in rows
        if row.label == items.CHECK_KEY
    ]
    told += [
        f"{row.prompt}: fewer than 5 % took {choice.choice}: it does not work as a wrong choice."
        for row in rows
        for choice in row.choices
        if choice.unused
    ]
    return told
