"""The outcome of a piece of work: the verdict, each mark with its reasons, a nickname to keep it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import pygame

from glasscan.learning.scoring.verdict import Verdict
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.bench.bench_results import NicknameLine, keep


@dataclass(frozen=True)
class ReportText:
    """One row of the report.

    Attributes:
        title: what it is about.
        under: a smaller line.
        line: as it is kept.
        missed: it failed a gate.
        text: the whole story of it.
    """

    title: str
    under: str
    line: NicknameLine
    missed: bool
    text: str


class ReportPage(Page):
    """Rows on the left, the story of the marked row on the right; nothing is kept without a nickname."""

    def __init__(
        self,
        desk: ViewOptions,
        verdict: Verdict,
        rows: Sequence[ReportText],
        after: str,
        paper: str,
        seed: int,
    ) -> None:
        super().__init__(desk)
        self.verdict, self.told, self.after = verdict, tuple(rows), after
        self.paper, self.seed = paper, seed
        self.at = 0
        self.nickname, self.kept = "", False
        self.folder: Path | None = None

    @property
    def title(self) -> str:
        v = self.verdict
        word = "Pass" if v.passed else "Not yet"
        return f"{word}: {v.marks:g} of {v.out_of:g}"

    @property
    def aside(self) -> str:
        n = len(self.verdict.gates)
        return f"{n} gate{'s' if n != 1 else ''} not met" if n else "every gate met"

    def first(self) -> str | None:
        return "rows"

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        gap, foot_h = canvas.dp(20), canvas.tp(60)
        foot = pygame.Rect(body.x, body.bottom - foot_h, body.w, foot_h)
        h = foot.y - gap - body.y
        left = pygame.Rect(body.x, body.y, round(body.w * 0.42), h)
        right = pygame.Rect(left.right + canvas.dp(30), body.y, body.right - left.right - canvas.dp(30), h)
        name = pygame.Rect(foot.x, foot.y, round(foot.w * 0.55), foot.h)
        save = pygame.Rect(name.right + gap, foot.y, (foot.right - name.right - 2 * gap) // 2, foot.h)
        end = pygame.Rect(save.right + gap, foot.y, foot.right - save.right - gap, foot.h)
        return [
            ListBox("rows", "", self._rows, self._pick, self._pick, box=left, row_h=canvas.tp(92)),
            ScrollText("story", "", self._story, box=right),
            LineEntry("nick", "Nickname", lambda: self.nickname, self._name, self.save, most=40, box=name),
            Button("save", "Keep", self.save, box=save),
            Button("end", "Done", self.back, box=end),
        ]  # fmt: skip

    def _rows(self) -> list[Row]:
        rows = [Row("whole", "In short", "", "")]
        for i, t in enumerate(self.told):
            meta = "; ".join(filter(None, [t.under, "gate not met" if t.missed else ""]))
            got = round(t.line.share * t.line.out_of, 2)
            rows.append(Row(str(i), t.title, meta, f"{got:g} of {t.line.out_of:g}" if t.line.out_of else ""))
        return rows

    def _pick(self, word: str) -> None:
        self.at = 0 if word == "whole" else int(word) + 1

    def _story(self) -> str:
        if self.at == 0:
            v = self.verdict
            score = f"{v.marks:g} of {v.out_of:g} marks, {v.share:.0%}; the pass mark is {v.pass_share:.0%}."
            gates = [f"Gate not met: {gate}" for gate in v.gates]
            return "\n\n".join(filter(None, [self.after, score, *gates]))
        return self.told[self.at - 1].text

    def _name(self, text: str) -> None:
        self.nickname = text

    def save(self) -> None:
        """Keep it, once."""
        if self.kept:
            self.tell("It is kept already.")
            return
        if not self.nickname.strip():
            self.tell("A nickname is needed to keep it; a nickname is enough.", True)
            return
        said = keep(self.nickname, self.paper, self.seed, (t.line for t in self.told), self.folder)
        self.kept = said.startswith("Kept")
        self.tell(said, not self.kept)
