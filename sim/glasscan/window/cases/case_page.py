"""The page of a case: the filter shut, what is known, and what can be done next."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.bindings import Act, Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ListBox
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.cases import tabs
from glasscan.window.cases.case_base_page import CaseBase
from glasscan.window.cases.case_layout import Places, places
from glasscan.window.cases.case_number import draw_number
from glasscan.window.cases.case_session import CaseSession, Pane
from glasscan.window.cases.case_wording import ACTS, KINDS, complaint_words
from glasscan.window.cases.closed_filter import Outside
from glasscan.window.cases.filter_panel import caution, draw_complaint, draw_filter, draw_state, numbers_of
from glasscan.window.cases.finding_rows import known
from glasscan.window.cases.known_rows import KnownRow, Roll
from glasscan.window.contract import Section

PANES: tuple[tuple[Pane, str], ...] = (
    ("tests", "Tests"),
    ("suspects", "Suspects"),
    ("verdict", "Verdict"),
    ("help", "Help"),
)
FIRST: dict[Pane, str] = {"tests": "tests", "suspects": "suspects", "verdict": "verdict", "help": "hint-1"}
BUILD = {
    "tests": tabs.tests_pane,
    "suspects": tabs.suspects_pane,
    "verdict": tabs.verdict_pane,
    "help": tabs.help_pane,
}
WORDS = {"tests": "4", "suspects": "5", "verdict": "6", "help": "7"}
TABS = tuple(f"{WORDS[pane]} {title}" for pane, title in PANES)


class CasePage(CaseBase):
    """One case until its verdict, or until it is left; it is kept on disk all the while.

    Attributes:
        work: what has been done.
        number: the number of the case is shown large.
    """

    def __init__(self, desk: ViewOptions, work: CaseSession, section: Section) -> None:
        super().__init__(desk)
        self.work = work
        self.number = False
        self.outside = Outside(section, work.case.layout == "before")
        self._places: Places | None = None
        self._rows: tuple[object, list[KnownRow]] | None = None
        self._pane: object = None
        self._spots: dict[str, tuple[int, int]] = {}

    # --- what the page says ---------------------------------------------------------------------------

    @property
    def title(self) -> str:
        case = self.work.case
        return f"Case {case.seed}: {KINDS[case.kind].lower()}, regulator {case.layout} the filter"

    @property
    def figure(self) -> tuple[str, str]:
        return f"{self.work.case.cost_min:g}", "min spent"

    def stamp(self) -> tuple[object, ...]:
        work = self.work
        return work.pane, work.pending, len(work.case.entries), self.desk.units_index

    def first(self) -> str | None:
        """The list of what lies open."""
        return FIRST[self.work.pane]

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding(
                "1  2  3",
                "start, stop, let out",
                {str(i): partial(self._act, word) for i, (word, _, _) in enumerate(ACTS, 1)},
            ),
            Binding(
                "4  5  6  7",
                "tests, suspects, verdict, help",
                {WORDS[pane]: partial(self.open, pane) for pane, _ in PANES},
            ),
            Binding("Enter", "ask for a test, tick"),
            Binding("G", "order the test asked for", {"g": self._go}),
            Binding("K", "what is known: arrows", {"k": partial(self.form.focus_on, "known")}),
            Binding("N", "the case's number, large", {"n": self._show_number}),
        )

    def open(self, pane: Pane) -> None:
        """Open one of the panes; a test that waits is left."""
        self.work.pending = ""
        self.work.pane = pane
        self._pane = None

    def _go(self) -> None:
        if self.work.pending:
            self._after(self.work.order)

    def _show_number(self) -> None:
        self.number = True

    def _act(self, word: str) -> None:
        self._after(partial(self.work.act, word))

    def _after(self, what: Act) -> None:
        """Do something, tell what came of it, and leave the page where the case is over."""
        what()
        self._look()

    def _look(self) -> None:
        if self.work.notice:
            self.tell(self.work.notice, self.work.refused)
            self.work.notice, self.work.refused = "", False
        self.leave = self.leave or self.work.case.ended is not None

    def update(self, wall_s: float) -> None:
        """Time at the case goes by."""
        super().update(wall_s)
        self.work.case.spent_s += wall_s

    def back(self) -> None:
        """Escape: first leave a test that waits, then the case, which is kept."""
        if self.work.pending:
            self.work.drop()
        else:
            self.work.leave()
            self.leave = True

    def handle(self, event: pygame.event.Event) -> None:
        """One event; the large number closes with any key."""
        if self.number and event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN):
            self.number = False
            return
        super().handle(event)
        self._look()

    # --- widgets --------------------------------------------------------------------------------------

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Pane first, then tabs, acts and what is known."""
        work = self.work
        cautions = [text for _, _, text in ACTS]
        at = self._places = places(canvas, body, complaint_words(work.case), cautions, TABS)
        found = BUILD[work.pane](work, canvas, at.pane)
        tabs = [
            Button(f"tab-{pane}", title, partial(self.open, pane), partial(self._is, pane), box=box)
            for (pane, _), title, box in zip(PANES, TABS, at.tabs, strict=True)
        ]
        acts = [
            Button(f"act-{word}", f"{i} {title}", partial(self._act, word), box=box)
            for i, ((word, title, _), box) in enumerate(zip(ACTS, at.acts, strict=True), 1)
        ]
        self._carry_over(found)
        return [*found, *tabs, *acts, Roll("known", "What is known", self.rows, box=at.known)]

    def _carry_over(self, found: list[Widget]) -> None:
        """Lists that are made anew stay where they were; a pane that opens takes the focus."""
        self._spots |= {w.name: (w.at, w.first) for w in self.form.widgets if isinstance(w, ListBox)}
        for widget in found:
            if isinstance(widget, ListBox) and widget.name in self._spots:
                widget.at, widget.first = self._spots[widget.name]
        key = (self.work.pane, self.work.pending)
        if key != self._pane:
            self._pane = key
            self.form.focus_on(None)

    def _is(self, pane: Pane) -> bool:
        return self.work.pane == pane

    def rows(self) -> list[KnownRow]:
        """What is known, made anew when something is added."""
        key = (len(self.work.case.entries), self.desk.units_index)
        if self._rows is None or self._rows[0] != key:
            self._rows = (
                key,
                known(self.work.case, self.desk.units, numbers_of(self.work.case, self.outside)),
            )
        return self._rows[1]

    # --- picture --------------------------------------------------------------------------------------

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """Filter, state, caution, complaint, and what the open pane says."""
        del body
        at, work = self._places, self.work
        if at is None:
            return
        case = work.case
        draw_filter(canvas, at.picture, case, self.outside)
        draw_state(canvas, at.state, case)
        focused = self.form.focused.name if self.form.focused is not None else ""
        canvas.text(caution(case, focused), at.caution, wrap=True, valign="top", colour="soft")
        draw_complaint(canvas, at.complaint, case)
        self._pane_words(canvas, at.pane)

    def _pane_words(self, canvas: Canvas, box: pygame.Rect) -> None:
        work = self.work
        if work.pane == "tests":
            marked = next(
                (w.marked() for w in self.form.widgets if isinstance(w, ListBox) and w.name == "tests"), None
            )
            if marked is not None:
                tabs.paint_test(work, canvas, box, marked.word)
        elif work.pane == "suspects":
            words = tabs.suspects_words(work)
            head, _, _ = tabs.split(canvas, box, words)
            canvas.text(
                words, head, wrap=True, bold=True, valign="top", colour="accent" if work.pending else "ink"
            )
        elif work.pane == "verdict":
            place = tabs.verdict_boxes(canvas, box)[2]
            canvas.text("Entry for the log", place, colour="soft")

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame; the number of the case lies on top where it was asked for."""
        canvas = super().draw(surface, drawn_s)
        if self.number and not self.desk.help:
            draw_number(canvas, self.work.case)
        return canvas
