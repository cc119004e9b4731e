"""A job step by step: cards to pick from, the place of the work, and the job card that fills."""

from __future__ import annotations

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.bench.worksite import draw_site
from glasscan.workshop.machine import CannotError, Machine
from glasscan.workshop.procedures.job import Job, JobCard

HAND = 8
HANDS = frozenset(("with", "torque", "hole", "twists", "litres", "lay", "who"))
"""What is chosen on a page of its own."""
PRESSED = ("press-valve", "press-ball")
"""Steps that press a valve."""


def state_words(m: Machine) -> str:
    """The machine as anybody who stands beside it sees it."""
    turns = "Running" if m.running else "Stopped, made safe" if m.safe else "Stopped, not made safe"
    opened = [m.kind_of(j).title for j in m.open_joints]
    oil = f"{m.oil_l['sump']:.1f} L in it" + (
        f", {m.oil_l['floor']:.1f} L on the floor" if m.oil_l["floor"] else ""
    )
    return f"Now: {turns}. {oil}. " + (f"Open: {', '.join(opened)}." if opened else "Nothing is open.")


class JobPage(Page):
    """`done` once the job is called finished; `kind` is the filter it is done on."""

    def __init__(self, desk: ViewOptions, job: Job, kind: str) -> None:
        super().__init__(desk)
        self.job, self.kind = job, kind
        self.done = False
        self.handing: JobCard | None = None
        self.news: list[str] = []
        self._sure = False

    @property
    def title(self) -> str:
        return self.job.procedure.title

    @property
    def aside(self) -> str:
        n = len(self.job.acts)
        return f"{n} step{'s' if n != 1 else ''} done"

    def first(self) -> str | None:
        return "cards"

    def boxes_of(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        """Cards, picture, job card, foot."""
        gap, foot_h = canvas.dp(20), canvas.tp(58)
        left = pygame.Rect(body.x, body.y, round(body.w * 0.47), body.h)
        x = left.right + canvas.dp(30)
        right_w = body.right - x
        foot = pygame.Rect(x, body.bottom - foot_h, right_w, foot_h)
        h = foot.y - gap - body.y
        picture = pygame.Rect(x, body.y, right_w, round(h * (0.42 if canvas.text_scale > 1.2 else 0.58)))
        card = pygame.Rect(x, picture.bottom + gap, right_w, foot.y - gap - picture.bottom - gap)
        return {"cards": left, "picture": picture, "card": card, "foot": foot}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        at = self.boxes_of(canvas, body)
        row_h = at["cards"].h // max(min(HAND, at["cards"].h // canvas.tp(84)), 1)
        gap, foot = canvas.dp(14), at["foot"]
        back = pygame.Rect(foot.x, foot.y, (foot.w - gap) // 2, foot.h)
        end = pygame.Rect(back.right + gap, foot.y, foot.right - back.right - gap, foot.h)
        return [
            ListBox("cards", "", self._rows, self.pick, box=at["cards"], row_h=row_h),
            ScrollText("card", "", self._card, box=at["card"]),
            Button("undo", "Take it back (Z)", self.undo, box=back),
            Button("finish", "Finished (F)", self.finish, box=end),
        ]

    def _rows(self) -> list[Row]:
        return [Row(c.id, c.text) if c else Row("", "") for c in self.job.hand(HAND)]

    def pick(self, card: str) -> None:
        """Do what a card says; what is found is told at once."""
        self._sure = False
        found = next((c for c in self.job.hand(HAND) if c is not None and c.id == card), None)
        if found is None:
            return
        if HANDS & set(found.asks) or found.step in PRESSED:
            self.handing = found
            self.leave = True
            return
        self.do(card)

    def do(self, card: str, chosen: dict[str, str] | None = None) -> None:
        """Do a card, with what the hand chose."""
        try:
            found = self.job.do(card, chosen)
        except CannotError as cannot:
            self.tell(str(cannot), True)
            return
        self.news += found
        hurt = self.job.ended is not None
        self.tell(found[0] if found else f"Done: step {len(self.job.acts)}.", hurt)

    def undo(self) -> None:
        """Lay the last card back."""
        self._sure = False
        self.job.undo()
        self.news = list(self.job.outcome().findings)

    def finish(self) -> None:
        """The job is finished; asked twice where much is left."""
        left = {c.step for c in self.job.left_over()} - set(self.job.procedure.traps)
        if not self.job.acts:
            self.tell("Nothing has been done yet.", True)
            return
        if left and not self._sure:
            self._sure = True
            self.tell("Cards are left in the tray. Press F again if the job is finished.", True)
            return
        self.done = self.leave = True

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("↑  ↓", "another card"),
            Binding("Enter", "do it next"),
            Binding("Z", "take the last card back", {"z": self.undo}),
            Binding("F", "the job is finished", {"f": self.finish}),
        )

    def _card(self) -> str:
        """The job card: cautions first, then what was done, the last on top."""
        p = self.job.procedure
        traps = {t.id: t.do for t in p.tempting}
        lines = []
        for i, act in enumerate(self.job.acts):
            step = p.by_id.get(act.step)
            text = traps.get(act.step, "") if step is None else (step.slip or "") if act.slipped else step.do
            lines.append(f"{i + 1}  {text}")
        found = [f"Found: {text}" for text in reversed(self.news)]
        return "\n".join(
            [
                state_words(self.job.outcome().machine),
                *reversed(lines[-12:]),
                *found,
                *([""] if lines else []),
                f"Caution. {p.safety}",
            ]
        )

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        draw_site(canvas, self.boxes_of(canvas, body)["picture"], self.job, self.kind)
