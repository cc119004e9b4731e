"""The window's picture and its hands: draws a session, turns events into intents."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pygame

from sim.screens import gauges
from sim.screens.bodydraw import draw_legend, legend_rows
from sim.screens.canvas import Canvas
from sim.screens.closer import Closer
from sim.screens.compare import Rivalry
from sim.screens.contract import Frame
from sim.screens.cutaway import PressureScale
from sim.screens.desk import Desk
from sim.screens.drawer import drawer_widgets
from sim.screens.keyhelp import draw_help, draw_lesson
from sim.screens.keypanel import draw_key
from sim.screens.layout import Layout, arrange
from sim.screens.prompts import PromptDesk, PromptPanel
from sim.screens.quantities import clock, event_words, pace
from sim.screens.session import SPEEDS, Session
from sim.screens.shades import Shade, shade
from sim.screens.spoken import Voice
from sim.screens.stage import Stage, pressure_scale
from sim.screens.takeaway import Prints, Taker
from sim.screens.theme import load_theme
from sim.screens.tracelog import TraceLog
from sim.screens.traceplot import TracePlot
from sim.screens.tracewidget import TraceWidget
from sim.screens.valvepanel import ValvePanel
from sim.screens.why import chain, draw_why
from sim.screens.widgets import Button, Choice, Form, Widget

BACK_S = 5.0
STILL_S = 1.5  # with reduced motion the marks of the oil move on so seldom
BALANCE = 4  # link of the chain from which the forces are drawn
WIDE = ("several", "order", "curve", "entry", "case")  # questions that need more room than the gauges leave


class Screen:
    """Everything drawn for one session.

    Args:
        session: what is shown.
        desk: choices of the view.
        prompts: may be empty.
        predict: predictions come first, and nothing runs before they are locked.
        prints: pages of the lesson.
    """

    def __init__(
        self,
        session: Session,
        desk: Desk | None = None,
        prompts: PromptDesk | None = None,
        predict: bool = True,
        prints: Prints | None = None,
    ) -> None:
        self.session = session
        self.desk = desk or Desk()
        facts = session.facts
        self.stage = Stage(session.section, session.snapshot, facts.max_lift_m)
        self.valve = ValvePanel(session.section, session.snapshot, facts.max_lift_m)
        self.plot = TracePlot()
        self.closer = Closer(facts.filter_data)
        self.prompts = prompts if prompts and prompts.cards else None
        self.panel: PromptPanel | None = None
        if self.prompts is not None:
            self.panel = PromptPanel(self.prompts, lambda: session.finished, partial(self._prompt, False))
            self.desk.prompt = self.prompts.open_first("before") and predict
        self.predict = predict
        self.form = Form()
        self.canvas: Canvas | None = None
        self.size = (1920, 1080)
        self.frames = 0
        self.quit = self.leave = self.fullscreen = False
        self._built: tuple[object, ...] = ()
        self._waited_s = 0.0
        self.voice = Voice()
        self.taker = Taker(facts, prints)
        self.rivalry = Rivalry(session)

    def _prompt(self, shown: bool) -> None:
        self.desk.prompt = shown and self.panel is not None

    def layout(self, size: tuple[int, int]) -> Layout:
        """Boxes for a window size, widgets put into them."""
        layout = arrange(size, self.desk.text_scale, self.desk.drawer)
        key = (
            size,
            self.desk.text_scale,
            self.desk.drawer,
            self.desk.slot,
            self.desk.units_index,
            self.desk.page,
        )
        if key != self._built:
            self._built = key
            focus = self.form.focused.name if self.form.focused else None
            self.form = Form(self._widgets(layout))
            self.form.focus_on(focus)
        return layout

    def _widgets(self, layout: Layout) -> list[Widget]:
        session = self.session
        run = Button("run", "Run", self._run, box=layout["run"], caption=self._run_word)
        speeds = [repr(s) for s in SPEEDS]
        speed = Choice(
            "speed",
            "",
            speeds,
            lambda: repr(session.speed),
            lambda v: session.faster(speeds.index(v) - session.speed_index),
            lambda v: pace(float(v)),
            box=layout["speed"],
        )
        more = Button(
            "more", "Controls", partial(self._toggle, "drawer"), lambda: self.desk.drawer, box=layout["more"]
        )
        widgets: list[Widget] = [run, speed, more]
        if self.desk.drawer:
            widgets += drawer_widgets(session, self.desk, layout["drawer"], self._keepers(), self.rivalry)
        if self.desk.slot == "trace":
            widgets.append(TraceWidget("trace", "Trace", self.plot, session, box=layout["slot"]))
        return widgets

    def _keepers(self) -> list[tuple[str, Callable[[], None]]]:
        """What can be taken away, with its words."""
        taker = self.taker
        return [
            ("Picture (K)", self._picture),
            ("Clip of 6 s", taker.clip),
            ("Trace as CSV", lambda: taker.trace(self.session.trace)),
            ("Lesson sheet and key", taker.sheet),
        ]

    def _picture(self) -> None:
        """Draw the window once more, without the drawer, and save it."""
        surface, desk = pygame.Surface(self.size), self.desk
        drawer, desk.drawer = desk.drawer, False
        self.draw(surface)
        desk.drawer = drawer
        self.taker.picture(surface, desk.theme)

    def _run_word(self) -> str:
        return "Pause" if self.session.playing else "Again" if self.session.finished else "Run"

    def _run(self) -> None:
        """Run or pause; a prediction still open comes first."""
        if not self.session.playing and self._must_predict():
            assert self.prompts is not None
            self.prompts.open_first("before")
            self._prompt(True)
            return
        self.session.toggle()

    def _must_predict(self) -> bool:
        return self.predict and self.prompts is not None and self.prompts.waiting()

    def _toggle(self, name: str) -> None:
        setattr(self.desk, name, not getattr(self.desk, name))

    def handle(self, event: pygame.event.Event) -> None:
        """One event: first what is open on top, then the focused widget, then the keys of the window."""
        if event.type == pygame.QUIT:
            self.quit = True
        elif self.desk.help or self.desk.lesson:
            if event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN):
                self.desk.help = self.desk.lesson = False
        elif self._handled_by_prompt(event) or self.form.handle(event):
            return
        elif event.type == pygame.KEYDOWN:
            self._key(event)

    def _handled_by_prompt(self, event: pygame.event.Event) -> bool:
        if not self.desk.prompt or self.panel is None:
            return False
        if event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE:
            self._prompt(False)
            return True
        if event.type == pygame.KEYDOWN or self._in_panel(event):
            return self.panel.handle(event)
        return event.type == pygame.MOUSEBUTTONDOWN and self._pointed(event.pos)

    def _wide(self) -> bool:
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
        layout = self.layout(self.size)
        area = layout["names_left"].unionall([layout["names_right"], layout["can"]])
        key = self.stage.nearest(at) if area.collidepoint(at) else None
        if key is not None:
            self.prompts.answer(key)
        return key is not None

    def panel_box(self, layout: Layout) -> pygame.Rect:
        """Box of the question: a question about the run leaves the trace in view until it is marked."""
        assert self.prompts is not None
        if self.prompts.card.form in WIDE:
            return layout["closer"].copy()  # over the cutaway: gauges and trace stay in view
        box = layout["right"].copy()
        if self.prompts.card.when == "after" and self.prompts.now.result is None and not layout.large:
            box.h = layout["slot"].y - box.y - layout["body"].h // 80
        return box

    def _in_panel(self, event: pygame.event.Event) -> bool:
        at = getattr(event, "pos", None)
        return at is not None and self.panel_box(self.layout(self.size)).collidepoint(at)

    def _key(self, event: pygame.event.Event) -> None:
        """Keys of the window; letters work in either case."""
        word = getattr(event, "unicode", "").lower()
        acts = self._acts()
        name = pygame.key.name(event.key).lower()
        self.taker.notice = ""
        act = acts.get(word) or acts.get(name)
        if act is not None:
            act()

    def _acts(self) -> dict[str, Callable[[], object]]:
        session, desk = self.session, self.desk
        return {
            " ": self._run,
            "space": self._run,
            "]": session.faster,
            "[": partial(session.faster, -1),
            ".": session.step,
            ",": lambda: session.rewind(session.snapshot.t_s - BACK_S),
            "home": partial(session.rewind, 0.0),
            "l": partial(self._toggle, "names"),
            "u": desk.next_units,
            "t": desk.next_theme,
            "v": partial(desk.show, "valve"),
            "e": partial(desk.show, "events"),
            "c": partial(self._toggle, "drawer"),
            "r": self._swap_regulator,
            "z": partial(self._toggle, "closer"),
            "d": self._drop,
            "o": desk.next_colours,
            "m": partial(self._toggle, "still"),
            "s": lambda: self.voice.toggle(session, desk.units),
            "k": self._picture,
            "b": self.rivalry.next,
            "w": self._why,
            "p": lambda: self._prompt(not desk.prompt),
            "?": partial(self._toggle, "help"),
            "i": partial(self._toggle, "lesson"),
            "f1": partial(self._toggle, "help"),
            "+": partial(desk.larger, 1),
            "=": partial(desk.larger, 1),
            "-": partial(desk.larger, -1),
            "f11": partial(setattr, self, "fullscreen", not self.fullscreen),
            "escape": self._close,
        }

    def _swap_regulator(self) -> None:
        before = self.session.snapshot.regulator_before
        self.session.change("regulator", "after" if before else "before")

    def _why(self) -> None:
        """The next link of the chain of cause and effect; after the last it closes."""
        count = len(chain(self.session.snapshot, self.desk.units, self.session.facts.cracking_pa))
        self.session.playing = False
        self.desk.why = self.desk.why + 1 if self.desk.why < count else 0

    def _drop(self) -> None:
        self.session.drop(self.desk.debris_kind, int(self.desk.debris_number))

    def _close(self) -> None:
        """Close what is open; with nothing open, leave for the first screen."""
        desk = self.desk
        self.leave = not (desk.drawer or desk.closer or desk.why or self.rivalry.on) and desk.slot == "trace"
        if self.rivalry.on:
            self.rivalry.choose("")
        desk.drawer = desk.closer = False
        desk.why = 0
        self.desk.slot = "trace"

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
            self._prompt(True)

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame; the oil drifts for `drawn_s` of screen time. Returns the canvas with its record."""
        session, desk = self.session, self.desk
        canvas = Canvas(surface, load_theme(desk.theme), desk.text_scale)
        self.canvas, self.size = canvas, surface.get_size()
        layout = self.layout(surface.get_size())
        surface.fill(canvas.theme["paper"])
        s = session.snapshot
        frame = session.section.frame(s)
        peak = max(session.peak_dp_pa, self.rivalry.span_pa())
        scale = pressure_scale(s, peak, session.facts.cracking_pa, desk.units.pressure)
        if self.frames == 0:
            self.stage.pace(canvas, layout, frame, session.speed)
        self.frames += 1
        if drawn_s > 0:
            self.stage.catch_up(session.carriers, frame, s, session.speed)
            if session.playing:
                moved_s = self._moved(drawn_s)
                self.stage.drift(canvas, layout, session.carriers, frame, moved_s, session.speed)
        session.drawn_rate = self.stage.rate
        tint = shade(desk.colours, frame, s, scale, desk.units)
        if self._wide():
            pass  # the question lies over the cutaway
        elif self.rivalry.on and not self._pointing():
            moved_s = drawn_s if session.playing and not desk.still else 0.0
            box = layout["closer"]
            self.rivalry.draw(canvas, box, frame, scale, desk.units, self.stage.rate, moved_s)
        elif desk.closer and not self._pointing():
            self.closer.draw(canvas, layout["closer"], desk.units.pressure, drawn_s, session.playing)
        else:
            self.stage.draw(
                canvas, layout, s, frame, tint.scale, session.carriers, desk.names,
                session.loose, self._pointing(), tint.values,
            )  # fmt: skip
        if desk.drawer:
            canvas.panel(layout["drawer"], "sheet", "edge", 12, 2)
        elif not self._wide() and (not (desk.closer or self.rivalry.on) or self._pointing()):
            self._draw_key(canvas, layout["key"].copy(), tint)
        self._draw_top(canvas, layout)
        self._draw_right(canvas, layout, frame, scale)
        self._draw_caption(canvas, layout)
        self.form.draw(canvas)
        self.taker.frame(surface, drawn_s, desk.theme)
        if desk.help:
            draw_help(canvas)
        elif desk.lesson:
            facts = session.facts
            draw_lesson(canvas, facts.title, facts.about, facts.safety)
        return canvas

    def _moved(self, drawn_s: float) -> float:
        """Screen time by which the oil moves now: all of it, or with reduced motion a step now and then."""
        self._waited_s += drawn_s
        if self.desk.still and self._waited_s < STILL_S:
            return 0.0
        moved, self._waited_s = self._waited_s, 0.0
        return min(moved, STILL_S)

    def _draw_key(self, canvas: Canvas, box: pygame.Rect, tint: Shade) -> None:
        """The key, over the legend of debris where there is any."""
        if legend_rows(self.session.loose):
            box.h -= draw_legend(canvas, box, self.session.loose) + canvas.dp(16)
        draw_key(canvas, box, tint.scale, self.desk.units, self.stage.rate, tint)

    def _draw_top(self, canvas: Canvas, layout: Layout) -> None:
        session = self.session
        title = session.facts.title
        box = layout["title"]
        role = "title" if canvas.measure(title, "title", True, box.w)[1] <= box.h else "body"
        canvas.text(title, box, role=role, bold=True, wrap=True)
        canvas.text(clock(session.snapshot.t_s), layout["clock"], role="number", align="right", bold=True)
        state = "running" if session.playing else "over" if session.finished else "paused"
        word = "as fast as it can" if session.late else pace(session.speed)
        colour = "ink" if session.playing else "accent"
        canvas.text(f"{state}, {word}", layout["pace"], align="right", colour=colour)

    def _draw_right(self, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale) -> None:
        session, desk, facts = self.session, self.desk, self.session.facts
        if desk.prompt and self.panel is not None:
            box = self.panel_box(layout)
            self.panel.draw(canvas, box)
            if box.h < layout["right"].h:
                self._draw_slot(canvas, layout, frame, scale)
            if not self._wide():
                return
        s, units = session.snapshot, desk.units
        hero = gauges.Hero(scale.span_pa, facts.cracking_pa)
        gauges.draw_hero(canvas, layout, s, units, hero)
        full = 1e6
        if desk.why:
            links = chain(s, units, facts.cracking_pa)
            box = layout["cell0"].union(layout["cell5"])
            draw_why(canvas, box, links, desk.why)
            self._draw_slot(canvas, layout, frame, scale)
            return
        for i, reading in enumerate(gauges.readings(s, units, full, facts.rpm_max)):
            gauges.draw_cell(canvas, layout[f"cell{i}"], reading, not layout.large)
        self._draw_slot(canvas, layout, frame, scale)

    def _draw_slot(self, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale) -> None:
        session, desk = self.session, self.desk
        if desk.slot == "valve" or desk.why >= BALANCE:
            self.valve.draw(canvas, layout["slot"], session.snapshot, frame, scale)
        elif desk.slot == "events":
            draw_events(canvas, layout["slot"], session, desk)
        else:
            trace = next((w for w in self.form.widgets if isinstance(w, TraceWidget)), None)
            cursor = trace.wanted_s if trace else None
            args = (session.trace, session.events, desk.units, session.facts.max_lift_m, cursor)
            self.plot.draw(canvas, layout["slot"], *args, self._ghost())

    def _ghost(self) -> TraceLog | None:
        """The pale curves: the rival's, else those of the run before."""
        rival = self.rivalry.rival
        return rival.trace if rival is not None else self.session.ghost

    def _draw_caption(self, canvas: Canvas, layout: Layout) -> None:
        """The newest event in words; before the first, the way to help."""
        events = self.session.events
        if self.session.trouble:
            text = f"The model cannot go on: {self.session.trouble} Home starts again."
            canvas.text(text, layout["caption"], colour="warn", wrap=True)
            return
        if self.taker.notice:
            text = self.taker.notice
            fits = canvas.measure(text, wrap=layout["caption"].w)[1] <= layout["caption"].h
            canvas.text(text, layout["caption"], colour="accent", wrap=fits, shorten=not fits)
            return
        if not events:
            text = "Space: run.  ?: all keys.  Esc: first screen."
            canvas.text(text, layout["caption"], colour="soft", wrap=True)
            return
        units, e = self.desk.units, events[-1]
        dp = f"{units.pressure.text(e.dp_pa)} {units.pressure.sign} differential"
        oil = f"oil {units.temperature.text(e.oil_c)} {units.temperature.sign}"
        text = f"{clock(e.t_s)}  {event_words(e.word)}: {dp}, {oil}"
        canvas.text(text, layout["caption"], bold=True, wrap=True)


def draw_events(canvas: Canvas, box: pygame.Rect, session: Session, desk: Desk) -> None:
    """The events of the run, the newest last; as many as fit."""
    canvas.panel(box, "sheet")
    inner = box.inflate(-canvas.dp(32), -canvas.dp(20))
    line = round(canvas.measure("Ag")[1] * 1.25)
    rows = max(1, inner.h // line - 1)
    canvas.text("Events", pygame.Rect(inner.x, inner.y, inner.w, line), bold=True)
    for i, e in enumerate(list(session.events)[-rows:]):
        y = inner.y + (i + 1) * line
        when = canvas.tp(130)
        canvas.text(clock(e.t_s), pygame.Rect(inner.x, y, when, line), colour="soft")
        place = pygame.Rect(inner.x + when, y, inner.w - when - canvas.tp(120), line)
        canvas.text(event_words(e.word), place, shorten=True)
        dp = f"{desk.units.pressure.text(e.dp_pa)} {desk.units.pressure.sign}"
        canvas.text(
            dp, pygame.Rect(place.right, y, inner.right - place.right, line), align="right", bold=True
        )
