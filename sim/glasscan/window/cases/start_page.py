"""Choose a case: filter, level, number; or go on with one that was left."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.cases.case_base_page import CaseBase
from glasscan.window.cases.case_layout import in_row
from glasscan.window.cases.case_store import StoredCase
from glasscan.window.cases.case_wording import KINDS, LEVELS
from glasscan.window.cases.start_pictures import PictureCard, Pictures
from glasscan.window.home.home_widgets import LessonCard

MOST_SEED = 2**31 - 1
FEW = 999  # numbers drawn for a case are short enough to call out
LEFT_SHARE = 0.66
NUMBER_WORDS = "For practice: the same number gives everybody the same hidden fault."
NONE_KEPT = "No case has been begun here yet."


@dataclass(frozen=True)
class Chosen:
    """A new case, or the file of one to go on with."""

    seed: int = 1
    kind: str = "can"
    level: int = 2
    path: Path | None = None


class StartPage(CaseBase):
    """Takes the choice; `chosen` is set once it is made."""

    def __init__(
        self, desk: ViewOptions, kept: Sequence[StoredCase], start: Chosen | None = None, trouble: str = ""
    ) -> None:
        super().__init__(desk)
        begin = start or Chosen(seed=1 + secrets.randbelow(FEW))
        self.kind, self.level, self.seed = begin.kind, begin.level, str(begin.seed)
        self.kept = list(kept)
        self.chosen: Chosen | None = None
        self.pictures = Pictures()
        if trouble:
            self.tell(trouble, bad=True)

    @property
    def title(self) -> str:
        return "Find the hidden fault"

    def first(self) -> str | None:
        return "begin"

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding(
                "1  2  3",
                "which filter",
                {str(i): partial(self._take, kind) for i, kind in enumerate(KINDS, 1)},
            ),
            Binding(
                "4  5  6",
                "which level",
                {str(i + 3): partial(self._rise, level) for i, level in enumerate(LEVELS, 1)},
            ),
            Binding("D", "draw another number", {"d": self.another}),
            Binding("Enter", "begin, or go on"),
        )

    def another(self) -> None:
        """Draw another number."""
        self.seed = str(1 + secrets.randbelow(FEW))

    def _take(self, kind: str) -> None:
        self.kind = kind

    def _rise(self, level: int) -> None:
        self.level = level

    def _number(self, text: str) -> None:
        digits = "".join(mark for mark in text if mark in "0123456789")
        self.seed = digits if not digits or int(digits) <= MOST_SEED else self.seed

    def begin(self) -> None:
        """A new case with what is chosen."""
        if not self.seed:
            self.tell("Type a number first, or draw one (D).", bad=True)
            return
        self.chosen, self.leave = Chosen(int(self.seed), self.kind, self.level), True

    def carry_on(self, place: str) -> None:
        """Go on with a case kept."""
        one = self.kept[int(place)]
        self.chosen, self.leave = Chosen(one.seed, one.kind, one.level, one.path), True

    def update(self, wall_s: float) -> None:
        del wall_s
        self.pictures.update(self.desk.theme)

    # --- widgets --------------------------------------------------------------------------------------

    def _boxes(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        gap = canvas.dp(24)
        left = pygame.Rect(body.x, body.y, round(body.w * LEFT_SHARE), body.h)
        right = pygame.Rect(left.right + gap, body.y, body.right - left.right - gap, body.h)
        foot = pygame.Rect(left.x, left.bottom - canvas.tp(70), left.w, canvas.tp(70))
        each = in_row(pygame.Rect(left.x, 0, left.w, 0), 3, canvas.dp(18))[0].w - canvas.dp(36)
        under = max(canvas.measure(text, wrap=each)[1] for _, text in LEVELS.values())
        title = canvas.measure("Ag", "title", True)[1]
        levels = pygame.Rect(left.x, 0, left.w, under + title + canvas.dp(28))
        levels.bottom = foot.y - gap
        pictures = pygame.Rect(left.x, left.y, left.w, levels.y - gap - left.y)
        line = canvas.measure("Ag", bold=True)[1]
        head = pygame.Rect(right.x, right.y, right.w, line)
        y = head.bottom + canvas.dp(14)
        words_h = canvas.measure(NUMBER_WORDS, wrap=right.w)[1]
        note = pygame.Rect(right.x, right.bottom - words_h, right.w, words_h)
        kept = pygame.Rect(right.x, y, right.w - canvas.dp(14), note.y - canvas.dp(20) - y)
        return {
            "pictures": pictures,
            "levels": levels,
            "foot": foot,
            "head": head,
            "kept": kept,
            "note": note,
        }

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Begin first, then the choices, then what can be gone on with."""
        at = self._boxes(canvas, body)
        filters = [
            PictureCard(
                f"filter-{kind}", f"{i}  {title}",
                partial(self._take, kind), partial(self._has, "kind", kind),
                picture=self._picture(kind), instead=lambda: self.pictures.words, box=box,
            )
            for i, ((kind, title), box) in enumerate(
                zip(KINDS.items(), in_row(at["pictures"], 3, canvas.dp(18)), strict=True), 1
            )
        ]  # fmt: skip
        levels = [
            LessonCard(
                f"level-{level}", f"{level + 3}  {title}", partial(self._rise, level),
                partial(self._has, "level", level), under=text, box=box,
            )
            for (level, (title, text)), box in zip(
                LEVELS.items(), in_row(at["levels"], 3, canvas.dp(18)), strict=True
            )
        ]  # fmt: skip
        inner = at["kept"].w - canvas.dp(28)
        high = max((canvas.measure(one.title, bold=True, wrap=inner)[1] for one in self.kept), default=0)
        row_h = high + canvas.measure("Ag")[1] + canvas.dp(30)
        kept = ListBox("kept", "Go on", self._rows, self.carry_on, box=at["kept"], row_h=row_h)
        return [*filters, *levels, *self._foot(canvas, at["foot"]), *([kept] if self.kept else [])]

    def _foot(self, canvas: Canvas, foot: pygame.Rect) -> list[Widget]:
        number, draw, begin = in_row(foot, 3, canvas.dp(18))
        return [
            LineEntry(
                "seed", "Number", lambda: self.seed, self._number, self.begin, most=10, box=number
            ),
            Button("draw", "D  Another number", self.another, box=draw),
            Button("begin", "", self.begin, lambda: True, lambda: f"Begin case {self.seed}", box=begin),
        ]  # fmt: skip

    def _picture(self, kind: str) -> Callable[[tuple[int, int]], pygame.Surface | None]:
        return lambda size: self.pictures.fitted(kind, self.desk.theme, size)

    def _has(self, what: str, value: object) -> bool:
        return bool(getattr(self, what) == value)

    def _rows(self) -> list[Row]:
        return [Row(str(i), one.title, one.state) for i, one in enumerate(self.kept)]

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """Words over the list, and what the number is for."""
        at = self._boxes(canvas, body)
        canvas.text("Go on with a case", at["head"], bold=True, colour="accent")
        if not self.kept:
            canvas.text(NONE_KEPT, at["kept"], colour="soft", wrap=True, valign="top")
        canvas.text(NUMBER_WORDS, at["note"], colour="soft", wrap=True, valign="bottom")

    def close(self) -> None:
        """Stop what still goes on beside the window."""
        self.pictures.close()
