"""What a person may ask of a lesson's window, by key or by button: each changes the desk or the session."""

from __future__ import annotations

from abc import ABC, abstractmethod
from functools import partial
from typing import TYPE_CHECKING

import pygame

from glasscan.window.circuit.circuit_of_session import rig_numbers
from glasscan.window.lesson.takeaway import command_line, stamp
from glasscan.window.lesson.text_view import beside_lines, question_lines, whole_view
from glasscan.window.lesson.why import Link, chain
from glasscan.window.presenter.hands import Hands, polls, tally_csv
from glasscan.window.presenter.hands_panel import HandsPanel

if TYPE_CHECKING:
    from collections.abc import Callable

    from glasscan.ui.canvas import Canvas
    from glasscan.ui.focus import Form
    from glasscan.ui.panel_cache import PanelCache
    from glasscan.ui.view_options import ViewOptions
    from glasscan.window.closeup.closeup_panel import CloseupPanel
    from glasscan.window.cutaway.cutaway_view import CutawayView
    from glasscan.window.faults.fault_pictures import ShownFault
    from glasscan.window.lesson.comparison import ComparisonRun
    from glasscan.window.lesson.lenses import Lenses
    from glasscan.window.lesson.lesson_session import LessonSession
    from glasscan.window.lesson.takeaway import Taker
    from glasscan.window.lesson.text_view import Voice
    from glasscan.window.lesson.trace_plot import TracePlot
    from glasscan.window.lesson.valve_panel import ValvePanel
    from glasscan.window.lesson.window_layout import Layout
    from glasscan.window.presenter.spotlight import Spotlight
    from glasscan.window.questions.prompt_panel import AnswerSheet, PromptPanel


