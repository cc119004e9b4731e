"""Which job is done, on which filter, with which number."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ListBox, Row, ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.bench.selection_loop import Choosing
from glasscan.window.bench.worksite import draw_site
from glasscan.workshop.procedures.job import Job
from glasscan.workshop.procedures.procedure_catalogue import load_procedure, procedure_names
from glasscan.workshop.procedures.procedure_plan import Procedure

FILTERS = {"can": "Spin-on filter", "cartridge": "Cartridge", "disc": "Disc stack"}
SAME = "The number deals the cards and what you find: the same number gives everybody the same job."
NUMBERS = tuple(str(n) for n in range(1, 1000))


class ChooseJobPage(Choosing):
    """Sets `chosen` to (job, filter, number) and leaves."""

    title = "A job at the bench"

    def __init__(self, desk: ViewOptions) -> None:
        super().__init__(desk)
        self.jobs: dict[str, Procedure] = {name: load_procedure(name) for name in procedure_names()}
        self.name, self.number = next(iter(self.jobs)), "1"
        self.kind = self.jobs[self.name].filters[0]
        self.chosen: tuple[str, str, int] | None = None

    def first(self) -> str | None:
        return "jobs"

    def stamp(self) -> tuple[object, ...]:
        """Filters to choose from belong to the job."""
        return (self.name,)

    def _boxes(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        gap, h = canvas.dp(18), canvas.tp(60)
        left = pygame.Rect(body.x, body.y, round(body.w * 0.40), body.h)
        x = left.right + canvas.dp(30)
        w = body.right - x
        foot = pygame.Rect(x, body.bottom - h, w, h)
        kinds = pygame.Rect(x, foot.y - gap - h, w, h)
        about_h = min(canvas.tp(210), (kinds.y - body.y) // 2)
        about = pygame.Rect(x, kinds.y - gap - about_h, w, about_h)
        picture = pygame.Rect(x, body.y, w, about.y - gap - body.y)
        return {"jobs": left, "picture": picture, "about": about, "kinds": kinds, "foot": foot}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        at = self._boxes(canvas, body)
        gap, kinds = canvas.dp(14), self.jobs[self.name].filters
        wide = (at["kinds"].w - gap * (len(kinds) - 1)) // len(kinds)
        made: list[Widget] = [
            ListBox(
                "jobs",
                "",
                self._rows,
                self._begin_with,
                self._mark,
                box=at["jobs"],
                row_h=canvas.tp(92),
                at=list(self.jobs).index(self.name),
            ),
            ScrollText("about", "", self._about, box=at["about"]),
        ]
        for i, kind in enumerate(kinds):
            box = pygame.Rect(at["kinds"].x + i * (wide + gap), at["kinds"].y, wide, at["kinds"].h)
            made.append(
                Button(kind, FILTERS[kind], partial(self._pick, kind), partial(self._is, kind), box=box)
            )
        foot = at["foot"]
        number = pygame.Rect(foot.x, foot.y, (foot.w - gap) // 2, foot.h)
        go = pygame.Rect(number.right + gap, foot.y, foot.w - number.w - gap, foot.h)
        made.append(
            Choice("number", "Number", NUMBERS, lambda: self.number, self._numbered, wraps=True, box=number)
        )
        return [*made, Button("begin", "Begin", self._begin, box=go)]

    def _rows(self) -> list[Row]:
        return [Row(name, job.title) for name, job in self.jobs.items()]

    def _mark(self, name: str) -> None:
        self.name = name
        if self.kind not in self.jobs[name].filters:
            self.kind = self.jobs[name].filters[0]

    def _pick(self, kind: str) -> None:
        self.kind = kind

    def _is(self, kind: str) -> bool:
        return self.kind == kind

    def _numbered(self, number: str) -> None:
        self.number = number

    def _about(self) -> str:
        job = self.jobs[self.name]
        return f"{job.about}\n\nCaution. {job.safety}\n\n{SAME}"

    def _begin_with(self, name: str) -> None:
        self._mark(name)
        self._begin()

    def _begin(self) -> None:
        self.chosen, self.leave = (self.name, self.kind, int(self.number)), True

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The place of the work before it begins."""
        box = self._boxes(canvas, body)["picture"]
        draw_site(canvas, box, Job(self.jobs[self.name], 1, ()), self.kind)
