"""The bench with the opened filter: look, turn over, magnet, needle, patch, and take up what is found."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Literal

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.bench.bench_drawing import draw_lens, draw_patch, draw_top, patch_text
from glasscan.window.bench.bench_ground import Window, window_for
from glasscan.window.bench.bench_layout import bench_boxes
from glasscan.window.bench.bench_texts import manual_text, record_text, service_time
from glasscan.window.bench.bench_tools import Looking, place_word
from glasscan.window.bench.bench_top import bench
from glasscan.window.bench.lens_pad import LookPad
from glasscan.window.bench.part_sketch import draw_part
from glasscan.window.bench.tool_buttons import ToolButton
from glasscan.workshop.inspection.inspection import Inspection

Aside = Literal["lens", "patch", "sheet", "record"]
PARTS = "parts"


class BenchPage(Page):
    """Everything is here until it is taken to the tray; `done` asks for the tray."""

    def __init__(self, desk: ViewOptions, work: Inspection) -> None:
        super().__init__(desk)
        self.work = work
        self.looking = Looking(work, work.places()[0])
        self.parts = False
        self.beside: Aside = "lens"
        self.judge = self.press = False

    @property
    def title(self) -> str:
        e = self.work.evidence
        return f"On the bench: {e.element.title.split(',')[0].lower()}, {service_time(e.hours)}"

    @property
    def aside(self) -> str:
        n = len(self.work.taken)
        return f"On the tray: {n} pile{'s' if n != 1 else ''}"

    def stamp(self) -> tuple[object, ...]:
        """Another set of widgets beside and for the parts."""
        return (self.parts, self.beside)

    def first(self) -> str | None:
        return PARTS if self.parts else "pad"

    # --- layout ------------------------------------------------------------------------------------

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Picture or parts, tabs, tools, words."""
        at = bench_boxes(canvas, body)
        widgets: list[Widget] = [self._middle(canvas, at["picture"])]
        widgets += self._tabs(canvas, at["tabs"]) + self._tools(canvas, at["tools"])
        words = at["words"] if self.beside in ("lens", "patch") or self.parts else at["column"]
        return [*widgets, ScrollText("words", "", self._words, box=words)]

    def _middle(self, canvas: Canvas, box: pygame.Rect) -> Widget:
        if self.parts:
            inner = box.inflate(-canvas.dp(80), -canvas.dp(60))
            row_h = min(canvas.tp(112), max(inner.h // 3, canvas.tp(70)))
            return ListBox(PARTS, "", self._part_rows, self._tick, box=inner, row_h=row_h)
        take = self.take
        return LookPad("pad", "", self.looking.move, self.looking.jump, self._point, take, box=box)

    def _tabs(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        names = [*self.work.places(), PARTS]
        gap = canvas.dp(10)
        wide = (box.w - gap * (len(names) - 1)) // len(names)
        return [
            Button(
                f"at-{name}", f"{i + 1} {self._tab_word(name)}", partial(self.go, name),
                partial(self._is_at, name),
                box=pygame.Rect(box.x + i * (wide + gap), box.y, wide, box.h),
            )
            for i, name in enumerate(names)
        ]  # fmt: skip

    def _tab_word(self, name: str) -> str:
        short = {"outside": "Outside", "inside": "Inside", "core": "Core", PARTS: "Parts"}
        if name == "cup":
            return place_word(self.work, "cup").capitalize()
        return short[name]

    def _tools(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        tools: tuple[tuple[str, str, str, Callable[[], None]], ...] = (
            ("take", "hand", "Take up", self.take),
            ("magnet", "magnet", "Magnet M", self.magnet),
            ("needle", "needle", "Needle N", self.poke),
            ("ground", "card", "Card G", self.flip),
            ("patch", "patch", "Patch W", partial(self.show, "patch")),
            ("sheet", "sheet", "Sheet S", partial(self.show, "sheet")),
            ("record", "sheet", "Last R", partial(self.show, "record")),
        )
        gap = canvas.dp(10)
        judge_w = canvas.tp(190)
        wide = (box.w - judge_w - gap * len(tools)) // len(tools)
        made: list[Widget] = []
        for i, (name, icon, label, act) in enumerate(tools):
            place = pygame.Rect(box.x + i * (wide + gap), box.y, wide, box.h)
            chosen = (lambda: self.looking.magnet) if name == "magnet" else partial(self._beside_is, name)
            made.append(ToolButton(name, label, act, chosen, icon=icon, box=place))
        last = pygame.Rect(box.right - judge_w, box.y, judge_w, box.h)
        return [*made, Button("judge", "Judge (J)", self.to_tray, box=last)]

    def _beside_is(self, name: str) -> bool:
        return self.beside == name

    def _is_at(self, name: str) -> bool:
        return self.parts if name == PARTS else not self.parts and self.looking.place == name

    # --- acts --------------------------------------------------------------------------------------

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("Arrows", "move the lens; Shift: faster"),
            Binding("Page ↑ ↓", "piece before, piece after"),
            Binding("Enter", "take up all that is like it"),
            Binding(
                "1 … 5",
                "another place; the parts",
                {str(i): partial(self.go, name) for i, name in enumerate((*self.work.places(), PARTS), 1)},
            ),
            Binding("M", "magnet in its bag", {"m": self.magnet}),
            Binding("N", "needle", {"n": self.poke}),
            Binding("G", "white card, black card, none", {"g": self.flip}),
            Binding("W", "wash a patch", {"w": partial(self.show, "patch")}),
            Binding("S", "the example sheet", {"s": partial(self.show, "sheet")}),
            Binding("P", "press the bypass valve", {"p": self.to_valve}),
            Binding("R", "the last record", {"r": partial(self.show, "record")}),
            Binding("J", "to the tray, to judge", {"j": self.to_tray}),
        )

    def to_valve(self) -> None:
        """Press the valve."""
        if self.work.evidence.valve is None:
            self.tell("This filter has no valve that can be pressed.", True)
            return
        self.press = self.leave = True

    def go(self, name: str) -> None:
        """Look at another place, or at the parts."""
        self.parts = name == PARTS
        if not self.parts:
            self.looking.go(name)  # type: ignore[arg-type]
            self.beside = "lens"

    def magnet(self) -> None:
        """Hold the magnet, or put it away."""
        self.looking.hold_magnet()
        n = len(self.looking.on_magnet())
        self.tell(
            f"On the bag: {n} drawn piece{'s' if n != 1 else ''}." if self.looking.magnet else "Put away."
        )

    def poke(self) -> None:
        """Try the needle."""
        self.looking.poke()

    def flip(self) -> None:
        """A white card under what the lens shows, a black one, or none."""
        self.looking.card = {"": "white", "white": "black", "black": ""}[self.looking.card]

    def show(self, what: Aside) -> None:
        """Show something beside the picture; asked for twice, the lens comes back."""
        self.beside = "lens" if self.beside == what else what
        if what == "patch":
            self.work.make_patch()

    def take(self) -> None:
        """Take up what is under the lens."""
        heap = self.looking.take()
        where = place_word(self.work, self.looking.place)
        self.tell(f"Taken from the {where}, all of it." if heap else "Nothing here.", heap is None)

    def to_tray(self) -> None:
        """On to judging."""
        if not self.work.taken and not self.work.bad_parts:
            self.tell("Nothing has been taken up yet: look at every place first.", True)
            return
        self.judge = self.leave = True

    def _point(self, at: tuple[int, int]) -> None:
        if self._window is not None:
            self.looking.put(self._window.metres(at))

    def _part_rows(self) -> list[Row]:
        e, bad = self.work.evidence, self.work.bad_parts
        return [
            Row(part, f"{part.capitalize()}: {text}", "", "not sound" if part in bad else "", part in bad)
            for part, text in e.parts.items()
        ]  # fmt: skip

    def _marked_part(self) -> str:
        """The part that the list points at."""
        listed = next((w for w in self.form.widgets if isinstance(w, ListBox)), None)
        row = listed.marked() if listed is not None else None
        return row.word if row is not None else next(iter(self.work.evidence.parts))

    def _tick(self, part: str) -> None:
        self.work.bad_parts ^= {part}

    # --- picture -----------------------------------------------------------------------------------

    _window: Window | None = None

    def _words(self) -> str:
        if self.parts:
            return (
                "Look at each part, push it and bend it. Enter marks one that is not sound.\n\n"
                "Cut edges pierce skin: wear gloves and eye protection."
            )
        if self.beside == "sheet":
            return manual_text()
        if self.beside == "record":
            return record_text(self.work)
        if self.beside == "patch":
            return patch_text(self.work)
        return self.looking.facts(self.looking.under())

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """Bench, ground, pieces, magnet; the lens beside it."""
        at = bench_boxes(canvas, body)
        bench(canvas.surface, at["picture"], canvas.theme.name, canvas.scale)
        if self.parts:
            marked = self._marked_part()
            e = self.work.evidence
            draw_part(canvas, at["lens"], marked, marked in e.defects, e.valve_open)
            return
        inner = at["picture"].inflate(-canvas.dp(70), -canvas.dp(70))
        window = self._window = window_for(self.looking.ground, inner, self.looking.at[0])
        draw_top(canvas, at["picture"], window, self.looking)
        if self.beside == "lens":
            draw_lens(canvas, at["lens"], self.looking, window.px_m)
        elif self.beside == "patch":
            draw_patch(canvas, at["lens"], self.work)
