"""Class results as a page and as tables."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from glasscan.learning.store.csv_text import csv_text
from glasscan.reports.classroom.report import ClassReport, ItemRow
from glasscan.reports.html_pages import Html, Paper, bars, element, number, page, table

ITEM_HEAD = (
    "question",
    "not given",
    "facility",
    "point-biserial",
    "corrected",
    "upper − lower 27 %",
    "guide",
)
READING = (
    "Corrected: against the other questions only. An easy question on safety is no fault of the paper. "
    "Guide words differ by author."
)
BANDS = ("0–9", "10–19", "20–29", "30–39", "40–49", "50–59", "60–69", "70–79", "80–89", "90–100")
"""Bands of the score, %."""


def class_page(report: ClassReport, made: str = "", paper: Paper = "A4") -> str:
    """The page to print; no name or answer in it can act as HTML."""
    parts = [*_warnings(report), *_people(report), *_trust(report), *_items(report)]
    parts += [*_choices(report), *_confidence(report)]
    return page(f"Class results: {report.table.paper}", *parts, paper=paper, made=made)


def items_csv(report: ClassReport) -> str:
    """Figures of the questions; empty cells where there is no value."""
    rows = [(r.prompt, r.not_given, r.facility, r.raw, r.corrected, r.groups, r.label) for r in report.items]
    return csv_text(ITEM_HEAD, [[_plain(value) for value in row] for row in rows])


def people_csv(report: ClassReport) -> str:
    """Score of everyone, and the share of each question."""
    head = ("nickname", "score", "score reached", *report.table.prompts)
    rows = zip(report.table.people, report.table.totals, report.passed, report.table.shares, strict=True)
    return csv_text(
        head, [(who, _plain(float(t)), "yes" if ok else "not yet", *map(_plain, s)) for who, t, ok, s in rows]
    )


def _picture(title: str, labels: Sequence[str], values: Sequence[float], top: float) -> Html:
    return element("figure", bars(title, labels, values, top), element("figcaption", title))


def _plain(value: object) -> object:
    return f"{value:.4f}" if isinstance(value, float) else value


def _warnings(report: ClassReport) -> Iterable[Html]:
    if report.warnings:
        yield element("div", *(element("p", line) for line in report.warnings), class_="note")


def _people(report: ClassReport) -> Iterable[Html]:
    percent = 100.0 * report.table.totals
    counts = np.bincount(np.minimum(percent / 10.0 + 1e-9, 9).astype(int), minlength=len(BANDS))
    yield element("h2", "Scores")
    yield _picture("People by score, %", BANDS, counts.tolist(), max(1, int(counts.max())))
    rows = zip(report.table.people, percent, report.passed, strict=True)
    cells = [(who, number(share, 1), "reached" if ok else "not yet") for who, share, ok in rows]
    yield table(("nickname", "score, %", f"pass mark {report.pass_share:.0%}"), cells)


def _trust(report: ClassReport) -> Iterable[Html]:
    yield element("h2", "How far to trust the score")
    figures = (
        ("KR-20 (population variance)", number(report.kr20, 3)),
        ("KR-21", number(report.kr21, 3)),
        ("alpha", number(report.alpha, 3)),
        ("standard error of a score, questions", number(report.sem, 2)),
        ("reliability of a paper twice as long", number(report.doubled, 3)),
        ("times as long for 0.80", number(report.longer, 2)),
    )
    yield table(("figure", "value"), figures)


def _items(report: ClassReport) -> Iterable[Html]:
    yield element("h2", "Questions")
    facilities = [round(100.0 * row.facility) for row in report.items]
    numbers = [str(i) for i in range(1, len(facilities) + 1)]
    yield _picture("Mean score of each question, %", numbers, facilities, 100.0)
    yield table(ITEM_HEAD, [_item(i, row) for i, row in enumerate(report.items, 1)])
    yield element("p", READING)


def _item(i: int, row: ItemRow) -> tuple[str, ...]:
    figures = map(number, (row.facility, row.raw, row.corrected, row.groups))
    return (f"{i}. {row.prompt}", str(row.not_given), *figures, row.label)


def _choices(report: ClassReport) -> Iterable[Html]:
    rows = [
        (
            row.prompt,
            c.choice,
            "key" if c.is_key else "",
            number(100.0 * c.share, 0),
            "unused" if c.unused else "",
        )
        for row in report.items
        for c in row.choices
    ]
    if rows:
        yield element("h2", "Choices taken")
        yield table(("question", "choice", "", "taken, %", "note"), rows)


def _confidence(report: ClassReport) -> Iterable[Html]:
    if report.table.said:
        yield element("h2", "Confidence (practice only, in no score)")
        rows = [(c.odds, str(c.answers), number(c.share), c.verdict) for c in report.calibration]
        yield table(("odds stated", "answers", "share right", "fits"), rows)
