"""After the verdict: fault, score, both paths, belief, look-alikes, the same run, and again from a moment."""

from __future__ import annotations

from functools import partial
from typing import Literal

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import UnitSystem
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.cases.case_base_page import CaseBase
from glasscan.window.cases.case_layout import in_row, tab_boxes
from glasscan.window.cases.case_results import NOWHERE, Entered
from glasscan.window.cases.closed_filter import Outside
from glasscan.window.cases.debrief_charts import draw_beliefs, draw_ghost
from glasscan.window.cases.debrief_data import (
    DebriefData,
    entry_words,
    verdict_words,
    wrong_turns,
)
from glasscan.window.cases.fault_card_rows import card_rows
from glasscan.window.cases.fault_locations import where
from glasscan.window.cases.known_rows import KnownRow, Note, Roll
from glasscan.window.cases.path_rows import alike_rows, path_rows, remark_rows, score_rows
from glasscan.window.cases.repaired_run import Mending
from glasscan.window.contract import Section

Tab = Literal["fault", "score", "path", "belief", "alike", "run", "again"]
TABS: tuple[tuple[Tab, str], ...] = (
    ("fault", "1 The fault"),
    ("score", "2 Score"),
    ("path", "3 Paths"),
    ("belief", "4 Belief"),
    ("alike", "5 Look-alikes"),
    ("run", "6 Same run"),
    ("again", "7 Again"),
)
FIRST: dict[Tab, str] = {
    "fault": "card", "score": "score", "path": "own", "alike": "alike", "run": "moment", "again": "again",
}  # fmt: skip
AGAIN = (
    "Choose a line of your record and go on from just before it, on a copy. What you did up to there stays; "
    "readings are the same whenever a test is ordered. You know the fault now: see how soon the readings "
    "could have told it."
)
MEND = ("moment", "mend")
ENTER = "E  Enter it in the results"
Wanted = Literal["", "cold", "hot", "again", "another", "enter", "mend"]
WAYS: tuple[tuple[Wanted, str], ...] = (
    ("cold", "W  Watch it cold"),
    ("hot", "H  Watch it hot"),
    ("another", "A  Another case"),
)


