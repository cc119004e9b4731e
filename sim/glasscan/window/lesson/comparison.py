"""Side by side: the session and a rival that differs in one thing, on one clock and one colour scale."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import MILLIMETRE, UnitSystem
from glasscan.window.circuit.circuit_of_session import rig_numbers
from glasscan.window.circuit.circuit_view import draw_circuit
from glasscan.window.contract import Frame
from glasscan.window.cutaway.cutaway import Cutaway, PressureScale, wet_cells
from glasscan.window.cutaway.cutaway_view import turned_words
from glasscan.window.cutaway.deposit import loads_g_m2
from glasscan.window.cutaway.legend import draw_lying_key
from glasscan.window.cutaway.section_view import fit
from glasscan.window.faults.drawing import draw_in_circuit, draw_in_section
from glasscan.window.faults.fault_pictures import fault_pictures
from glasscan.window.lesson.lesson_session import LessonSession
from glasscan.window.lesson.valve_state import OPEN_M

FLOWING_M3S = 1e-6
LEAST_TP = 620.0  # narrower boxes do not hold two
SETTLE, SETTLE_S = 60, 0.02


def verdict(s: Snapshot, units: UnitSystem) -> list[str]:
    """What is read under each picture: drop, valve, unfiltered share, oil."""
    past = s.bypass_m3s + s.readings.get("hole_m3s", 0.0)
    through = s.element_m3s + past
    share = past / through if through > FLOWING_M3S else 0.0
    open_ = f"open {MILLIMETRE.text(s.lift_m)} mm" if s.lift_m > OPEN_M else "shut"
    return [
        f"{units.pressure.text(s.dp_pa)} {units.pressure.sign} across",
        f"bypass {open_}",
        f"{100 * share:.0f} % unfiltered",
        f"oil {units.temperature.text(s.filter_c)} {units.temperature.sign}",
    ]


class ComparisonRun:
    """The rival of a session: built and brought to the moment in a thread, then kept on the same clock."""

    def __init__(self, session: LessonSession) -> None:
        self.session = session
        self.name = ""
        self.fault = next(iter(session.faults), "")  # the one that stands at the end of the row
        self.rival: LessonSession | None = None
        self.trouble = ""
        self._thread: threading.Thread | None = None
        self._cuts: dict[object, Cutaway] = {}
        self._moved_s = 0.0  # screen time by which the oil moves in this frame
        self.hidden: Callable[[], bool] = lambda: False

    @property
    def on(self) -> bool:
        """True while two are compared, or about to be."""
        return bool(self.name)

    def next(self) -> None:
        """The next rival, or none after the last."""
        names = ["", *self.session.rivals, *([self.fault] if self.fault else [])]
        self.choose(names[(names.index(self.name) + 1) % len(names)])

    def choose_fault(self, title: str) -> None:
        """Compare with the filter with a fault."""
        self.fault = title
        self.choose(title)

    def choose(self, name: str) -> None:
        """Compare with a rival by name; with an empty one the comparison ends."""
        self.name, self.rival, self.trouble = name, None, ""
        self.session.followers.clear()
        if name:
            self._thread = threading.Thread(target=self._build, args=(name,), daemon=True)
            self._thread.start()

    @property
    def busy(self) -> bool:
        """True while the rival is being brought to the moment."""
        return self._thread is not None and self._thread.is_alive()

    def wait(self) -> None:
        """Until the rival is there (for pictures)."""
        if self._thread is not None:
            self._thread.join()

    def _build(self, name: str) -> None:
        """Make a rival and bring it to the moment, with the controls moved as they were."""
        session = self.session
        try:
            rival = (session.rivals | session.faults)[name]()
            moved = [c for c in session.moved if c[1] != rival.differs]
            rival.repeat(session.snapshot.t_s, moved, lambda _: None)
            self._settle(rival)
        except ValueError as error:
            self.trouble = " ".join(str(error).split())
            return
        if self.name == name:  # nothing else was chosen meanwhile
            session.followers[:] = [rival]
            self.rival = rival

    def _settle(self, rival: LessonSession) -> None:
        frame = rival.section.frame(rival.snapshot)
        for _ in range(SETTLE):
            rival.carriers.step(frame, SETTLE_S)

    def update(self) -> None:
        """Bring the rival to the session's moment; one that no longer follows it is put away."""
        if self.rival is not None and self.rival not in self.session.followers:
            self.choose("")
        if self.rival is not None:
            self.rival.run_to(self.session.snapshot.t_s)

    def draw(
        self,
        canvas: Canvas,
        box: pygame.Rect,
        frame: Frame,
        scale: PressureScale,
        units: UnitSystem,
        rate: float,
        drawn_s: float,
    ) -> None:
        """Draw both halves; the marks of the rival drift for `drawn_s`."""
        if box.w < canvas.tp(LEAST_TP):
            canvas.panel(box, "sheet", "edge", 14, 2)
            inside = box.inflate(-canvas.dp(40), -canvas.dp(40))
            canvas.text("Close the controls.", inside, align="centre", wrap=True)
            return
        gap, line = canvas.dp(20), canvas.measure("Ag")[1]
        draw_lying_key(canvas, pygame.Rect(box.x, box.bottom - line, box.w, line), scale, units)
        box = pygame.Rect(box.x, box.y, box.w, box.h - line - canvas.dp(8))
        half = (box.w - gap) // 2
        left = pygame.Rect(box.x, box.y, half, box.h)
        session, rival = self.session, self.rival
        self._moved_s = drawn_s
        self._half(canvas, left, "A: this run", session, frame, scale, units, rate)
        right = left.move(half + gap, 0)
        if rival is None:
            canvas.panel(right, "sheet", "edge", 14, 2)
            words = self.trouble or f"Catching up with this moment: {self.name}…"
            inside = right.inflate(-canvas.dp(40), -canvas.dp(40))
            canvas.text(words, inside, align="centre", wrap=True)
            return
        other = rival.section.frame(rival.snapshot)
        if drawn_s > 0:
            rival.carriers.step(other, drawn_s * rate)
            if rival.dye is not None:
                rival.dye.step(other, drawn_s * rate)
        low = min(rival.snapshot.outlet_pa, rival.snapshot.inlet_pa)
        self._half(
            canvas, right, f"B: {self.name}", rival, other, PressureScale(low, scale.span_pa), units, rate
        )

    def _circuit_differs(self) -> bool:
        """True where what differs lies in the circuit: then it stands under each picture."""
        rival = self.rival
        if rival is None:
            return False
        own = {f.code for f in self.session.faults_now} ^ {f.code for f in rival.faults_now}
        return rival.differs == "regulator" or any(fault_pictures()[code].view == "circuit" for code in own)

    def span_pa(self) -> float:
        """Largest difference of the rival so far, Pa, for the common scale."""
        return self.rival.peak_dp_pa if self.rival is not None else 0.0

    def _half(
        self,
        canvas: Canvas,
        box: pygame.Rect,
        title: str,
        session: LessonSession,
        frame: Frame,
        scale: PressureScale,
        units: UnitSystem,
        rate: float,
    ) -> None:
        line = canvas.measure("Ag")[1]
        head = pygame.Rect(box.x, box.y, box.w, 2 * line + canvas.dp(4))
        title += " (picture turned)" if turned_words(session.section) else ""
        canvas.text(title, head, bold=True, align="centre", wrap=True, colour="accent")
        rows = verdict(session.snapshot, units)
        foot = pygame.Rect(box.x, box.bottom - len(rows) * line, box.w, len(rows) * line)
        area = pygame.Rect(box.x, head.bottom + 4, box.w, foot.y - head.bottom - canvas.dp(12))
        faults = session.faults_now if session is not self.session or not self.hidden() else ()
        if self._circuit_differs():
            strip = pygame.Rect(box.x, 0, box.w, round(0.22 * area.h))
            strip.bottom = area.bottom
            area.h -= strip.h + canvas.dp(8)
            draw_circuit(
                canvas, strip, session.snapshot, units, rig_numbers(session), words=False,
                over=lambda on, at: draw_in_circuit(on, at, faults),
            )  # fmt: skip
        cut = self._cut(session, area, canvas)
        cut.draw_ground(canvas.surface)
        s = session.snapshot
        cut.texture.move(frame, self._moved_s, rate)
        cut.draw(canvas.surface, frame, s, scale, session.carriers, rate, dye=session.dye, grain=True)
        cut.draw_deposit(canvas.surface, loads_g_m2(session.section, s))
        cut.draw_valve(canvas.surface, s.lift_m)
        draw_in_section(canvas, session.section, cut.view, s, frame, faults)
        for i, text in enumerate(rows):
            row = pygame.Rect(foot.x, foot.y + i * line, foot.w, line)
            colour = "warn" if "open" in text else "ink"
            canvas.text(text, row, bold=i < 2, align="centre", colour=colour)

    def _cut(self, session: LessonSession, area: pygame.Rect, canvas: Canvas) -> Cutaway:
        key = (id(session), tuple(area), canvas.theme.name)
        if key not in self._cuts:
            if len(self._cuts) >= 4:
                self._cuts.pop(next(iter(self._cuts)))
            lift = session.facts.max_lift_m
            wet = wet_cells(session.section, session.snapshot, lift)
            view = fit(session.section.parts, area)
            self._cuts[key] = Cutaway(session.section, wet, view, canvas.theme, canvas.scale, lift)
        return self._cuts[key]
