"""A short case: what is held possible, tests with what they showed, and the verdict."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.widgets import Button, Widget
from glasscan.window.questions.form_widgets import FormWidgets, Option, picked, widgets_for
from glasscan.window.questions.question_cards import (
    CANNOT_TELL,
    THINK,
    VERDICT,
    Answer,
    GivenAnswer,
    Offered,
    QuestionCard,
)

if TYPE_CHECKING:
    from glasscan.window.questions.answer_form import AnswerForm

SIDEWAYS = {pygame.K_LEFT: -1, pygame.K_RIGHT: 1}
PANES = ("Possible", "Tests", "Verdict")


@widgets_for("case")
class CasePanes(FormWidgets):
    """Three panes of lines, turned by arrows."""

    hint = "Say what is possible, buy tests, then name the fault. Tests cost minutes."
    heading = "Find the fault"
    wide = True
    whole = False

    def answered(self, now: GivenAnswer) -> bool:
        return any(word.startswith(VERDICT) for word in now.picked)

    def given(self, card: QuestionCard, now: GivenAnswer) -> Answer:
        del card
        return tuple(now.picked)

    def line(self, card: QuestionCard, now: GivenAnswer) -> str:
        del card
        return " ".join(now.picked)  # what was bought is kept before there is a verdict

    def put_back(self, asked: Any, stored: str, now: GivenAnswer) -> None:
        del asked
        now.picked[:] = [] if stored == "none" else stored.split()

    def said(self, sheet: Any) -> str:
        names = dict(sheet.choices())
        words = (w.removeprefix(VERDICT) for w in sheet.now.picked if w.startswith(VERDICT))
        verdict = next(words, "nothing")
        return f"{names.get(verdict, verdict)}, after {len(sheet.bought)} tests"

    def state(self, now: GivenAnswer) -> tuple[object, ...]:
        return tuple(now.picked)

    def widgets(self, host: AnswerForm, canvas: Canvas, box: pygame.Rect, enabled: bool) -> list[Widget]:
        gap, h = canvas.dp(10), canvas.tp(50)
        w = (box.w - 2 * gap) // 3
        panes: list[Widget] = [
            Button(
                f"pane-{i}",
                words,
                partial(host.turn, i),
                partial(_on_pane, host, i),
                box=pygame.Rect(box.x + i * (w + gap), box.y, w, h),
            )
            for i, words in enumerate(PANES)
        ]
        top = box.y + h + gap
        rows = host.lines(canvas, pygame.Rect(box.x, top, box.w, box.bottom - top), enabled)
        return [*panes, *host.paged(canvas, box, rows)]

    def options(self, host: AnswerForm) -> list[Option]:
        desk, card = host.desk, host.desk.card
        if host.pane == 1:
            return [
                (f"choice-{i}", _offer(i, t, t.word in desk.bought), partial(desk.buy, t.word), _no)
                for i, t in enumerate(card.tests)
            ]
        head, act = (THINK, desk.suspect) if host.pane == 0 else (VERDICT, desk.decide)
        lines = list(card.choices)
        if host.pane == 2:
            lines.append((CANNOT_TELL, "It cannot be told yet"))
        return [
            (f"choice-{i}", f"{i + 1}  {text}", partial(act, key), partial(picked, desk, head + key))
            for i, (key, text) in enumerate(lines)
        ]

    def key(self, host: AnswerForm, event: pygame.event.Event, form: Form) -> bool:
        free = form.focused is None or form.focused.name.startswith(("pane-", "choice-"))
        if event.key not in SIDEWAYS or not free:  # what moves sideways itself keeps left and right
            return False
        host.turn((host.pane + SIDEWAYS[event.key]) % len(PANES))
        return True


def _on_pane(host: AnswerForm, pane: int) -> bool:
    return host.pane == pane


def _no() -> bool:
    """A row that is never drawn as chosen: what it brought stands in it."""
    return False


def _offer(place: int, test: Offered, bought: bool) -> str:
    """A test with its price; bought, with what it showed."""
    risk = "" if test.risk in ("", "-", "none") else f", risk: {test.risk}"
    head = f"{place + 1}  {test.title} ({test.minutes:g} min{risk})"
    return "\n".join([head, *test.result.split("; ")]) if bought else head
