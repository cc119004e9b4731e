"""The record of a job, written field by field on its sheet, to be held against the machine."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.bench.bench_top import bench
from glasscan.workshop.procedures.job import Job, JobCard
from glasscan.workshop.typed_record import RecordField, due_fields

BLANK = "not filled in"


class RecordPage(Page):
    """`chosen` is the record as written, by field; None where it was left without writing."""

    def __init__(self, desk: ViewOptions, job: Job, card: JobCard) -> None:
        super().__init__(desk)
        self.job, self.card = job, card
        self.machine = job.outcome().machine
        self.fields = due_fields(self.machine)
        self.entry = dict.fromkeys((f.key for f in self.fields), "")
        self.chosen: dict[str, str] | None = None

    @property
    def title(self) -> str:
        return "The record"

    def first(self) -> str | None:
        return self.fields[0].key

    def boxes_of(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        """The sheet on the left with a row for each field; words and the way on at the right."""
        sheet = pygame.Rect(body.x, body.y, round(body.w * 0.64), body.h)
        x, foot_h = sheet.right + canvas.dp(28), canvas.tp(64)
        right = pygame.Rect(x, body.y, body.right - x, body.h)
        foot = pygame.Rect(x, body.bottom - foot_h, right.w, foot_h)
        words = pygame.Rect(x, body.y, right.w, foot.y - canvas.dp(20) - body.y)
        return {"sheet": sheet, "words": words, "foot": foot}

    def rows(self, canvas: Canvas, body: pygame.Rect) -> list[tuple[RecordField, pygame.Rect]]:
        """Each field with its row."""
        paper = self.boxes_of(canvas, body)["sheet"].inflate(-canvas.dp(64), -canvas.dp(48))
        step = paper.h // len(self.fields)
        h = min(step - canvas.dp(8), canvas.tp(60))
        return [(f, pygame.Rect(paper.x, paper.y + i * step, paper.w, h)) for i, f in enumerate(self.fields)]

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """A choice for a closed answer, a line for a number or a word."""
        at = self.boxes_of(canvas, body)
        made: list[Widget] = []
        for field, row in self.rows(canvas, body):
            left = row.x + round(row.w * 0.36)
            unit = canvas.measure("N m")[0] + canvas.dp(14)
            box = pygame.Rect(left, row.y, row.right - left - (unit if field.unit else 0), row.h)
            get, send = partial(self.entry.__getitem__, field.key), partial(self._write, field.key)
            if field.options:
                shown = partial(self._shown, field)
                made.append(Choice(field.key, "", tuple(field.options), get, send, shown, box=box))
            else:
                made.append(LineEntry(field.key, "", get, send, most=24, box=box))
        made.append(Button("write", "Sign the record", self.sign, box=at["foot"]))
        return [*made, ScrollText("words", "", self._words, box=at["words"])]

    def bindings(self) -> tuple[Binding, ...]:
        return (Binding("Tab", "the next field"), Binding("←  →", "another answer"))

    def _write(self, key: str, text: str) -> None:
        self.entry[key] = text

    @staticmethod
    def _shown(field: RecordField, word: str) -> str:
        return field.options.get(word, BLANK)

    def sign(self) -> None:
        """Write it as it stands; a number that is none is sent back."""
        for field in self.fields:
            text = self.entry[field.key].strip().replace(",", ".")
            if field.unit and text:
                try:
                    good = 0.0 <= float(text) <= 1e5
                except ValueError:
                    good = False
                if not good:
                    self.tell(f"{field.title}: a number in {field.unit} is expected.", True)
                    return
                self.entry[field.key] = text
        self.chosen = {key: text.strip() for key, text in self.entry.items()}
        self.leave = True

    def _words(self) -> str:
        what = self.machine.what
        lines = [
            self.card.text,
            f"Hour meter: {what.meter_h:,.1f} h.",
            f"On the box of the new part: {what.part_no} (invented).",
            "Write what was done. What was not done is written as not done. A blank is a gap; an untrue line "
            "holds the release.",
        ]
        return "\n\n".join(lines)

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        sheet = self.boxes_of(canvas, body)["sheet"]
        bench(canvas.surface, sheet, canvas.theme.name, canvas.scale)
        canvas.panel(sheet.inflate(-canvas.dp(28), -canvas.dp(24)), "sheet", "edge", 6, 2)
        for field, row in self.rows(canvas, body):
            label = pygame.Rect(row.x, row.y, round(row.w * 0.36) - canvas.dp(14), row.h)
            canvas.text(field.title, label, bold=True, wrap=True)
            if field.unit:
                w = canvas.measure("N m")[0] + canvas.dp(14)
                canvas.text(field.unit, pygame.Rect(row.right - w, row.y, w, row.h), align="right")
