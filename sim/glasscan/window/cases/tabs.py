"""The right side of a case: the menu of tests, the suspects, the verdict, the help."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pygame

from glasscan.learning.cases.case_play import CANNOT_TELL, HELP_PRICE, help_price
from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ListBox, ScrollText
from glasscan.ui.text_input import LineEntry, TextPad
from glasscan.ui.widgets import Button, Widget
from glasscan.window.cases.case_lists import TestList, suspect_rows, test_rows, verdict_rows
from glasscan.window.cases.case_session import CaseSession
from glasscan.window.cases.case_wording import MOST_ACTION, NEEDS, minutes, named, risk_words, spoken
from glasscan.window.lesson.window_layout import LARGE_TEXT

PARTS_DP = 14
HINTS = ("Where to look", "Which principle", "The worked step")


def tests_pane(work: CaseSession, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
    """The menu; the test marked is told below it."""
    place, _ = tests_boxes(canvas, box)
    rows = partial(test_rows, work)
    return [TestList("tests", "Tests", rows, work.ask, box=place, row_h=canvas.tp(74))]


def tests_boxes(canvas: Canvas, box: pygame.Rect) -> tuple[pygame.Rect, pygame.Rect]:
    """The list, and what is told of the test marked."""
    row, line = canvas.tp(74), canvas.measure("Ag")[1]
    told_h = max(round(box.h * 0.2), (6 if canvas.text_scale <= LARGE_TEXT else 4) * line)
    rows = max((box.h - told_h - canvas.dp(PARTS_DP)) // row, 1)
    place = pygame.Rect(box.x, box.y, box.w - canvas.dp(14), rows * row)
    y = place.bottom + canvas.dp(PARTS_DP)
    return place, pygame.Rect(box.x, y, box.w, box.bottom - y)


def paint_test(work: CaseSession, canvas: Canvas, box: pygame.Rect, word: str) -> None:
    """State, risk and readings of a test; what does not fit at the end is left out."""
    _, place = tests_boxes(canvas, box)
    canvas.panel(place, "sheet", None, 12)
    inner = place.inflate(-canvas.dp(40), -canvas.dp(24))
    test = work.case.menu[word]
    why = work.why_not(word)
    reads = "Reads: " + spoken("; ".join(reading.label for reading in test.reads)) + "."
    blocks = [(f"{minutes(test.cost_min)}, {NEEDS[test.needs]}", "ink", True)]
    blocks += [(f"Not now: {why}.", "warn", False)] if why else []
    blocks += [(risk_words(test), "ink", False), (reads, "soft", False)]
    y = inner.y
    for text, colour, bold in blocks:
        high = canvas.measure(text, bold=bold, wrap=inner.w)[1]
        if y + high > inner.bottom:
            return
        row = pygame.Rect(inner.x, y, inner.w, high)
        canvas.text(text, row, wrap=True, colour=colour, bold=bold, valign="top")
        y += high + canvas.dp(4)


def suspects_pane(work: CaseSession, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
    """Suspects to tick; where a test waits, the button that orders it."""
    head, place, foot = split(canvas, box, suspects_words(work))
    del head
    rows = partial(suspect_rows, work)
    row_h = suspect_row(work, canvas, place.w)
    widgets: list[Widget] = [ListBox("suspects", "Suspects", rows, work.tick, box=place, row_h=row_h)]
    if work.pending:
        half = (foot.w - canvas.dp(12)) // 3
        cost = minutes(work.case.menu[work.pending].cost_min)
        order = pygame.Rect(foot.x, foot.y, 2 * half, foot.h)
        no = pygame.Rect(order.right + canvas.dp(12), foot.y, half, foot.h)
        widgets += [Button("order", f"G  Order it: {cost}", work.order, box=order)]
        widgets += [Button("no", "Leave it", work.drop, box=no)]
    return widgets


def suspects_words(work: CaseSession) -> str:
    """What stands over the suspects."""
    if not work.pending:
        return "Tick all that you hold possible. You are asked again before every test."
    return f"Before '{spoken(work.case.menu[work.pending].title)}': what do you hold possible now?"


def suspect_row(work: CaseSession, canvas: Canvas, w: int) -> int:
    """Height of a row in which the longest suspect fits."""
    inner = w - canvas.dp(28) - canvas.tp(34)
    high = max(canvas.measure(named(code), wrap=inner)[1] for code in work.case.suspects)
    return high + canvas.dp(20)


def split(canvas: Canvas, box: pygame.Rect, words: str) -> tuple[pygame.Rect, pygame.Rect, pygame.Rect]:
    """Words over a list over a row of buttons."""
    high = canvas.measure(words, bold=True, wrap=box.w)[1]
    head = pygame.Rect(box.x, box.y, box.w, high)
    foot = pygame.Rect(box.x, box.bottom - canvas.tp(64), box.w, canvas.tp(64))
    y = head.bottom + canvas.dp(12)
    return head, pygame.Rect(box.x, y, box.w - canvas.dp(14), foot.y - canvas.dp(14) - y), foot


def verdict_pane(work: CaseSession, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
    """One suspect, what shall be done, the entry for the log, and the button that ends the case."""
    boxes = verdict_boxes(canvas, box)
    row_h = suspect_row(work, canvas, boxes[0].w)
    boxes[0].h = max(boxes[0].h // row_h, 1) * row_h
    rows = partial(verdict_rows, work, CANNOT_TELL)

    def choose(word: str) -> None:
        work.named = word

    return [
        ListBox("verdict", "Verdict", rows, choose, box=boxes[0], row_h=row_h),
        LineEntry(
            "action", "Action", lambda: work.action, partial(work.write, "action"), most=MOST_ACTION,
            box=boxes[1],
        ),
        TextPad("log", "Log", lambda: work.log, partial(work.write, "log"), box=boxes[3]),
        Button("decide", "", work.decide, caption=partial(verdict_word, work), box=boxes[4]),
    ]  # fmt: skip


def verdict_word(work: CaseSession) -> str:
    """What the button says."""
    if not work.named:
        return "Give the verdict"
    return f"Give the verdict: {'cannot tell yet' if work.named == CANNOT_TELL else work.named}"


def verdict_boxes(canvas: Canvas, box: pygame.Rect) -> list[pygame.Rect]:
    """List, action, the words over the log, log, button; from the foot up."""
    gap, line = canvas.dp(PARTS_DP), canvas.measure("Ag")[1]
    button = pygame.Rect(box.x, box.bottom - canvas.tp(64), box.w, canvas.tp(64))
    log = pygame.Rect(box.x, button.y - gap - 4 * line, box.w, 4 * line)
    words = pygame.Rect(box.x, log.y - line - canvas.dp(4), box.w, line)
    action = pygame.Rect(box.x, words.y - gap - canvas.tp(56), box.w, canvas.tp(56))
    top = pygame.Rect(box.x, box.y, box.w - canvas.dp(14), action.y - gap - box.y)
    return [top, action, words, log, button]


def help_pane(work: CaseSession, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
    """The ladder of hints, look-alikes, what parts two suspects, and the answers."""
    level, gap, high = work.case.level, canvas.dp(10), canvas.tp(56)
    asks: list[tuple[str, str, Callable[[], None]]] = [
        (f"hint-{k}", f"{title}{price_words(level, f'hint-{k}')}", partial(work.help, k))  # type: ignore[arg-type]
        for k, title in enumerate(HINTS, 1)
    ]
    asks.append(("look-alikes", f"Which faults fit?{price_words(level, 'look-alikes')}", work.alike))
    asks.append(("apart", "What parts the two ticked?  free", work.apart))
    widgets: list[Widget] = []
    y = box.y
    for name, title, act in asks:
        on = name == "apart" or help_price(level, name) is not None
        place = pygame.Rect(box.x, y, box.w, high)
        widgets.append(Button(name, title, act, box=place, enabled=on))
        y += high + gap
    told = pygame.Rect(box.x, y + gap, box.w, box.bottom - y - gap)
    widgets.append(ScrollText("told", "", lambda: help_words(work), box=told))
    return widgets


def price_words(level: int, word: str) -> str:
    """What a piece of help costs."""
    price = help_price(level, word)
    if price is None:
        return "  not at level 3"
    return f"  −{100 * HELP_PRICE[word]:g} %" if price else "  free"


def help_words(work: CaseSession) -> str:
    """Answers so far, the newest first."""
    return "\n\n".join(work.told) or "Help is worked out from what you have read, not from the fault."
