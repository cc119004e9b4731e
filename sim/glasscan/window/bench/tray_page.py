"""The white tray: each heap gets a kind, an amount against the sheet, and an action."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.bench.bench_texts import CODES, manual_text, title_of
from glasscan.window.bench.bench_tools import Looking, place_word
from glasscan.window.bench.bench_top import bench, dish
from glasscan.window.bench.debris_grid import KindGrid
from glasscan.window.bench.heap_drawing import draw_heap
from glasscan.workshop.inspection.heaps import Heap
from glasscan.workshop.inspection.inspection_data import manual
from glasscan.workshop.inspection.judgement import ACTIONS, AMOUNTS, Judgement

AMOUNT_WORDS = {
    "": "amount?",
    "within": "within the limit of the sheet",
    "above": "above the limit of the sheet",
}
KINDS = tuple(c for c in CODES if c.startswith("D"))


class TrayPage(Page):
    """Judge heap by heap; `done` hands the work in."""

    title = "On the tray: what is it, how much, what now?"

    def __init__(self, desk: ViewOptions, looking: Looking) -> None:
        super().__init__(desk)
        self.looking, self.work = looking, looking.work
        self.at = self.work.taken[0] if self.work.taken else ""
        self.draft: dict[str, list[str]] = {}
        for name, said in self.work.said.items():
            self.draft[name] = [said.kind, said.amount, said.action]
        self.sheet_shown = self.kinds_shown = self.done = False

    @property
    def aside(self) -> str:
        return f"{len(self.work.said)} of {len(self.work.taken)} judged"

    def stamp(self) -> tuple[object, ...]:
        """Made anew when the sheet comes or goes."""
        return (self.sheet_shown, self.kinds_shown, bool(self.work.taken))

    def first(self) -> str | None:
        """The kinds where they are shown, else the heaps."""
        if self.kinds_shown:
            return "kinds"
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
        kinds = middle.union(right)
        return {"heaps": left, "picture": middle, "answers": right, "kinds": kinds, "foot": foot}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        at = self.boxes_of(canvas, body)
        rows = ListBox("heaps", "", self._rows, self._pick, self._pick, box=at["heaps"], row_h=canvas.tp(88))
        widgets: list[Widget] = [rows]
        if self.kinds_shown:
            said = self._said(0)
            place = KINDS.index(said) if said in KINDS else 0
            grid = KindGrid("kinds", "", KINDS, partial(self._said, 0), self._name, box=at["kinds"], at=place)
            widgets.append(grid)
        elif self.sheet_shown:
            widgets.append(ScrollText("sheet", "", manual_text, box=at["answers"]))
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
        return [*made, ScrollText("facts", "", self._facts, box=facts)]

    def _foot(self, canvas: Canvas, foot: pygame.Rect) -> list[Widget]:
        gap = canvas.dp(14)
        wide = min(canvas.tp(300), (foot.w - 3 * gap) // 4)
        places = [pygame.Rect(foot.right - (k + 1) * wide - k * gap, foot.y, wide, foot.h) for k in range(4)]
        return [
            Button(
                "kinds-button", "All kinds (K)", self.toggle_kinds, lambda: self.kinds_shown, box=places[3]
            ),
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
            rows.append(Row(name, f"Pile {i + 1}", place_word(self.work, heap.place), right))
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
        return self.looking.facts(heap) if heap else "You took up nothing."

    # --- acts --------------------------------------------------------------------------------------

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("↑  ↓", "another pile"),
            Binding("←  →", "another answer"),
            Binding("M", "magnet over the pile", {"m": self._magnet}),
            Binding("N", "needle on the pile", {"n": self._needle}),
            Binding("K", "all kinds side by side", {"k": self.toggle_kinds}),
            Binding("S", "the example sheet", {"s": self.toggle_sheet}),
            Binding("B", "back to the bench", {"b": self.back}),
            Binding("H", "hand in", {"h": self.hand_in}),
        )

    def toggle_sheet(self) -> None:
        """Show or hide the sheet."""
        self.sheet_shown, self.kinds_shown = not self.sheet_shown, False

    def toggle_kinds(self) -> None:
        """Show or hide all kinds side by side."""
        self.kinds_shown, self.sheet_shown = not self.kinds_shown and bool(self.work.taken), False
        self.form.focus_on(None)  # the grid, or what comes in its place, takes the focus

    def _name(self, kind: str) -> None:
        """A kind picked from the grid names the heap; the answers come back."""
        self._say(0, kind)
        self.toggle_kinds()

    def _magnet(self) -> None:
        self.looking.tried.setdefault(self.at, set()).add("magnet")

    def _needle(self) -> None:
        self.looking.tried.setdefault(self.at, set()).add("needle")

    def hand_in(self) -> None:
        """Hand in; half-made judgements are named first."""
        open_ = len(self.work.taken) - len(self.work.said)
        if open_ and not self.notice_bad:
            self.tell(
                f"{open_} pile{'s are' if open_ > 1 else ' is'} not judged. Once more: hand in all the same.",
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
        if self.kinds_shown:
            return
        box = self.boxes_of(canvas, body)["picture"]
        bench(canvas.surface, box, canvas.theme.name, canvas.scale)
        size = min(box.w, box.h) - canvas.dp(60)
        plate = pygame.Rect(0, 0, size, size)
        plate.center = box.center
        dish(canvas.surface, plate, canvas.theme.name, canvas.scale)
        heap = self.heap()
        if heap is not None:
            draw_heap(canvas, plate, heap)
