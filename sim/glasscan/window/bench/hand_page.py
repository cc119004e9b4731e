"""What the hand chooses at a step: lubricant, torque on a wrench, wire, quantity of oil."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.slider import Slider
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.bench.bench_top import bench
from glasscan.window.bench.hand_drawing import draw_jars, draw_sump, draw_wire, draw_wrench
from glasscan.workshop.machine_data import JointKind, machines_data
from glasscan.workshop.machine_joints import HOLES
from glasscan.workshop.procedures.job import Job, JobCard

WRENCH_NM = 80.0
"""Full scale of the wrench, N m."""
PULL_NM, HARD_NM = 1.0, 5.0
"""What one press of a key adds, N m."""
CLOCK = tuple(sorted(HOLES, key=int))
"""Holes of the left bolt as they come round; both bolts have right-hand threads."""


Dial = tuple[str, float, float, float, Callable[[], float], Callable[[float], None], str]
"""Label, least, most, step, reading, setting, unit."""


class HandPage(Page):
    """`chosen` is what was done with the hand, by key; None where it was left without doing it."""

    def __init__(self, desk: ViewOptions, job: Job, card: JobCard) -> None:
        super().__init__(desk)
        self.job, self.card = job, card
        self.chosen: dict[str, str] | None = None
        self.sheet = False
        self.lubricant = machines_data().lubricants[0].id
        self.pull_nm = self.most_nm = 0.0
        self.hole, self.twists, self.litres = "4", 3.0, 0.0

    @property
    def title(self) -> str:
        return "With the hand"

    def stamp(self) -> tuple[object, ...]:
        return (self.sheet,)

    def first(self) -> str | None:
        return self.asks[0]

    @property
    def asks(self) -> tuple[str, ...]:
        """What is chosen here; the hole that is taken says which way the wire pulls."""
        return tuple(k for k in self.card.asks if k != "pull")

    def joint(self) -> JointKind | None:
        """The joint that the hand works on, or None."""
        step = self.job.procedure.by_id[self.card.step]
        joints = machines_data().joints
        words = [w.split() for w in step.does if w.split()[0] in ("close", "wire", "lube")]
        return next((joints[w[1]] for w in words if w[1] in joints), None)

    # --- layout -------------------------------------------------------------------------------------

    def boxes_of(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        """Picture, words, controls."""
        gap = canvas.dp(20)
        left = pygame.Rect(body.x, body.y, round(body.w * 0.58), body.h)
        x = left.right + canvas.dp(28)
        right = pygame.Rect(x, body.y, body.right - x, body.h)
        h = canvas.tp(74)
        rows = len(self.asks) + 1 + ("torque" in self.asks)
        foot = pygame.Rect(right.x, right.bottom - rows * (h + gap) + gap, right.w, rows * (h + gap) - gap)
        words = pygame.Rect(right.x, right.y, right.w, foot.y - gap - right.y)
        return {"picture": left, "words": words, "foot": foot}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """One control for each thing chosen, and the way on."""
        at, gap = self.boxes_of(canvas, body), canvas.dp(20)
        foot, h = at["foot"], canvas.tp(74)
        boxes = [pygame.Rect(foot.x, foot.y + i * (h + gap), foot.w, h) for i in range(foot.h // h + 1)]
        made: list[Widget] = []
        for key in self.asks:
            made += self._control(key, boxes.pop(0), gap)
            if key == "torque":
                made += self._pulls(boxes.pop(0), gap)
        half = (foot.w - gap) // 2
        last = boxes.pop(0)
        left = pygame.Rect(last.x, last.y, half, h)
        made.append(Button("sheet", "Sheet (S)", self.read_sheet, lambda: self.sheet, box=left))
        made.append(Button("do", "Do it (D)", self.do, box=pygame.Rect(last.right - half, last.y, half, h)))
        return [*made, ScrollText("words", "", self._words, box=at["words"])]

    def _control(self, key: str, box: pygame.Rect, gap: int) -> list[Widget]:
        del gap
        if key == "with":
            jars = {x.id: x.title for x in machines_data().lubricants}
            return [
                Choice("with", "", tuple(jars), lambda: self.lubricant, self._take_jar, jars.__getitem__,
                       wraps=True, box=box)
            ]  # fmt: skip
        if key == "hole":
            return [
                Choice("hole", "Hole of the left bolt", CLOCK, lambda: self.hole, self._set_hole,
                       "{} o’clock".format, wraps=True, box=box)
            ]  # fmt: skip
        sliders: dict[str, Dial] = {
            "torque": ("Wrench", 0.0, WRENCH_NM, PULL_NM, lambda: self.pull_nm, self.pull_to, "N m"),
            "twists": ("Twists per inch", 0.0, 16.0, 1.0, lambda: self.twists, self._set_twists, ""),
            "litres": ("Poured in", 0.0, self._most_l(), 0.1, lambda: self.litres, self._set_litres, "L"),
        }  # fmt: skip
        if key not in sliders:
            return []
        label, low, high, step, get, send, unit = sliders[key]
        return [Slider(key, label, low, high, step, get, send, unit, 1 if step < 1 else 0, box=box)]

    def _pulls(self, box: pygame.Rect, gap: int) -> list[Widget]:
        half = (box.w - gap) // 2
        return [
            Button("pull-a-little", "Pull (P)", partial(self.pull_by, PULL_NM),
                   box=pygame.Rect(box.x, box.y, half, box.h)),
            Button("pull-hard", "Pull hard", partial(self.pull_by, HARD_NM),
                   box=pygame.Rect(box.right - half, box.y, half, box.h)),
        ]  # fmt: skip

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("←  →", "another jar; less, more"),
            Binding("P", "pull on the wrench", {"p": partial(self.pull_by, PULL_NM)}),
            Binding("S", "the manual's sheet", {"s": self.read_sheet}),
            Binding("D", "do it", {"d": self.do}),
        )

    # --- acts ---------------------------------------------------------------------------------------

    def _take_jar(self, word: str) -> None:
        self.lubricant = word

    def _set_hole(self, word: str) -> None:
        self.hole = word

    def _set_twists(self, value: float) -> None:
        self.twists = value

    def _set_litres(self, value: float) -> None:
        self.litres = value

    def _most_l(self) -> float:
        return round(1.5 * self.job.outcome().machine.what.sump_l, 1)

    def pull_by(self, more_nm: float) -> None:
        """Pull on the wrench; what was pulled once stays on its drag pointer."""
        self.pull_to(self.pull_nm + more_nm)

    def pull_to(self, torque_nm: float) -> None:
        """Pull to a reading; letting the wrench back does not loosen the joint."""
        self.pull_nm = min(max(torque_nm, 0.0), WRENCH_NM)
        self.most_nm = max(self.most_nm, self.pull_nm)

    def read_sheet(self) -> None:
        """Look into the manual, where somebody has fetched it."""
        self.sheet = not self.sheet

    def do(self) -> None:
        """Do it as it is set."""
        if "torque" in self.card.asks and self.most_nm == 0.0:
            self.tell("The wrench has not been pulled yet.", True)
            return
        values = {
            "with": self.lubricant, "torque": f"{self.most_nm:g}", "hole": self.hole,
            "twists": f"{self.twists:g}", "litres": f"{self.litres:g}",
        }  # fmt: skip
        self.chosen = {k: values[k] for k in self.card.asks if k in values}
        self.leave = True

    def _words(self) -> str:
        lines = [self.card.text]
        if self.sheet:
            lines.append(self._sheet())
        if "torque" in self.card.asks:
            lines.append("An over-torqued joint stays so: the drag pointer keeps the highest reading.")
        return "\n\n".join(lines)

    def _sheet(self) -> str:
        """What the manual says, where it was fetched before the work."""
        if not any(a.step == "right-manual" and not a.slipped for a in self.job.acts):
            return "The manual is not at hand: nobody has fetched it in this job."
        joint, data = self.joint(), machines_data()
        lines = ["Invented manual of the school, torques and lockwire:"]
        if joint and "torque" in self.card.asks:
            lines.append(f"{joint.title}: {joint.torque_nm[0]:g} to {joint.torque_nm[1]:g} N m.")
        if joint and "with" in self.card.asks:
            titles = {x.id: x.title.lower() for x in data.lubricants}
            ring = data.rings[joint.ring]
            lines.append(f"{ring.title}: {' or '.join(titles[w] for w in ring.well)}.")
        if "twists" in self.card.asks:
            low, high = data.wire.twists_per_inch
            lines.append(
                f"Lockwire {data.wire.diameter_mm:g} mm, {low:g} to {high:g} twists to the inch, "
                "laid so that its pull tightens (AC 43.13-1B ch. 7)."
            )
        if "litres" in self.card.asks:
            m = self.job.outcome().machine
            lines.append(f"Sump full: {m.what.sump_l:g} L. Never started below {m.what.min_l:g} L.")
        return "\n".join(lines)

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        picture = self.boxes_of(canvas, body)["picture"]
        bench(canvas.surface, picture, canvas.theme.name, canvas.scale)
        clip = canvas.surface.get_clip()
        inner = picture.inflate(-canvas.dp(40), -canvas.dp(40))
        canvas.surface.set_clip(picture.inflate(-canvas.dp(8), -canvas.dp(8)))
        if "torque" in self.card.asks:
            joint = self.joint()
            draw_wrench(
                canvas, inner, self.pull_nm, self.most_nm, WRENCH_NM, joint.torque_nm[2] if joint else 1e9
            )
        elif "with" in self.card.asks:
            draw_jars(canvas, inner, self.lubricant)
        elif "twists" in self.card.asks:
            draw_wire(canvas, inner, self.hole, self.twists)
        else:
            m = self.job.outcome().machine
            draw_sump(canvas, inner, m.oil_l["sump"], self.litres, m.what.sump_l)
        canvas.surface.set_clip(clip)
