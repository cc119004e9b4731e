"""The white tray: each heap gets a kind, an amount against the sheet, and an action."""

from __future__ import annotations

from functools import partial

import numpy as np
import pygame

from sim.screens.benchpages.benchtop import bench, dish, look, mixed
from sim.screens.benchpages.looking import Looking, place_word
from sim.screens.benchpages.sketch import draw_piece_at
from sim.screens.benchpages.words import CODES, manual_text, title_of
from sim.screens.canvas import Canvas
from sim.screens.desk import Desk
from sim.screens.page import Act, Page
from sim.screens.pagewidgets import ListBox, Reading, Row
from sim.screens.widgets import Button, Choice, Widget
from sim.workbench.inspection.data import manual
from sim.workbench.inspection.heaps import Heap
from sim.workbench.inspection.judging import ACTIONS, AMOUNTS, Judgement

AMOUNT_WORDS = {
    "": "amount?",
    "within": "within the limit of the sheet",
    "above": "above the limit of the sheet",
}
KINDS = tuple(c for c in CODES if c.startswith("D"))


class TrayPage(Page):
    """Judge heap by heap; `done` hands the work in."""

    title = "On the tray: what is it, how much, what now?"
    keys = (
        ("↑  ↓", "another heap"),
        ("←  →", "another answer"),
        ("S", "the example sheet"),
        ("B", "back to the bench"),
        ("H", "hand in"),
    )

    def __init__(self, desk: Desk, looking: Looking) -> None:
        super().__init__(desk)
        self.looking, self.work = looking, looking.work
        self.at = self.work.taken[0] if self.work.taken else ""
        self.draft: dict[str, list[str]] = {}
        for name, said in self.work.said.items():
            self.draft[name] = [said.kind, said.amount, said.action]
        self.sheet_shown = self.done = False

    @property
    def aside(self) -> str:
        """How many are judged."""
        return f"{len(self.work.said)} of {len(self.work.taken)} judged"

    def stamp(self) -> tuple[object, ...]:
        """Made anew when the sheet comes or goes."""
        return (self.sheet_shown, bool(self.work.taken))

    def first(self) -> str | None:
        """The heaps."""
        return "heaps" if self.work.taken else "hand-in"

    def heap(self) -> Heap | None:
        """The heap that is judged now."""
        return self.work.heaps().get(self.at)

    # --- widgets -----------------------------------------------------------------------------------

    def boxes_of(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        """Heaps, picture, answers, foot."""
        gap, foot_h = canvas.dp(20), canvas.tp(60)
        foot = pygame.Rect(body.x, body.bottom - foot_h, body.w, foot_h)
        h = foot.y - gap - body.y
        left = pygame.Rect(body.x, body.y, round(body.w * 0.27), h)
        right_w = round(body.w * 0.36)
        right = pygame.Rect(body.right - right_w, body.y, right_w, h)
        middle = pygame.Rect(left.right + gap, body.y, right.x - left.right - 2 * gap, h)
        return {"heaps": left, "picture": middle, "answers": right, "foot": foot}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """List, answers, foot."""
        at = self.boxes_of(canvas, body)
        rows = ListBox("heaps", "", self._rows, self._pick, self._pick, box=at["heaps"], row_h=canvas.tp(88))
        widgets: list[Widget] = [rows]
        if self.sheet_shown:
            widgets.append(Reading("sheet", "", manual_text, box=at["answers"]))
        else:
            widgets += self._answers(canvas, at["answers"])
        return widgets + self._foot(canvas, at["foot"])

    def _answers(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        gap = canvas.dp(14)
        h = min(canvas.tp(112), (box.h - 3 * gap) // 4)
        made: list[Widget] = []
        lists: tuple[tuple[str, tuple[str, ...], dict[str, str]], ...] = (
            ("kind", KINDS, {"": "kind?"} | {c: title_of(c) for c in KINDS}),
            ("amount", AMOUNTS, AMOUNT_WORDS),
            ("action", ACTIONS, {"": "action?"} | {str(a): text for a, text in manual().actions.items()}),
        )
        for i, (name, options, words) in enumerate(lists):
            place = pygame.Rect(box.x, box.y + i * (h + gap), box.w, h)
            made.append(
                Choice(name, "", options, partial(self._said, i), partial(self._say, i), words.__getitem__,
                       wraps=True, box=place, enabled=bool(self.work.taken))
            )  # fmt: skip
        top = box.y + 3 * (h + gap)
        facts = pygame.Rect(box.x, top, box.w, box.bottom - top)
        return [*made, Reading("facts", "", self._facts, box=facts)]

    def _foot(self, canvas: Canvas, foot: pygame.Rect) -> list[Widget]:
        wide, gap = min(canvas.tp(300), foot.w // 4), canvas.dp(14)
        places = [pygame.Rect(foot.right - (k + 1) * wide - k * gap, foot.y, wide, foot.h) for k in range(3)]
        return [
            Button(
                "sheet-button",
                "Example sheet (S)",
                self.toggle_sheet,
                lambda: self.sheet_shown,
                box=places[2],
            ),
            Button("to-bench", "Back to the bench (B)", self.back, box=places[1]),
            Button("hand-in", "Hand in (H)", self.hand_in, box=places[0]),
        ]

    def _rows(self) -> list[Row]:
        rows = []
        for i, name in enumerate(self.work.taken):
            heap = self.work.heaps()[name]
            said = self.work.said.get(name)
            right = said.kind if said else "…" if any(self.draft.get(name, [])) else ""
            rows.append(Row(name, f"Heap {i + 1}", place_word(self.work, heap.place), right))
        return rows

    def _pick(self, name: str) -> None:
        self.at = name

    def _said(self, i: int) -> str:
        return self.draft.get(self.at, ["", "", ""])[i]

    def _say(self, i: int, value: str) -> None:
        draft = self.draft.setdefault(self.at, ["", "", ""])
        draft[i] = value
        kind, amount, action = draft
        if kind and amount and action:
            self.work.judge(self.at, Judgement(kind, amount, action))  # type: ignore[arg-type]

    def _facts(self) -> str:
        heap = self.heap()
        return self.looking.facts(heap) if heap else "No heap was taken up."

    # --- acts --------------------------------------------------------------------------------------

    def acts(self) -> dict[str, Act]:
        """Keys."""
        return {
            "s": self.toggle_sheet,
            "b": self.back,
            "h": self.hand_in,
            "m": self._magnet,
            "n": self._needle,
        }

    def toggle_sheet(self) -> None:
        """Show or hide the sheet."""
        self.sheet_shown = not self.sheet_shown

    def _magnet(self) -> None:
        self.looking.tried.setdefault(self.at, set()).add("magnet")

    def _needle(self) -> None:
        self.looking.tried.setdefault(self.at, set()).add("needle")

    def hand_in(self) -> None:
        """Hand in; half-made judgements are named first."""
        open_ = len(self.work.taken) - len(self.work.said)
        if open_ and not self.notice_bad:
            self.tell(
                f"{open_} heap{'s are' if open_ > 1 else ' is'} not judged. Once more: hand in all the same.",
                True,
            )
            return
        self.done = self.leave = True

    def handle(self, event: pygame.event.Event) -> None:
        """A warning about open heaps holds until another key than hand-in."""
        if (
            event.type == pygame.KEYDOWN
            and getattr(event, "unicode", "").lower() != "h"
            and event.key not in (pygame.K_RETURN, pygame.K_KP_ENTER)
        ):
            self.notice_bad = False
        super().handle(event)

    # --- picture -----------------------------------------------------------------------------------

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The heap on a dish, large."""
        box = self.boxes_of(canvas, body)["picture"]
        bench(canvas.surface, box, canvas.theme.name, canvas.scale)
        size = min(box.w, box.h) - canvas.dp(60)
        plate = pygame.Rect(0, 0, size, size)
        plate.center = box.center
        dish(canvas.surface, plate, canvas.theme.name, canvas.scale)
        heap = self.heap()
        if heap is not None:
            draw_heap(canvas, plate, heap)


def draw_heap(canvas: Canvas, plate: pygame.Rect, heap: Heap) -> None:
    """A heap spread on a dish at a size at which its pieces can be told, with a bar of 1 mm."""
    r = plate.w * 0.40
    if heap.film_kg > 0:
        _smear(canvas, plate, heap.code if heap.code in ("D10", "D11", "D16") else "D1", r)
    longest = max(heap.longest_m, 4e-4)
    px_m = min(r * 0.42 / longest, 60.0 * canvas.scale * 1e3)
    shown = heap.pieces[:44]
    for i, piece in enumerate(shown):
        far, turn = r * np.sqrt(i / max(len(shown), 1)) * 0.92, 2.4 * i
        at = (plate.centerx + far * np.cos(turn), plate.centery + far * np.sin(turn))
        draw_piece_at(canvas.surface, piece.code, at, piece.size_m * px_m, piece.turn, i)
    if heap.pieces:
        long, y = round(1e-3 * px_m), plate.bottom - round(plate.h * 0.09)
        ends = (plate.centerx - long // 2, y), (plate.centerx + long // 2, y)
        pygame.draw.line(canvas.surface, (20, 22, 26), *ends, canvas.dp(4))
        tag = pygame.Rect(0, 0, canvas.tp(90), canvas.tp(32))
        tag.midtop = (plate.centerx, y + canvas.dp(4))
        canvas.panel(tag, "sheet", "edge", 8, 1)
        canvas.text("1 mm", tag, align="centre")


def _smear(canvas: Canvas, plate: pygame.Rect, code: str, r: float) -> None:
    """Paste wiped onto the dish: thin at its ends, with grains in it."""
    random, colour = np.random.default_rng(5), look("film", code)
    for _ in range(2600):
        along = float(np.clip(random.normal(0.0, 0.42), -1.0, 1.0))
        off = random.normal(0.0, 0.11 * (1.15 - abs(along)))
        x = plate.centerx + along * r * 0.9
        y = plate.centery + r * (0.22 * np.sin(2.6 * along) + off)
        shade = mixed(colour, (150, 154, 158), float(random.uniform(0.0, 0.3)))
        pygame.draw.circle(canvas.surface, shade, (x, y), r * random.uniform(0.006, 0.026))
