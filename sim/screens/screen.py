"""The window's picture and its hands: draws a session, turns events into intents."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import pygame

from sim.plant.records import Event
from sim.screens import readout
from sim.screens.bodydraw import draw_legend, legend_rows
from sim.screens.canvas import Canvas
from sim.screens.closer import Closer
from sim.screens.compare import Rivalry
from sim.screens.contract import Frame
from sim.screens.cutaway import PressureScale
from sim.screens.desk import Desk
from sim.screens.drawer import drawer_widgets
from sim.screens.hands import Hands, polls, tally_csv
from sim.screens.handspanel import HandsPanel
from sim.screens.keyhelp import draw_help, draw_lesson
from sim.screens.keypanel import draw_key
from sim.screens.layout import Layout, arrange
from sim.screens.notes import cues
from sim.screens.notespane import draw_notes
from sim.screens.prompts import PromptDesk, PromptPanel
from sim.screens.quantities import pace
from sim.screens.screenkeys import acts
from sim.screens.session import SPEEDS, Session
from sim.screens.shades import Shade, shade
from sim.screens.spoken import Voice
from sim.screens.spotlight import Spotlight
from sim.screens.stage import Stage, pressure_scale
from sim.screens.takeaway import Prints, Taker, stamp
from sim.screens.theme import load_theme
from sim.screens.traceplot import TracePlot
from sim.screens.tracewidget import TraceWidget
from sim.screens.valvepanel import ValvePanel
from sim.screens.why import chain
from sim.screens.widgets import LEFT_BUTTON, Button, Choice, Form, Widget

STILL_S = 1.5  # with reduced motion the marks of the oil move on so seldom
WIDE = ("several", "order", "curve", "entry", "case")  # questions that need more room than the gauges leave
GRAPH_TEXT = 1.35  # text of the large trace against that of the window


class Screen:
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
        session: Session,
        desk: Desk | None = None,
        prompts: PromptDesk | None = None,
        predict: bool = True,
        prints: Prints | None = None,
        expected: Callable[[], Sequence[Event]] = tuple,
    ) -> None:
        self.session = session
        self.desk = desk or Desk()
        facts = session.facts
        self.stage = Stage(session.section, session.snapshot, facts.max_lift_m)
        self.valve = ValvePanel(session.section, session.snapshot, facts.max_lift_m)
        self.plot = TracePlot()
        self.closer = Closer(facts.filter_data)
        self.spot = Spotlight(session.section)
        self.hands = self._made_hands(prompts)
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
        self.quit = self.leave = self.fullscreen = self.to_bench = False
        self._built: tuple[object, ...] = ()
        self._waited_s = 0.0
        self.voice = Voice()
        self.taker = Taker(facts, prints)
        self.rivalry = Rivalry(session)

    def _made_hands(self, prompts: PromptDesk | None) -> HandsPanel | None:
        asked = polls(self.session, prompts)
        if not asked:
            return None
        seen = lambda: self.session.snapshot.t_s > 0  # noqa: E731
        return HandsPanel(Hands(asked), partial(setattr, self.desk, "hands", False), seen)

    # --- what is asked for -------------------------------------------------------------------------

    def ask(self, shown: bool) -> None:
        """Show the questions, or put them away."""
        self.desk.prompt = shown and self.panel is not None
        self.desk.hands = self.desk.hands and not self.desk.prompt

    def toggle(self, name: str) -> None:
        """Turn something of the view on or off."""
        setattr(self.desk, name, not getattr(self.desk, name))

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
        count = len(chain(self.session.snapshot, self.desk.units, self.session.facts.cracking_pa))
        self.session.playing = False
        self.spot.key = ""
        self.desk.why = self.desk.why + 1 if self.desk.why < count else 0

    def swap_regulator(self) -> None:
        """The regulator before the filter, or after it."""
        before = self.session.snapshot.regulator_before
        self.session.change("regulator", "after" if before else "before")

    def drop(self) -> None:
        """Debris in at the inlet."""
        self.session.drop(self.desk.debris_kind, int(self.desk.debris_number))

    def picture(self) -> None:
        """Draw the window once more, without the drawer, and save it."""
        surface, desk = pygame.Surface(self.size), self.desk
        drawer, desk.drawer = desk.drawer, False
        self.draw(surface)
        desk.drawer = drawer
        self.taker.picture(surface, desk.theme)

    def close(self) -> None:
        """Close what is open; with nothing open, leave for the first screen."""
        desk = self.desk
        extra = desk.drawer or desk.closer or desk.why or desk.graph or desk.hands or self.spot.key
        self.leave = not (extra or self.rivalry.on) and desk.slot == "trace"
        if self.rivalry.on:
            self.rivalry.choose("")
        desk.drawer = desk.closer = desk.graph = desk.hands = False
        desk.why, self.spot.key = 0, ""
        desk.slot = "trace"

    # --- widgets -----------------------------------------------------------------------------------

    def layout(self, size: tuple[int, int]) -> Layout:
        """Boxes for a window size, widgets put into them."""
        desk = self.desk
        layout = arrange(size, desk.text_scale, desk.drawer)
        slots = (desk.slot, desk.graph, desk.notes == "here", desk.hands)
        key = (size, desk.text_scale, desk.drawer, slots, desk.units_index, desk.page)
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
            Button(
                "more", "Controls", partial(self.toggle, "drawer"), lambda: desk.drawer, box=layout["more"]
            ),
        ]  # fmt: skip
        if desk.drawer:
            widgets += drawer_widgets(
                session, desk, layout["drawer"], self._keepers(), self.rivalry, self._shows()
            )
        if desk.graph and not desk.hands:
            widgets.append(TraceWidget("trace", "Trace", self.plot, session, box=layout["closer"]))
        elif desk.slot == "trace" and desk.notes != "here" and not desk.graph:
            widgets.append(TraceWidget("trace", "Trace", self.plot, session, box=layout["slot"]))
        return widgets

    def _shows(self) -> list[tuple[str, Callable[[], None]]]:
        """What helps to show it to a class, with its words."""
        found: list[tuple[str, Callable[[], None]]] = [
            ("Point at parts (F)", self.point),
            ("Why open or shut? (W)", self.why),
            ("Large graph (G)", partial(self.toggle, "graph")),
            ("Notes (N)", self.desk.next_notes),
        ]
        if self.hands is not None:
            found.insert(1, ("Hands of the class (H)", self.show_hands))
        return found

    def _keepers(self) -> list[tuple[str, Callable[[], None]]]:
        """What can be taken away, with its words."""
        taker = self.taker
        keepers: list[tuple[str, Callable[[], None]]] = [
            ("Picture (K)", self.picture),
            ("Clip of 6 s", taker.clip),
            ("Trace as CSV", lambda: taker.trace(self.session.trace)),
            ("Lesson sheet and key", taker.sheet),
        ]
        if self.hands is not None:
            keepers.append(("Hands as CSV", self._keep_hands))
        return keepers

    def _keep_hands(self) -> None:
        if self.hands is None or not self.hands.hands.any:
            self.taker.notice = "No hands were counted yet (H)."
            return
        self.taker.table("-hands", tally_csv(self.hands.hands, stamp(self.session.facts)))

    def open_filter(self) -> None:
        """Stop, and take the filter to the bench as it is now; the lesson waits."""
        self.session.playing = False
        self.to_bench = self.leave = True

    def _run_word(self) -> str:
        return "Pause" if self.session.playing else "Again" if self.session.finished else "Run"

    # --- events ------------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """One event: first what is open on top, then the focused widget, then the keys of the window."""
        if event.type == pygame.QUIT:
            self.quit = True
        elif self.desk.help or self.desk.lesson:
            if event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN):
                self.desk.help = self.desk.lesson = False
        elif self._handled_by_hands(event) or self._handled_by_prompt(event) or self.form.handle(event):
            return
        elif event.type == pygame.KEYDOWN:
            self._key(event)
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == LEFT_BUTTON:
            self._light(event.pos)

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
        return self.desk.prompt and self.prompts is not None and self.prompts.card.form in WIDE

    def _pointing(self) -> dict[str, str]:
        """Letters by part while a part is to be pointed at; else none."""
        prompts = self.prompts
        if not self.desk.prompt or prompts is None or prompts.now.locked:
            return {}
        return {key: letter.upper() for letter, key, _ in prompts.card.parts}

    def _pointed(self, at: tuple[int, int]) -> bool:
        """A click on the cutaway chooses the part whose mark is nearest."""
        if not self._pointing() or self.prompts is None:
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
        """Box of the question: a question about the run leaves the trace in view until it is marked."""
        assert self.prompts is not None
        if self.prompts.card.form in WIDE:
            return layout["closer"].copy()  # over the cutaway: gauges and trace stay in view
        box = layout["right"].copy()
        if self.prompts.card.when == "after" and self.prompts.now.result is None and not layout.large:
            box.h = layout["slot"].y - box.y - layout["body"].h // 80
        return box

    def hands_box(self, layout: Layout) -> pygame.Rect:
        """Box of the class's answers: over the cutaway; in large text over the gauges too."""
        return layout["closer"].union(layout["right"]) if layout.large else layout["closer"]

    def _in_panel(self, event: pygame.event.Event) -> bool:
        at = getattr(event, "pos", None)
        return at is not None and self.panel_box(self.layout(self.size)).collidepoint(at)

    def _key(self, event: pygame.event.Event) -> None:
        """Keys of the window; letters work in either case."""
        found = acts(self)
        self.taker.notice = ""
        word = getattr(event, "unicode", "").lower()
        act = found.get(word) or found.get(pygame.key.name(event.key).lower())
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
        if self.desk.closer:
            self.closer.look(self.session.snapshot)
        if over and self.predict and self.prompts is not None and self.panel is not None:
            self.prompts.at = 0
            self.ask(True)
        elif over and self.hands is not None and self.hands.hands.is_locked:
            self.desk.hands = True
            self.hands.hands.reveal()

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
        self._drift(canvas, layout, frame, drawn_s)
        self._draw_middle(canvas, layout, frame, scale, drawn_s)
        readout.draw_top(canvas, layout, session)
        readout.draw_right(self, canvas, layout, frame, scale)
        readout.draw_caption(self, canvas, layout)
        self.form.draw(canvas)
        self.taker.frame(surface, drawn_s, desk.theme)
        if desk.help:
            draw_help(canvas)
        elif desk.lesson:
            draw_lesson(canvas, session.facts.title, session.facts.about, session.facts.safety)
        return canvas

    def _drift(self, canvas: Canvas, layout: Layout, frame: Frame, drawn_s: float) -> None:
        """Let the marks of the oil move on."""
        session = self.session
        if self.frames == 0:
            self.stage.pace(canvas, layout, frame, session.speed)
        self.frames += 1
        if drawn_s > 0:
            self.stage.catch_up(session.carriers, frame, session.snapshot, session.speed)
            if session.playing:
                moved_s = self._moved(drawn_s)
                self.stage.drift(canvas, layout, session.carriers, frame, moved_s, session.speed)
        session.drawn_rate = self.stage.rate

    def _draw_middle(
        self, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale, drawn_s: float
    ) -> None:
        """The cutaway with its key, or what is laid over them; the drawer over both."""
        desk, session, box = self.desk, self.session, layout["closer"]
        if desk.hands and self.hands is not None:
            self.hands.draw(canvas, self.hands_box(layout))
        elif self.wide():
            pass  # the question lies over the cutaway
        elif desk.graph:
            self._draw_graph(canvas, box)
        elif self.rivalry.on and not self._pointing():
            moved_s = drawn_s if session.playing and not desk.still else 0.0
            self.rivalry.draw(canvas, box, frame, scale, desk.units, self.stage.rate, moved_s)
        elif desk.closer and not self._pointing():
            self.closer.draw(canvas, box, desk.units.pressure, drawn_s, session.playing)
        else:
            self._draw_cutaway(canvas, layout, frame, scale)
        if desk.drawer:
            canvas.panel(layout["drawer"], "sheet", "edge", 12, 2)

    def _draw_cutaway(self, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale) -> None:
        session, desk = self.session, self.desk
        tint = shade(desk.colours, frame, session.snapshot, scale, desk.units)
        names = desk.names and not self.spot.key
        self.stage.draw(
            canvas, layout, session.snapshot, frame, tint.scale, session.carriers, names,
            session.loose, self._pointing(), tint.values,
        )  # fmt: skip
        if self.spot.key and not self._pointing():
            self.spot.draw(canvas, self.stage.cutaway(canvas, layout).view, session.snapshot.lift_m)
        if not desk.drawer:
            self._draw_key(canvas, layout["key"].copy(), tint)

    def _draw_graph(self, canvas: Canvas, box: pygame.Rect) -> None:
        """The trace over the whole cutaway, in larger text."""
        large = Canvas(canvas.surface, canvas.theme, canvas.text_scale * GRAPH_TEXT)
        readout.draw_trace(self, large, box)
        canvas.texts += large.texts

    def _draw_key(self, canvas: Canvas, box: pygame.Rect, tint: Shade) -> None:
        """The key, over the legend of debris where there is any."""
        if legend_rows(self.session.loose):
            box.h -= draw_legend(canvas, box, self.session.loose) + canvas.dp(16)
        draw_key(canvas, box, tint.scale, self.desk.units, self.stage.rate, tint)

    def paint_notes(self, canvas: Canvas, box: pygame.Rect) -> None:
        """The presenter's notes, into this window or their own."""
        session = self.session
        now_s = session.snapshot.t_s
        found = cues(session.facts.lines, self.expected(), session.events, now_s)
        words, moved = readout.state_words(session), bool(session.changes)
        draw_notes(canvas, box, session.facts.title, words, now_s, found, moved)
