"""Which paper to sit: those at hand, the newest first, or a file by its path."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from glasscan.ui import layout
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Text
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button

EMPTY = (
    "No paper here yet. Make one to rehearse; or type where the file from your instructor lies and "
    "press Enter, or drop the file here."
)


@dataclass(frozen=True)
class Found:
    """One paper at hand: its file, words, and how far it is."""

    path: Path
    title: str
    about: str
    state: str = ""


class PapersPage(Page):
    """Lists papers; `chosen` is the file to sit, `make` asks for a new paper."""

    def __init__(self, desk: ViewOptions, who: str, found: Sequence[Found]) -> None:
        super().__init__(desk)
        self.who, self.found = who, list(found)
        self.path = ""
        self.chosen: Path | None = None
        self.make = self.other = False

    @property
    def title(self) -> str:
        """Heading."""
        return "Sit a paper"

    @property
    def aside(self) -> str:
        """Who sits it."""
        return self.who

    def first(self) -> str | None:
        """The list, or the way to a paper."""
        return "papers" if self.found else "make"

    def compose(self, canvas: Canvas) -> Node:
        """Papers, or what to do where there is none; path, make."""
        path = LineEntry("path", "File", lambda: self.path, self._type, self._typed, most=1000)
        make = Button("make", "Make a paper (M)", self._make)
        foot = layout.Row([Item(path, grow=1, h=60), Item(make, w=330, h=60)], gap=18)
        if not self.found:
            return Column([Text(EMPTY, colour="soft"), foot], gap=18)
        rows = [Row(str(f.path), f.title, f.about, f.state) for f in self.found]
        papers = ListBox("papers", "", lambda: rows, self._choose, row_h=canvas.tp(104))
        return Column([Item(papers, grow=1), foot], gap=18)

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("M", "make a paper", {"m": self._make}),
            Binding("N", "another nickname", {"n": self._other}),
        )

    def _type(self, text: str) -> None:
        self.path = text

    def dropped(self, file: str) -> None:
        """The paper to sit."""
        self.path = file
        self._typed()

    def _typed(self) -> None:
        path = Path(self.path.strip()).expanduser()
        if not self.path.strip():
            self.tell("Type where the paper lies, or make one.", bad=True)
            return
        if not path.is_file():
            self.tell(f"There is no file '{self.path.strip()}'.", bad=True)
            return
        self.chosen, self.leave = path, True

    def _choose(self, word: str) -> None:
        self.chosen, self.leave = Path(word), True

    def _make(self) -> None:
        self.make = self.leave = True

    def _other(self) -> None:
        self.other = self.leave = True
