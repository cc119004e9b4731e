"""Which results files make the class: those of a folder, with the paper and its pass-phrase where needed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.units import counted

LABELS = (("folder", "Folder"), ("paper", "Paper"), ("phrase", "Pass-phrase"))
NOTES = (
    "Type the folder and press Enter, or drop it here. The paper is needed to mark files that are "
    "not marked yet, and for the use of the choices; the pass-phrase of your own key only where the paper is "
    "sealed. Marks that another computer gave an exam are not read."
)


@dataclass(frozen=True)
class ResultRow:
    """One results file."""

    path: Path
    nickname: str
    paper: str
    marked: bool


Look = Callable[[Path], Sequence[ResultRow]]


class ResultsPage(Page):
    """A list to tick and three lines; `wanted` is "mark" or "figures" once it is left for one of them."""

    def __init__(self, desk: ViewOptions, folder: str, paper: str, look: Look) -> None:
        super().__init__(desk)
        self.texts = {"folder": folder, "paper": paper, "phrase": ""}
        self.look = look
        self.rows: list[ResultRow] = []
        self.ticked: set[str] = set()
        self.wanted = ""
        self._looked()

    @property
    def title(self) -> str:
        """Heading."""
        return "Class results"

    @property
    def aside(self) -> str:
        """How many are ticked."""
        return f"{len(self.ticked)} of {counted(len(self.rows), 'file')}"

    @property
    def chosen(self) -> list[ResultRow]:
        """The ticked files."""
        return [row for row in self.rows if str(row.path) in self.ticked]

    def first(self) -> str | None:
        """What comes next: the folder, the marks, or the figures."""
        if not self.rows:
            return "folder"
        return "figures" if all(row.marked for row in self.chosen) else "mark"

    def stamp(self) -> tuple[object, ...]:
        """The files."""
        return (tuple(self.rows),)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Files on the left; lines and buttons on the right."""
        gap, h = canvas.dp(18), canvas.tp(58)
        w = body.w * 50 // 100
        left = pygame.Rect(body.x, body.y, w, body.h)
        x = left.right + canvas.dp(44)
        indent = max(canvas.measure(label)[0] for _, label in LABELS) + canvas.dp(18)
        found: list[Widget] = [ListBox("files", "", self._listed, self._tick, box=left, row_h=canvas.tp(96))]
        for i, (name, _) in enumerate(LABELS):
            box = pygame.Rect(x + indent, body.y + i * (h + gap), body.right - x - indent, h)
            get, send = partial(self.texts.__getitem__, name), partial(self.texts.__setitem__, name)
            found.append(LineEntry(name, "", get, send, self._looked, name == "phrase", most=1000, box=box))
        y = body.y + len(LABELS) * (h + gap)
        for name, words in (("mark", "Mark the ticked files"), ("figures", "Show the figures (G)")):
            box = pygame.Rect(x, y, body.right - x, h)
            found.append(Button(name, words, partial(self._go, name), box=box))
            y += h + gap
        return found

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """Labels, and what is needed for what."""
        boxes = {w.name: w.box for w in self.form.widgets}
        x = boxes["figures"].x
        for name, label in LABELS:
            place = pygame.Rect(x, boxes[name].y, boxes[name].x - x, boxes[name].h)
            canvas.text(label, place, colour="soft")
        top = boxes["figures"].bottom + canvas.dp(16)
        place = pygame.Rect(x, top, body.right - x, body.bottom - top)
        if canvas.measure(NOTES, wrap=place.w)[1] <= place.h:
            canvas.text(NOTES, place, valign="top", wrap=True, colour="soft")
        if not self.rows:
            canvas.text("No results files in this folder.", boxes["files"], valign="top", colour="soft")

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("Enter", "tick a file"),
            Binding("G", "figures of the ticked files", {"g": partial(self._go, "figures")}),
        )

    def dropped(self, file: str) -> None:
        """A folder of results, or the paper."""
        if Path(file).is_dir():
            self.texts["folder"] = file
            self._looked()
        else:
            self.texts["paper"] = file

    def _listed(self) -> list[Row]:
        return [
            Row(
                str(row.path),
                row.nickname,
                f"{row.paper}: {row.path.name}",
                "marked" if row.marked else "not marked yet",
                str(row.path) in self.ticked,
            )
            for row in self.rows
        ]

    def _tick(self, word: str) -> None:
        self.ticked ^= {word}

    def _looked(self) -> None:
        """Look into the folder; what is marked is ticked, or all where nothing is."""
        self.rows = list(self.look(Path(self.texts["folder"]).expanduser()))
        marked = [row for row in self.rows if row.marked] or self.rows
        self.ticked = {str(row.path) for row in marked}

    def _go(self, wanted: str) -> None:
        if not self.chosen:
            self.tell("Tick at least one file.", bad=True)
        elif wanted == "mark" and not Path(self.texts["paper"]).expanduser().is_file():
            self.form.focus_on("paper")
            self.tell("To mark, type where the paper lies.", bad=True)
        elif wanted == "figures" and not all(row.marked for row in self.chosen):
            self.form.focus_on("mark")
            self.tell("Some ticked files are not marked yet: mark them first.", bad=True)
        else:
            self.wanted, self.leave = wanted, True
