"""The lists of a case: tests with minutes and why they cannot be ordered, and suspects."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pygame

from glasscan.learning.cases.test_menu import Test
from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.widgets import ring
from glasscan.window.cases.case_session import CaseSession
from glasscan.window.cases.case_wording import STATES, minutes, spoken, titled

DONE = "done"


@dataclass(frozen=True)
class TestRow(Row):
    """A test in the menu; `grey` where it cannot be ordered, with the reason in a word or two."""

    __test__ = False

    grey: bool = False
    under: str = ""


def test_rows(work: CaseSession) -> list[TestRow]:
    """The menu as it stands now."""
    return [_row(work, test) for test in work.case.menu.values()]


def _row(work: CaseSession, test: Test) -> TestRow:
    why = work.why_not(test.test)
    return TestRow(
        test.test,
        spoken(test.title),
        right=minutes(test.cost_min),
        grey=bool(why),
        under=_short(why) or STATES[test.needs],
    )


def _short(why: str) -> str:
    """A reason in two words."""
    for sign, word in (
        ("done", DONE),
        ("cut up", "cut up"),
        ("start it", "start first"),
        ("stop it", "stop first"),
    ):
        if sign in why:
            return word
    return "not now" if why else ""


@dataclass
class TestList(ListBox):
    """Tests of the menu; those that cannot be ordered are grey, with an empty mark instead of a full one."""

    __test__ = False

    def _row(self, canvas: Canvas, box: pygame.Rect, row: Row, focused: bool) -> None:
        grey = isinstance(row, TestRow) and row.grey
        canvas.panel(box, "sheet" if grey else "button", "rule" if grey else "edge", 10, 2)
        inner = box.inflate(-canvas.dp(28), -canvas.dp(6))
        under = row.under if isinstance(row, TestRow) else ""
        wide = max(canvas.measure(under)[0], canvas.measure(row.right, bold=True)[0])
        right = pygame.Rect(inner.right - wide, inner.y, wide, inner.h // 2)
        ink = "soft" if grey else "ink"
        canvas.text(row.right, right, align="right", bold=not grey, colour=ink)
        canvas.text(under, right.move(0, inner.h - right.h), align="right", colour="soft")
        left = pygame.Rect(inner.x, inner.y, right.x - canvas.dp(16) - inner.x, inner.h)
        fits = canvas.measure(row.title, wrap=left.w)[1] <= left.h
        canvas.text(row.title, left, colour=ink, wrap=fits, shorten=not fits)
        if focused:
            ring(canvas, box)


def suspect_rows(work: CaseSession) -> list[Row]:
    """Suspects with a box to tick."""
    return [Row(code, f"{code}  {titled(code)}", ticked=code in work.ticks) for code in work.case.suspects]


def verdict_rows(work: CaseSession, last: str) -> Sequence[Row]:
    """Suspects of which one is named, and the honest way out at the end."""
    words = [f"{code}  {titled(code)}" for code in work.case.suspects] + [titled(last)]
    codes = [*work.case.suspects, last]
    return [
        Row(code, f"{'●' if code == work.named else '○'}  {text}")
        for code, text in zip(codes, words, strict=True)
    ]
