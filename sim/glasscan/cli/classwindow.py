"""Class results for the window, which itself does not know how figures are worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from glasscan.cli.classroom import Batch, choice_texts, class_files, gate_lines, report_of
from glasscan.units import counted
from glasscan.window.exam.class_figures import ChoiceUse, ClassView, ItemView, number

if TYPE_CHECKING:
    from glasscan.learning.exam.paper import Paper
    from glasscan.learning.store.results_files import Loaded
    from glasscan.reports.classroom.report import ClassReport, ItemRow

UNUSED = "fewer than 5 % took it"


def class_view(loaded: Sequence[tuple[Path, Loaded]], paper: Paper | None) -> ClassView:
    """Figures of results files that were read.

    Raises:
        BadInput: the results are of another paper.
        StoreProblem: they are of several papers.
    """
    from glasscan.reports.classroom import items

    batch = Batch(tuple(loaded), 0)
    report = report_of(batch, paper)
    texts = choice_texts(paper, report.table) if paper else {}
    asked = {q.asked.id: q.asked.text for q in paper.questions} if paper else {}
    return ClassView(
        paper=report.table.paper,
        totals=tuple(float(total) for total in report.table.totals),
        passed=sum(report.passed),
        pass_share=report.pass_share,
        figures=_figures(report),
        items=tuple(
            replace(_item(row, items.CHECK_KEY, texts.get(row.prompt, {})), asked=asked.get(row.prompt, ""))
            for row in report.items
        ),
        warnings=_nameless(report.warnings, gate_lines(batch)),
        files=class_files(report, batch),
    )


def _nameless(warnings: Sequence[str], gates: Sequence[str]) -> tuple[str, ...]:
    """The warnings without those that name somebody: the page may stand on a projector."""
    told = [text for text in warnings if text not in gates]
    if gates:
        told.insert(0, f"{counted(len(gates), 'safety gate')} not met: class.html tells whose.")
    return tuple(told)


def _figures(report: ClassReport) -> tuple[tuple[str, str], ...]:
    """Figures of the paper as a whole; a dash where there is no value."""
    whole = report.kr20 is not None
    return (
        (f"Reliability, {'KR-20' if whole else 'alpha'}", number(report.kr20 if whole else report.alpha)),
        ("Error of measurement, questions", number(report.sem)),
        ("Reliability at twice the length", number(report.doubled)),
    )


def _item(row: ItemRow, check: str, texts: Mapping[str, str]) -> ItemView:
    words = row.label or "no variance"
    choices = tuple(
        ChoiceUse(texts.get(c.choice, c.choice), c.share, c.is_key, UNUSED if c.unused else "")
        for c in row.choices
    )
    return ItemView(
        row.prompt, row.facility, row.corrected, words, row.label == check, row.not_given, choices
    )
