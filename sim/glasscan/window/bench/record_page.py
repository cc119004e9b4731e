"""The record of a job, written field by field on its sheet, to be held against the machine."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Row, Text
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.bench.bench_top import bench
from glasscan.workshop.procedures.job import Job, JobCard
from glasscan.workshop.typed_record import RecordField, due_fields

BLANK = "not filled in"


class Sheet(Column):
    """Paper on the bench with rows on it."""

    def place(self, canvas: Canvas, box: pygame.Rect) -> None:
        """The rows keep off the edge of the paper."""
        super().place(canvas, box.inflate(-canvas.dp(64), -canvas.dp(48)))
        self.box = box

    def paint(self, canvas: Canvas) -> None:
        bench(canvas.surface, self.box, canvas.theme.name, canvas.scale)
        canvas.panel(self.box.inflate(-canvas.dp(28), -canvas.dp(24)), "sheet", "edge", 6, 2)
        super().paint(canvas)


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

    def compose(self, canvas: Canvas) -> Node:
        """The sheet with a row for each field and the signature under it; words beside it."""
        del canvas
        sheet = Sheet([self._row(field) for field in self.fields], gap=8, grow=1)
        signed = Item(Button("write", "Sign the record", self.sign), h=64)
        words = Item(ScrollText("words", "", self._words), grow=36)
        return Row([Column([sheet, signed], gap=20, grow=64), words], gap=28)

    def _row(self, field: RecordField) -> Node:
        """A choice for a closed answer, a line for a number or a word, with its unit."""
        get, send = partial(self.entry.__getitem__, field.key), partial(self._write, field.key)
        widget: Widget = LineEntry(field.key, "", get, send, most=24)
        if field.options:
            widget = Choice(field.key, "", tuple(field.options), get, send, partial(self._shown, field))
        title = Text(field.title, bold=True, valign="middle", grow=36)
        unit = [Text(field.unit, valign="middle", grow=8)] if field.unit else []
        return Row([title, Item(widget, grow=64 - 8 * len(unit)), *unit], gap=14, grow=1)

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