class Intents(ABC):
    """The part of a screen that takes wishes; see `Screen` for the attributes."""

    session: LessonSession
    desk: ViewOptions
    prompts: AnswerSheet | None
    panel: PromptPanel | None
    predict: bool
    hands: HandsPanel | None
    spot: Spotlight
    voice: Voice
    rivalry: ComparisonRun
    stage: CutawayView
    valve: ValvePanel
    plot: TracePlot
    closer: CloseupPanel
    taker: Taker
    form: Form
    size: tuple[int, int]
    leave: bool
    fullscreen: bool
    warned: bool
    to_bench: bool
    circuit_moved: dict[str, float]
    panels: PanelCache
    lenses: Lenses

    @abstractmethod
    def layout(self, size: tuple[int, int]) -> Layout:
        """Boxes for a window size, widgets put into them."""

    @abstractmethod
    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame."""

    @abstractmethod
    def wide(self) -> bool:
        """Whether gauges and an open question have room beside each other."""

    @abstractmethod
    def letters(self) -> dict[str, str]:
        """Letters at the parts instead of their names, where a question asks to point."""

    @abstractmethod
    def panel_box(self, layout: Layout) -> pygame.Rect:
        """Where an open question stands."""

    @abstractmethod
    def hands_box(self, layout: Layout) -> pygame.Rect:
        """Where the hands of the class stand."""

    @abstractmethod
    def paint_notes(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw the presenter's notes into a box."""

    def made_hands(self, prompts: AnswerSheet | None) -> HandsPanel | None:
        """The questions to a class, where there are any."""
        asked = polls(self.session, prompts)
        if not asked:
            return None
        seen = lambda: self.session.snapshot.t_s > 0  # noqa: E731
        return HandsPanel(Hands(asked), partial(setattr, self.desk, "hands", False), seen)

    def ask(self, shown: bool) -> None:
        """Show the questions, or put them away."""
        self.desk.prompt = shown and self.panel is not None
        self.desk.hands = self.desk.hands and not self.desk.prompt

    def toggle(self, name: str) -> None:
        """Turn something of the view on or off."""
        setattr(self.desk, name, not getattr(self.desk, name))

    def controls(self) -> None:
        """The controls beside the picture, with the focus on their pages, or away with them."""
        self.toggle("drawer")
        self.layout(self.size)
        self.form.focus_on("page" if self.desk.drawer else None)

    def next_notes(self) -> None:
        """The presenter's notes in their next place; over the only display they would hide the picture."""
        self.desk.next_notes(pygame.display.get_num_displays())

    def run(self) -> None:
        """Run or pause; a prediction still open comes first, and the class sees the cutaway."""
        if not self.session.playing and self._must_predict():
            assert self.prompts is not None
            self.prompts.open_first("before")
            self.ask(True)
            return
        self.desk.hands = False
        self.session.toggle()
        self.spot.key = "" if self.session.playing else self.spot.key

    def _must_predict(self) -> bool:
        return self.predict and self.prompts is not None and self.prompts.waiting()

    def point(self) -> None:
        """Freeze, and put one part into the light; asked for again, go on without."""
        self.session.playing = False
        self.form.focus_on(None)
        self.desk.why, self.desk.closer, self.desk.graph = 0, False, False
        self.desk.hands = False
        self.rivalry.choose("")
        self.spot.toggle()

    def show_hands(self) -> None:
        """Ask the class, or put the question away; once locked and run, it shows what happened."""
        if self.hands is None:
            return
        self.session.playing = False
        self.form.focus_on(None)
        self.desk.prompt, self.desk.hands = False, not self.desk.hands

    def why(self) -> None:
        """The next link of the chain of cause and effect; after the last it closes."""
        self.session.playing = False
        self.spot.key = ""
        self.desk.why = (self.desk.why + 1) % (self._links() + 1)

    def why_on(self, by: int) -> None:
        """A link further along the chain or back, without leaving it."""
        self.desk.why = min(max(self.desk.why + by, 1), self._links())

    def seen_faults(self) -> tuple[ShownFault, ...]:
        """Faults that the picture may show: none while a question on them is still open."""
        open_questions = self.prompts is not None and self.predict and self.prompts.waits_for_fault()
        return () if open_questions else self.session.faults_now

    def links(self) -> list[Link]:
        """The chain of causes of this moment."""
        session = self.session
        return chain(session.snapshot, self.desk.units, session.facts.marks, rig_numbers(session))

    def _links(self) -> int:
        return len(self.links())

    def say(self) -> None:
        """Everything that is shown as text on the standard output, or no more of it."""
        units, asked = self.desk.units, self.prompts if self.desk.prompt else None
        also = beside_lines(self.rivalry, units) + question_lines(asked)
        self.voice.toggle(self.session, units, also)

    def as_text(self) -> list[str]:
        """The whole lesson as it stands: readings, causes, question, events, parts."""
        units, asked = self.desk.units, self.prompts if self.desk.prompt else None
        also = beside_lines(self.rivalry, units) + question_lines(asked)
        return whole_view(self.session, units, also).split("\n")

    def swap_regulator(self) -> None:
        """The regulator before the filter, or after it."""
        before = self.session.snapshot.regulator_before
        self.session.change("regulator", "after" if before else "before")

    def drop(self) -> None:
        """Debris in at the inlet."""
        self.session.drop(self.desk.debris_kind, int(self.desk.debris_number))

    def turn_handle(self) -> None:
        """One full turn of the scraper's handle; while the run is paused it waits."""
        if not self.session.has_scraper:
            self.taker.notice = "This filter has no handle to turn."
            return
        self.session.change("scraper_turns", 1.0)
        if not self.session.playing:
            self.taker.notice = "The handle turns once the run goes on (Space)."

    def picture(self) -> None:
        """Draw the window once more, without the drawer, and save it."""
        surface, desk = pygame.Surface(self.size), self.desk
        drawer, desk.drawer = desk.drawer, False
        self.draw(surface)
        desk.drawer = drawer
        session = self.session
        view = "circuit" if desk.circuit == "whole" else "valve" if desk.slot == "valve" else "section"
        view = "closer" if desk.closer else "beside" if self.rivalry.on else view
        command = command_line(session.facts, session.snapshot.t_s, session.moved, desk.theme, view)
        self.taker.picture(surface, desk.theme, command)

    def clip(self) -> None:
        """Begin a clip of the middle of the window, with no controls over it."""
        self.desk.drawer = False
        self.taker.clip()

    def close(self) -> None:
        """Close what is open; with nothing open, leave for the first screen."""
        desk = self.desk
        self.form.focus_on(None)
        extra = desk.drawer or desk.closer or desk.why or desk.graph or desk.hands or self.spot.key
        if not (extra or self.rivalry.on) and desk.slot == "trace":
            self._go()
            return
        if self.rivalry.on:
            self.rivalry.choose("")
        desk.drawer = desk.closer = desk.graph = desk.hands = False
        desk.why, self.spot.key = 0, ""
        desk.slot = "trace"

    def _go(self) -> None:
        """Leave; what would be lost by it is told first, and asked for once more."""
        lost = self._unkept()
        if lost and not self.warned:
            self.warned, self.taker.notice = True, f"Esc again leaves the lesson: {lost}"
            return
        self.leave = True

    def _unkept(self) -> str:
        """What is lost where the lesson is left now; empty where nothing is."""
        if self.hands is not None and self.hands.hands.any:
            return "the hands counted are not kept (C, Take away: Hands as CSV)."
        given = self.prompts.given.values() if self.prompts is not None else ()
        if any(g.locked for g in given) and any(g.result is None for g in given):
            return "the answers given so far are not kept."
        return ""

    def shows(self) -> list[tuple[str, Callable[[], None]]]:
        """What helps to show it to a class, with its words."""
        found: list[tuple[str, Callable[[], None]]] = [
            ("Point at parts (F)", self.point),
            ("Why open or shut? (W)", self.why),
            ("Large graph (G)", partial(self.toggle, "graph")),
            ("Notes (N)", self.next_notes),
            ("To the bench (X)", self.open_filter),
        ]
        if self.hands is not None:
            found.insert(1, ("Hands of the class (H)", self.show_hands))
        return found

    def keepers(self) -> list[tuple[str, Callable[[], None]]]:
        """What can be taken away, with its words."""
        taker = self.taker
        keepers: list[tuple[str, Callable[[], None]]] = [
            ("Picture (K)", self.picture),
            ("Clip of 6 s", self.clip),
            ("Trace as CSV", lambda: taker.trace(self.session.trace)),
            ("Lesson sheet and key", taker.sheet),
        ]
        if self.hands is not None:
            keepers.append(("Hands as CSV", self.keep_hands))
        return keepers

    def keep_hands(self) -> None:
        """The hands of all questions as a table."""
        if self.hands is None or not self.hands.hands.any:
            self.taker.notice = "No hands were counted yet (H)."
            return
        self.taker.table("-hands", tally_csv(self.hands.hands, stamp(self.session.facts)))

    def open_filter(self) -> None:
        """Stop, and take the filter to the bench as it is now; the lesson waits."""
        self.session.playing = False
        self.to_bench = self.leave = True
