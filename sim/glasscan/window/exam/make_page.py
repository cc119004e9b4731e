"""Make a paper: lessons, minutes, rehearsal or sealed; the first sealed one makes the instructor's key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, partial

import pygame

from glasscan.learning.catalogue import load_filter
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.seals.start_word import LEAST_CHARACTERS
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.slider import parse_number
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.units import counted

LONGEST_MIN, LAST_SEED = 1440, 2**31 - 1
LABELS = (
    ("name", "Name"),
    ("seed", "Seed"),
    ("minutes", "Minutes"),
)
KEY_LABELS = (("phrase", "Pass-phrase"), ("again", "Once more"))
REHEARSAL_NOTES = (
    "A rehearsal: the seed draws the values that each lesson lets vary, and whoever sits the paper may have "
    "it marked at once. The same seed gives the same paper."
)
SEALED_NOTES = (
    "A sealed paper: a secret draws its values, a start word opens its questions, and only your own key "
    "opens the answers that are handed in."
)
NEW_KEY = " This is your first one: the pass-phrase locks the key that is made now. Do not lose it."


@dataclass(frozen=True)
class Ordered:
    """What was asked for."""

    name: str
    lessons: tuple[str, ...]
    seed: int
    minutes: float
    sealed: bool = False
    phrase: str = ""


class MakePage(Page):
    """A form; `ordered` is set when it is complete."""

    def __init__(
        self,
        desk: ViewOptions,
        lessons: Mapping[str, Scenario],
        ticked: set[str],
        seed: int,
        has_key: bool = False,
    ) -> None:
        super().__init__(desk)
        self.sealed, self.has_key = False, has_key
        self.lessons, self.ticked = lessons, set(ticked)
        self.texts = {"name": "rehearsal", "seed": str(seed), "minutes": "30", "phrase": "", "again": ""}
        self.ordered: Ordered | None = None

    def bindings(self) -> tuple[Binding, ...]:
        return (Binding("Enter", "tick a lesson"),)

    @property
    def title(self) -> str:
        """Heading."""
        return "Make a paper"

    @property
    def aside(self) -> str:
        """How much is chosen."""
        marks = sum(p.marks for name in self.ticked for p in self.lessons[name].prompts)
        count = sum(p.marks > 0 for name in self.ticked for p in self.lessons[name].prompts)
        return f"{counted(count, 'question')}, {marks:g} {'mark' if marks == 1 else 'marks'}"

    def first(self) -> str | None:
        """The lessons."""
        return "lessons"

    def labels(self) -> tuple[tuple[str, str], ...]:
        """Lines to fill: a new key needs its pass-phrase."""
        lines = tuple(line for line in LABELS if line[0] != "seed" or not self.sealed)
        return lines + (KEY_LABELS if self.sealed and not self.has_key else ())

    def stamp(self) -> tuple[object, ...]:
        """Sealed or not."""
        return (*super().stamp(), self.sealed)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Lessons on the left, the rest on the right."""
        gap, h = canvas.dp(18), canvas.tp(58)
        w = body.w * 52 // 100
        left = pygame.Rect(body.x, body.y, w, body.h)
        x = left.right + canvas.dp(44)
        indent = max(canvas.measure(label)[0] for _, label in LABELS + KEY_LABELS) + canvas.dp(18)
        found: list[Widget] = [
            ListBox("lessons", "", self._rows, self._tick, box=left, row_h=canvas.tp(96)),
        ]
        kind = pygame.Rect(x, body.y, (body.right - x - gap) // 2, h)
        for i, (name, words) in enumerate((("rehearsal", "Rehearsal"), ("sealed", "Sealed"))):
            send, on = partial(self._seal, i == 1), partial(self._is_sealed, i == 1)
            found.append(Button(name, words, send, on, box=kind.move(i * (kind.w + gap), 0)))
        lines = self.labels()
        for i, (name, _) in enumerate(lines, 1):
            box = pygame.Rect(x + indent, body.y + i * (h + gap), body.right - x - indent, h)
            get, send = partial(self.texts.__getitem__, name), partial(self.texts.__setitem__, name)
            hidden = name in ("phrase", "again")
            found.append(LineEntry(name, "", get, send, self._make, hidden, most=200, box=box))
        top = body.y + (1 + len(lines)) * (h + gap)
        found.append(Button("make", "Make it", self._make, box=pygame.Rect(x, top, body.right - x, h)))
        return found

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """What seed and seal do, where there is room."""
        boxes = {w.name: w.box for w in self.form.widgets}
        make = boxes["make"]
        for name, label in self.labels():
            place = pygame.Rect(make.x, boxes[name].y, boxes[name].x - make.x, boxes[name].h)
            canvas.text(label, place, colour="soft")
        top = make.bottom + canvas.dp(18)
        place = pygame.Rect(make.x, top, make.w, body.bottom - top)
        notes = SEALED_NOTES if self.sealed else REHEARSAL_NOTES
        notes += NEW_KEY if self.sealed and not self.has_key else ""
        if canvas.measure(notes, wrap=place.w)[1] <= place.h:
            canvas.text(notes, place, valign="top", wrap=True, colour="soft")

    def _seal(self, sealed: bool) -> None:
        self.sealed = sealed

    def _is_sealed(self, sealed: bool) -> bool:
        return self.sealed == sealed

    def _rows(self) -> list[Row]:
        return [
            Row(name, s.title, _meta(s), f"{sum(p.marks for p in s.prompts):g} marks", name in self.ticked)
            for name, s in self.lessons.items()
        ]

    def _tick(self, name: str) -> None:
        self.ticked ^= {name}

    def _make(self) -> None:
        name, trouble = self._trouble()
        if trouble:
            self.form.focus_on(name)
            self.tell(trouble, bad=True)
            return
        texts = self.texts
        chosen = tuple(name for name in self.lessons if name in self.ticked)
        minutes = parse_number(texts["minutes"]) or 0.0
        name = "-".join("".join(c if c.isalnum() else " " for c in texts["name"].lower()).split())
        self.ordered = Ordered(name, chosen, int(texts["seed"]), minutes, self.sealed, texts["phrase"])
        self.leave = True

    def _trouble(self) -> tuple[str, str]:
        """The line to mend and what is wrong there; empty where all is well."""
        texts = self.texts
        minutes = parse_number(texts["minutes"])
        if not self.ticked:
            return "lessons", "Tick at least one lesson."
        if not texts["name"].isascii() or not any(c.isalnum() for c in texts["name"]):
            return "name", "Name: letters and digits, such as spring-exam."
        if not texts["seed"].isdecimal() or int(texts["seed"][:12]) > LAST_SEED:
            return "seed", f"Seed: a whole number from 0 to {LAST_SEED}."
        if minutes is None or not 0 < minutes <= LONGEST_MIN:
            return "minutes", f"Minutes: above 0, up to {LONGEST_MIN}."
        return self._phrase_trouble() if self.sealed and not self.has_key else ("", "")

    def _phrase_trouble(self) -> tuple[str, str]:
        """What is wrong with the pass-phrase of a new key."""
        if len(self.texts["phrase"].strip()) < LEAST_CHARACTERS:
            return "phrase", f"Pass-phrase: {LEAST_CHARACTERS} characters or more."
        if self.texts["phrase"] != self.texts["again"]:
            return "again", "The two pass-phrases are not the same."
        return "", ""


@cache
def filter_word(name: str) -> str:
    """What people call a filter: its title up to the first comma."""
    return load_filter(name).title.split(",")[0].lower()


def _meta(scenario: Scenario) -> str:
    """Filter, level, and whether the seed changes anything."""
    varies = "" if scenario.vary else ", no variants"
    return f"{filter_word(scenario.filter)}, level {scenario.level}{varies}"
