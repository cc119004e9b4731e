"""The window's picture and its hands: draws a session, turns events into intents."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import pygame

from glasscan.rig.records import Event
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import pace
from glasscan.ui.focus import Form
from glasscan.ui.key_sheet import draw_help, draw_lesson
from glasscan.ui.panel_cache import PanelCache
from glasscan.ui.theme import load_theme
from glasscan.ui.view_keys import act_of, closes_sheet
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import LEFT_BUTTON, Button, Choice, Widget
from glasscan.window.closeup.closeup_panel import CloseupPanel
from glasscan.window.contract import Frame
from glasscan.window.cutaway.cutaway_view import CutawayView, pressure_scale
from glasscan.window.cutaway.scraper_drawing import ScraperPainter
from glasscan.window.lesson import side_panel
from glasscan.window.lesson.center_pane import draw_middle
from glasscan.window.lesson.comparison import ComparisonRun
from glasscan.window.lesson.controls_drawer import drawer_widgets
from glasscan.window.lesson.handle_drag import HandleDrag, is_press
from glasscan.window.lesson.intents import Intents
from glasscan.window.lesson.lenses import Lenses
from glasscan.window.lesson.lesson_keys import acts, sheet
from glasscan.window.lesson.lesson_session import SPEEDS, LessonSession
from glasscan.window.lesson.pace_words import state_words
from glasscan.window.lesson.takeaway import Prints, Taker
from glasscan.window.lesson.text_view import Voice
from glasscan.window.lesson.trace_plot import TracePlot
from glasscan.window.lesson.trace_widget import TraceWidget
from glasscan.window.lesson.valve_panel import ValvePanel
from glasscan.window.lesson.window_layout import Layout, arrange
from glasscan.window.presenter.notes import cues
from glasscan.window.presenter.notes_pane import draw_notes
from glasscan.window.presenter.spotlight import Spotlight
from glasscan.window.questions.form_widgets import widgets_of
from glasscan.window.questions.prompt_panel import AnswerSheet, PromptPanel

STILL_S = 1.5  # with reduced motion the marks of the oil move on so seldom
GRAPH_TEXT = 1.35  # text of the large trace against that of the window


class Screen(Intents):
    """Everything drawn for one session.

    Args:
        session: what is shown.
        desk: choices of the view.
        prompts: may be empty.
        predict: predictions come first, and nothing runs before they are locked.
        prints: pages of the lesson.
        expected: gives the events of the lesson as written, for the presenter's notes; empty until known.
    """

    def __init__(
        self,
        session: LessonSession,
        desk: ViewOptions | None = None,
        prompts: AnswerSheet | None = None,
        predict: bool = True,
        prints: Prints | None = None,
        expected: Callable[[], Sequence[Event]] = tuple,
    ) -> None:
        self.session = session
        self.desk = desk or ViewOptions()
        facts = session.facts
        self.stage = CutawayView(session.section, session.snapshot, facts.max_lift_m, facts.full_m3s)
        self.valve = ValvePanel(session.section, session.snapshot, facts.max_lift_m)
        self.lenses = Lenses(session.section, session.snapshot, facts.max_lift_m)
        self.plot = TracePlot()
        self.closer = CloseupPanel(facts.filter_data)
        self.spot = Spotlight(session.section)
        self.hands = self.made_hands(prompts)
        self.drag = HandleDrag(session)
        self.prompts = prompts if prompts and prompts.cards else None
        self.panel: PromptPanel | None = None
        if self.prompts is not None:
            self.panel = PromptPanel(self.prompts, lambda: session.finished, partial(self.ask, False))
            self.desk.prompt = self.prompts.open_first("before") and predict
        self.predict, self.expected = predict, expected
        self.form = Form()
        self.canvas: Canvas | None = None
        self.size = (1920, 1080)
        self.frames = 0
        self.quit = self.leave = self.fullscreen = self.to_bench = self.warned = False
        self._built: tuple[object, ...] = ()
        self._waited_s = 0.0
        self._span = ("", 0.0)
        self.voice = Voice()
        self.circuit_moved: dict[str, float] = {}
        self.panels = PanelCache()
        if facts.cold_start:
            self.desk.circuit = "strip"
        self.taker = Taker(facts, prints)
        self.rivalry = ComparisonRun(session)
        self.rivalry.hidden = lambda: bool(session.faults_now) and not self.seen_faults()

    # --- widgets -----------------------------------------------------------------------------------

    def layout(self, size: tuple[int, int]) -> Layout:
        """Boxes for a window size, widgets put into them."""
        desk = self.desk
        layout = arrange(size, desk.text_scale, desk.drawer, desk.circuit == "strip")
        slots = (desk.slot, desk.graph, desk.notes == "here", desk.hands)
        key = (size, desk.text_scale, desk.drawer, desk.circuit, slots, desk.units_index, desk.page)
        if key != self._built:
            self._built = key
            focus = self.form.focused.name if self.form.focused else None
            self.form = Form(self._widgets(layout))
            self.form.focus_on(focus)
        return layout

    def _widgets(self, layout: Layout) -> list[Widget]:
        session, desk = self.session, self.desk
        speeds = [repr(s) for s in SPEEDS]
        widgets: list[Widget] = [
            Button("run", "Run", self.run, box=layout["run"], caption=self._run_word),
            Choice(
                "speed", "", speeds, lambda: repr(session.speed),
                lambda v: session.faster(speeds.index(v) - session.speed_index), lambda v: pace(float(v)),
                box=layout["speed"],
            ),
            Button("more", "Controls", self.controls, lambda: desk.drawer, box=layout["more"]),
        ]  # fmt: skip
        if desk.drawer:
            widgets += drawer_widgets(
                session, desk, layout["drawer"], self.keepers(), self.rivalry, self.shows()
            )
        if desk.graph and not desk.hands:
            widgets.append(TraceWidget("trace", "Trace", self.plot, session, box=layout["closer"]))
        elif desk.slot == "trace" and desk.notes != "here" and not desk.graph:
            widgets.append(TraceWidget("trace", "Trace", self.plot, session, box=layout["slot"]))
        return widgets

    def _run_word(self) -> str:
        return "Pause" if self.session.playing else "Again" if self.session.finished else "Run"

    # --- events ------------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """One event: first what is open on top, then the focused widget, then the keys of the window."""
        if event.type == pygame.QUIT:
            self.quit = True
        elif self.desk.help or self.desk.lesson:
            if closes_sheet(event):
                self.desk.help = self.desk.lesson = False
        elif self._leaves_drawer(event):
            self.close()
        elif self._handled_on_top(event) or self._handled_by_handle(event):
            return
        elif event.type == pygame.KEYDOWN:
            self._key(event)
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON:
            self._light(event.pos)

    def _handled_on_top(self, event: pygame.event.Event) -> bool:
        """What lies over the section, and the widgets."""
        return self._handled_by_hands(event) or self._handled_by_prompt(event) or self.form.handle(event)

    def _handled_by_handle(self, event: pygame.event.Event) -> bool:
        """Dragging the scraper's handle in the section."""
        drag = self.drag
        if is_press(event):
            return self._shows_section() and drag.begin(event.pos, self._scraper(), self.canvas_scale())
        if event.type == pygame.MOUSEMOTION and drag.taken:
            self.taker.notice = drag.move(event.pos, self._scraper()) or self.taker.notice
            return True
        if event.type == pygame.MOUSEBUTTONUP and drag.taken:
            if drag.end():
                self._light(event.pos)
            return True
        return False

    def _shows_section(self) -> bool:
        """True while nothing lies over the section."""
        desk = self.desk
        covered = desk.closer or desk.graph or desk.hands or desk.prompt or desk.circuit == "whole"
        covered = covered or self.rivalry.on
        return self.canvas is not None and self.session.has_scraper and not covered

    def _scraper(self) -> ScraperPainter | None:
        assert self.canvas is not None
        return self.stage.cutaway(self.canvas, self.layout(self.size)).scraper

    def canvas_scale(self) -> float:
        """Window pixels in one dp."""
        return self.canvas.scale if self.canvas is not None else 1.0

    def _leaves_drawer(self, event: pygame.event.Event) -> bool:
        """One Escape closes the controls, whichever of them has the focus."""
        key = event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE
        return key and self.desk.drawer and not (self.form.typing or self.desk.prompt or self.desk.hands)

    def _handled_by_hands(self, event: pygame.event.Event) -> bool:
        if not self.desk.hands or self.hands is None:
            return False
        if event.type == pygame.MOUSEBUTTONDOWN:
            inside = self.hands_box(self.layout(self.size)).collidepoint(event.pos)
            return bool(inside) and self.hands.handle(event)
        return event.type == pygame.KEYDOWN and self.hands.handle(event)

    def _handled_by_prompt(self, event: pygame.event.Event) -> bool:
        if not self.desk.prompt or self.panel is None:
            return False
        if event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE:
            self.ask(False)
            return True
        if event.type == pygame.KEYDOWN or self._in_panel(event):
            return self.panel.handle(event)
        return event.type == pygame.MOUSEBUTTONDOWN and self._pointed(event.pos)

    def wide(self) -> bool:
        """True while a question lies over the cutaway."""
        if not self.desk.prompt or self.prompts is None or self.panel is None or self.canvas is None:
            return False
        at_right = self.layout(self.size)["right"]
        return widgets_of(self.prompts.card).wide or self.panel.crowded(self.canvas, at_right)

    def letters(self) -> dict[str, str]:
        """Letters by part while a part is to be pointed at; else none."""
        prompts = self.prompts
        if not self.desk.prompt or prompts is None or prompts.now.locked:
            return {}
        return {key: letter.upper() for letter, key, _ in prompts.card.parts}

    def _pointed(self, at: tuple[int, int]) -> bool:
        """A click on the cutaway chooses the part whose mark is nearest."""
        if not self.letters() or self.prompts is None:
            return False
        key = self.stage.nearest(at) if self._on_cutaway(at) else None
        if key is not None:
            self.prompts.answer(key)
        return key is not None

    def _on_cutaway(self, at: tuple[int, int]) -> bool:
        layout = self.layout(self.size)
        area = layout["names_left"].unionall([layout["names_right"], layout["can"]])
        return bool(area.collidepoint(at))

    def _light(self, at: tuple[int, int]) -> None:
        """A click on a part, or on its name, freezes and puts it into the light."""
        desk = self.desk
        other = desk.closer or desk.graph or desk.hands or desk.prompt or self.rivalry.on
        if other or self.canvas is None or not self._on_cutaway(at):
            return
        cut = self.stage.cutaway(self.canvas, self.layout(self.size))
        lift_m = self.session.snapshot.lift_m
        if self.spot.point(at, cut.view, lift_m, self.stage.placed):
            self.session.playing, desk.why = False, 0

    def panel_box(self, layout: Layout) -> pygame.Rect:
        """Box of the question: beside the trace, if it is about the run, is not marked yet and fits there."""
        assert self.prompts is not None
        assert self.panel is not None
        assert self.canvas is not None
        if self.wide():
            box = layout["closer"].copy()  # over the cutaway: gauges and trace stay in view
            return box.union(layout["right"]) if self.panel.crowded(self.canvas, box) else box
        box = layout["right"].copy()
        if self.prompts.card.when == "after" and self.prompts.now.result is None and not layout.large:
            short = pygame.Rect(box.x, box.y, box.w, layout["slot"].y - box.y - layout["body"].h // 80)
            return short if self.panel.fits(self.canvas, short) else box
        return box

    def hands_box(self, layout: Layout) -> pygame.Rect:
        """Box of the class's answers: over the cutaway; in large text over the gauges too."""
        return layout["closer"].union(layout["right"]) if layout.large else layout["closer"]

    def _in_panel(self, event: pygame.event.Event) -> bool:
        at = getattr(event, "pos", None)
        if self.canvas is None:  # clicked while it was loading: nothing is drawn yet
            return False
        return at is not None and self.panel_box(self.layout(self.size)).collidepoint(at)

    def _key(self, event: pygame.event.Event) -> None:
        """Keys of the window; letters work in either case."""
        self.taker.notice = ""
        self.warned = self.warned and event.key == pygame.K_ESCAPE
        act = act_of(event, acts(self))
        if act is not None:
            act()

    # --- time --------------------------------------------------------------------------------------

    def update(self, wall_s: float) -> None:
        """Let wall time pass for the model; questions about the run open when it is over."""
        was = self.session.playing
        self.session.update(wall_s)
        over = was and self.session.finished
        if self.prompts is not None:
            self.prompts.update()
        self.taker.update()
        self.rivalry.update()
        self.voice.follow(self.session.events, self.desk.units)
        if self.desk.closer or self.desk.slot == "valve":
            self.closer.look(self.session.snapshot)
        if over and self.predict and self.prompts is not None and self.panel is not None:
            self.prompts.at = 0
            self.ask(True)
        elif over and self.hands is not None and self.hands.hands.is_locked:
            self.desk.hands = True
            self.hands.hands.reveal()

    @property
    def at_rest(self) -> bool:
        """True while nothing moves by itself: the loop then waits for what is done to the window."""
        busy = self.session.playing or self.taker.recording or self.rivalry.busy or self.closer.busy
        return not busy

    def _moved(self, drawn_s: float) -> float:
        """Screen time by which the oil moves now: all of it, or with reduced motion a step now and then."""
        self._waited_s += drawn_s
        if self.desk.still and self._waited_s < STILL_S:
            return 0.0
        moved, self._waited_s = self._waited_s, 0.0
        return min(moved, STILL_S)

    # --- picture -----------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame; the oil drifts for `drawn_s` of screen time. Returns the canvas with its record."""
        session, desk = self.session, self.desk
        canvas = Canvas(surface, load_theme(desk.theme), desk.text_scale)
        self.canvas, self.size = canvas, surface.get_size()
        layout = self.layout(surface.get_size())
        surface.fill(canvas.theme["paper"])
        frame = session.section.frame(session.snapshot)
        peak = max(session.peak_dp_pa, self.rivalry.span_pa())
        scale = pressure_scale(session.snapshot, peak, session.facts.cracking_pa, desk.units.pressure)
        self._say_scale(scale.span_pa)
        self._drift(frame, drawn_s)
        draw_middle(self, canvas, layout, frame, scale, drawn_s)
        side_panel.draw_top(canvas, layout, session, desk.closer)
        side_panel.draw_right(self, canvas, layout, frame, scale)
        side_panel.draw_caption(self, canvas, layout)
        self.form.draw(canvas)
        self.taker.frame(surface.subsurface(layout["closer"]), drawn_s, desk.theme)
        if desk.help:
            draw_help(canvas, sheet(self))
        elif desk.lesson:
            draw_lesson(canvas, session.facts.title, session.facts.about, session.facts.safety)
        return canvas

    def _say_scale(self, span_pa: float) -> None:
        """Tell of colours that from now on reach further."""
        unit, (sign, before) = self.desk.units.pressure, self._span
        if sign == unit.sign and before != span_pa:
            self.taker.notice = f"The colours now reach {unit.text(span_pa)} {unit.sign} above the outlet."
        self._span = unit.sign, span_pa

    def prepare(self, size: tuple[int, int]) -> None:
        """Make what the first picture of a window of this size needs, so that it comes without a wait."""
        canvas = Canvas(pygame.Surface(size), load_theme(self.desk.theme), self.desk.text_scale)
        self.stage.cutaway(canvas, self.layout(size))

    def _drift(self, frame: Frame, drawn_s: float) -> None:
        """Let the marks of the oil move on."""
        session = self.session
        if self.frames == 0:
            self.stage.pace(session.speed)
        self.frames += 1
        if drawn_s > 0:
            self.stage.catch_up(session.carriers, frame, session.snapshot, session.speed, session.refills)
            if session.playing:
                moved_s = self._moved(drawn_s)
                self.stage.drift(session.carriers, frame, moved_s, session.speed)
                if session.dye is not None:
                    session.dye.step(frame, moved_s * self.stage.rate)
        session.drawn_rate = self.stage.rate

    def paint_notes(self, canvas: Canvas, box: pygame.Rect) -> None:
        """The presenter's notes, into this window or their own."""
        session = self.session
        now_s = session.snapshot.t_s
        found = cues(session.facts.lines, self.expected(), session.events, now_s)
        words, moved = state_words(session), bool(session.changes or session.started.words)
        draw_notes(canvas, box, session.facts.title, words, now_s, found, moved)