class DebriefPage(CaseBase):
    """All that is told once a case is over.

    Attributes:
        wanted: what comes next: the rig running, the case again from an entry, another case, or the way back.
        entry: place in the record to go on from, where wanted is "again".
        name: of the file the case is kept in.
        entered: whose results it stands in, or why it does not.
    """

    def __init__(
        self,
        desk: ViewOptions,
        told: DebriefData,
        section: Section,
        name: str = "",
        entered: Entered = NOWHERE,
    ) -> None:
        super().__init__(desk)
        self.told, self.name, self.entered = told, name, entered
        self.tab: Tab = "fault"
        self.wanted: Wanted = ""
        self.entry = 0
        self.mending = Mending()
        self.outside = Outside(section, told.case.layout == "before")
        self._body = pygame.Rect(0, 0, 0, 0)

    @property
    def title(self) -> str:
        return f"It was {self.told.debrief.fault}: {self.told.debrief.title}"

    @property
    def figure(self) -> tuple[str, str]:
        return f"{100 * self.told.debrief.review.score.score:.0f}", "of 100"

    def stamp(self) -> tuple[object, ...]:
        return self.tab, self.desk.units_index, self.entered

    def first(self) -> str | None:
        """The part that can be moved, else its tab."""
        return FIRST.get(self.tab, f"tab-{self.tab}")

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding(
                "1 … 7",
                "the parts of the review",
                {str(i): partial(self.open, tab) for i, (tab, _) in enumerate(TABS, 1)},
            ),
            Binding(
                "W  H  A",
                "watch it cold, watch it hot, another case",
                {title[0].lower(): partial(self._want, wanted) for wanted, title in WAYS},
            ),
            Binding("E", "enter it in the results", {"e": self.enter}),
            Binding("G", "the same run, mended at a moment", {"g": self.mend}),
        )

    def mend(self) -> None:
        """Ask for the same run with the fault taken away at the moment chosen."""
        if self.tab != "run":
            self.open("run")
        elif self.mending.wanted_s != self.mending.shown_s:
            self._want("mend")
        else:
            self.tell("That is the run shown: choose another moment with the arrows.")

    def enter(self) -> None:
        """Ask for the case to be entered in somebody's results, where it is not."""
        if self.entered.open:
            self._want("enter")
        else:
            self.tell(self.entered.words)

    def open(self, tab: Tab) -> None:
        """Show one of the parts."""
        self.tab = tab
        self.form.focus_on(None)

    def again(self, place: str) -> None:
        """Go on from just before an entry of the record."""
        self.entry = int(place)
        self._want("again")

    def _want(self, wanted: Wanted) -> None:
        self.wanted, self.leave = wanted, True

    def _is(self, tab: Tab) -> bool:
        return self.tab == tab

    # --- widgets --------------------------------------------------------------------------------------

    def _boxes(self, canvas: Canvas, body: pygame.Rect) -> tuple[pygame.Rect, list[pygame.Rect], pygame.Rect]:
        """The verdict's line, the tabs, and the room under them."""
        line = pygame.Rect(body.x, body.y, body.w, canvas.tp(60))
        row = pygame.Rect(body.x, line.bottom + canvas.dp(14), body.w, body.h)
        tabs = list(tab_boxes(canvas, row, [title for _, title in TABS]))
        y = tabs[-1].bottom + canvas.dp(18)
        return line, tabs, pygame.Rect(body.x, y, body.w, body.bottom - y)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """What the open part has, the tabs, and the ways on."""
        line, boxes, room = self._boxes(canvas, body)
        self._body = room
        tabs = [
            Button(f"tab-{tab}", title, partial(self.open, tab), partial(self._is, tab), box=box)
            for (tab, title), box in zip(TABS, boxes, strict=True)
        ]
        return [*self._part(canvas, room), *tabs, *self._ways(canvas, line)]

    def _ways(self, canvas: Canvas, line: pygame.Rect) -> list[Widget]:
        found: list[Widget] = []
        right = line.right
        for name, title in reversed(WAYS):
            box = pygame.Rect(0, line.y, canvas.measure(title)[0] + canvas.dp(40), line.h)
            box.right = right
            right = box.x - canvas.dp(14)
            found.append(Button(name, title, partial(self._want, name), box=box))
        return found[::-1]

    def _part(self, canvas: Canvas, room: pygame.Rect) -> list[Widget]:
        left, right = in_row(room, 2, canvas.dp(24))
        told = self.told
        if self.tab == "fault":
            return [Roll("card", "The fault", self._card, box=_wide_left(canvas, room)[0])]
        if self.tab == "score":
            foot = pygame.Rect(left.x, left.bottom - canvas.tp(60), left.w, canvas.tp(60))
            if self.entered.open:
                left.h -= foot.h + canvas.dp(16)
            button = Button("enter", ENTER, self.enter, box=foot)
            return [
                Roll("score", "Score", self._score, box=left),
                Roll("remarks", "Remarks", partial(remark_rows, told), box=right),
                *([button] if self.entered.open else []),
            ]
        if self.tab == "path":
            return [
                Roll("own", "Your path", partial(path_rows, told, True, self._units), box=left),
                Roll("reference", "Reference path", partial(path_rows, told, False, self._units), box=right),
            ]
        if self.tab == "run":
            return self.mending.widgets(canvas, self._foot(canvas, room), self.mend)
        if self.tab == "alike":
            return [
                Roll("alike", "Look-alikes", partial(alike_rows, told.debrief.fault, told.alike), box=room)
            ]
        if self.tab == "again":
            box = pygame.Rect(left.x, left.y, left.w - canvas.dp(14), left.h)
            rows = self._entries()
            at = next((i for i, row in enumerate(rows) if row.right), 0)
            return [
                ListBox(
                    "again", "Again from", self._entries, self.again, box=box, row_h=canvas.tp(76), at=at
                ),
                ScrollText("why", "", self._why, box=right),
            ]
        return []

    def _units(self) -> UnitSystem:
        return self.desk.units

    def _entries(self) -> list[Row]:
        case = self.told.case
        rows = [(i, e) for i, e in enumerate(case.entries) if e.what not in ("action", "log")]
        turns = wrong_turns(self.told)
        return [
            Row(str(i), f"{k}  {entry_words(case, e)}", right=turns.get(i, ""))
            for k, (i, e) in enumerate(rows, 1)
        ]

    def _why(self) -> str:
        """What going on again means, and what there is to do better."""
        return "\n\n".join([AGAIN, *self.told.debrief.remarks])

    def _score(self) -> list[KnownRow]:
        return [*score_rows(self.told), Note(self.entered.words, "soft")]

    def _card(self) -> list[KnownRow]:
        return card_rows(self.told, self.desk.units, self.name)

    # --- picture --------------------------------------------------------------------------------------

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The verdict's line, and charts where the open part has some."""
        line, _, _ = self._boxes(canvas, body)
        words, colour = verdict_words(self.told)
        end = min((w.box.x for w in self.form.widgets if w.name in dict(WAYS)), default=line.right)
        place = pygame.Rect(line.x, line.y, end - canvas.dp(20) - line.x, line.h)
        fits = canvas.measure(words, "title", True)[0] <= place.w
        canvas.text(words, place, role="title" if fits else "body", bold=True, colour=colour, wrap=not fits)
        left, right = in_row(self._body, 2, canvas.dp(24))
        if self.tab == "belief":
            told = self.told.debrief
            draw_beliefs(canvas, left, "Your path", told.own_curve, told)
            draw_beliefs(canvas, right, "Reference path", told.reference_curve, told)
        elif self.tab == "run":
            self._runs(canvas)
        elif self.tab == "fault":
            box = _wide_left(canvas, self._body)[1]
            canvas.panel(box, "sheet", None, 12)
            inner = box.inflate(-canvas.dp(60), -canvas.dp(40))
            words, keys = where(self.told.ill, self.outside.section)
            high = canvas.measure(words, bold=True, wrap=inner.w)[1]
            foot = pygame.Rect(inner.x, inner.bottom - high, inner.w, high)
            canvas.text(words, foot, wrap=True, align="centre", bold=True, colour="accent")
            inner.h -= high + canvas.dp(12)
            self.outside.draw(canvas, inner, True, False)
            self.outside.mark(canvas, inner, keys)

    def _foot(self, canvas: Canvas, room: pygame.Rect) -> pygame.Rect:
        """Row under the runs."""
        return pygame.Rect(room.x, room.bottom - canvas.tp(52), room.w, canvas.tp(52))

    def _runs(self, canvas: Canvas) -> None:
        foot, box = self._foot(canvas, self._body), self._body.copy()
        line, left = canvas.measure("Ag")[1], min(w.box.x for w in self.form.widgets if w.name in MEND)
        beside = foot.x + self.mending.width(canvas) <= left
        key = foot if beside else pygame.Rect(box.x, foot.y - canvas.dp(8) - line, box.w, line)
        box.h = key.y - canvas.dp(10) - box.y
        places = in_row(box, 2, canvas.dp(24))
        for place, (morning, ghost) in zip(places, self.told.runs, strict=True):
            draw_ghost(canvas, place, morning.title, ghost, self.desk.units)
        self.mending.draw(canvas, key)


def _wide_left(canvas: Canvas, room: pygame.Rect) -> tuple[pygame.Rect, pygame.Rect]:
    """Two thirds for words, the rest for the picture."""
    gap = canvas.dp(24)
    left = pygame.Rect(room.x, room.y, round(room.w * 0.64), room.h)
    return left, pygame.Rect(left.right + gap, room.y, room.right - left.right - gap, room.h)
