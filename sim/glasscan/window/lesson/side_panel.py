"""The right column and the lines above and below: title, clock, gauges, what fills the slot, caption."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import pygame

from glasscan.signals import event_mark, event_words
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import clock
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cutaway.legend import rate_words
from glasscan.window.lesson import gauges
from glasscan.window.lesson.all_readings import draw_readings, rows_of
from glasscan.window.lesson.lesson_session import LessonSession
from glasscan.window.lesson.pace_words import state_words
from glasscan.window.lesson.trace_widget import TraceWidget
from glasscan.window.lesson.why import draw_why
from glasscan.window.lesson.window_layout import Layout

if TYPE_CHECKING:
    from glasscan.window.contract import Frame
    from glasscan.window.cutaway.cutaway import PressureScale
    from glasscan.window.lesson.intents import Intents

BALANCE = "Force balance"  # link of the chain from which the forces are drawn
FULL_PA = 1e6  # of the bars of inlet and outlet
HINT = "Space: run.  ?: all keys.  Esc: first screen."

LAST_RUN, SECOND_RUN = "last run", "run B"


def draw_top(canvas: Canvas, layout: Layout, session: LessonSession, closer: bool) -> None:
    """Title, whether it runs and how fast, and the clock; the closer look tells its own slow motion."""
    title, box = session.facts.title, layout["title"]
    role = "title" if canvas.measure(title, "title", True, box.w)[1] <= box.h else "body"
    canvas.text(title, box, role=role, bold=True, wrap=True)
    told = clock(session.snapshot.t_s)
    place = layout["clock"].copy()
    wide = max(place.w, canvas.measure(told, "number", True)[0] + 2)
    place.x, place.w = place.right - wide, wide
    canvas.text(told, place, role="number", align="right", bold=True)
    colour = "ink" if session.playing else "accent"
    pace_box = layout["pace"].copy()
    pace_box.x -= wide - layout["clock"].w  # from ten hours on the clock needs more room
    half = pace_box.h // 2
    state = pygame.Rect(pace_box.x, pace_box.y, pace_box.w, half)
    canvas.text(state_words(session), state, align="right", colour=colour, shorten=True)
    if not closer:
        canvas.text(rate_words(session.drawn_rate), state.move(0, half), align="right", colour="soft")


def draw_right(screen: Intents, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale) -> None:
    """The question where one is open; else the gauges over whatever explains them."""
    desk = screen.desk
    if desk.hands and layout.large:
        return
    if desk.prompt and screen.panel is not None:
        box = screen.panel_box(layout)
        screen.panel.draw(canvas, box)
        if box.h < layout["right"].h:
            draw_slot(screen, canvas, layout, frame, scale)
        if not screen.wide() or box.right > layout["right"].x:
            return
    s, units, facts = screen.session.snapshot, desk.units, screen.session.facts
    gauges.draw_hero(canvas, layout, s, units, gauges.Hero(scale.span_pa, facts.marks))
    cells = layout["cell0"].union(layout["cell5"])
    if desk.notes == "here":
        screen.paint_notes(canvas, cells.union(layout["slot"]))
        return
    if desk.slot == "more" and not (desk.why or screen.spot.key):
        draw_readings(canvas, cells.union(layout["slot"]), rows_of(s, units))
        return
    if desk.why:
        draw_why(canvas, cells, screen.links(), desk.why)
    elif screen.spot.key:
        screen.spot.draw_card(canvas, cells)
    else:
        for i, reading in enumerate(gauges.readings(s, units, FULL_PA, facts.rpm_max)):
            box = layout[f"cell{i}"]
            told = (reading.name, reading.value, reading.unit, round(reading.share * box.w), layout.large)
            work = partial(gauges.draw_cell, canvas, box, reading, not layout.large)
            screen.panels.draw(canvas, f"cell{i}", box, told, work)
    draw_slot(screen, canvas, layout, frame, scale)


def draw_slot(screen: Intents, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale) -> None:
    """Forces on the valve, the list of events, or the trace."""
    desk, session = screen.desk, screen.session
    if desk.slot == "valve" or any(link.head == BALANCE for link in screen.links()[: desk.why]):
        screen.valve.draw(canvas, layout["slot"], session.snapshot, frame, scale)
    elif desk.slot == "more":
        draw_readings(canvas, layout["slot"], rows_of(session.snapshot, desk.units))
    elif desk.slot == "events" or desk.graph:
        draw_events(canvas, layout["slot"], session, desk)
    else:
        draw_trace(screen, canvas, layout["slot"])


def draw_trace(screen: Intents, canvas: Canvas, box: pygame.Rect) -> None:
    """The trace with the curves of the rival, or of the run before."""
    session, rival = screen.session, screen.rivalry.rival
    trace = next((w for w in screen.form.widgets if isinstance(w, TraceWidget)), None)
    cursor = trace.wanted_s if trace else None
    if cursor is None and session.is_past:
        cursor = session.snapshot.t_s
    args = (session.trace, session.events, screen.desk.units, session.facts.max_lift_m, cursor)
    other = (rival.trace, SECOND_RUN) if rival is not None else (session.ghost, LAST_RUN)
    told = (
        session.trace.rows, float(session.trace.column("t_s")[-1]) if session.trace.rows else 0.0,
        len(session.events), id(screen.desk.units), cursor, id(other[0]), other[0].rows if other[0] else 0,
    )  # fmt: skip
    name = "trace" if canvas.text_scale == screen.desk.text_scale else "graph"
    screen.panels.draw(canvas, name, box, told, lambda: screen.plot.draw(canvas, box, *args, *other))


def draw_caption(screen: Intents, canvas: Canvas, layout: Layout) -> None:
    """The newest event in words; before the first, the way to help."""
    session, box = screen.session, layout["caption"]
    events = session.events
    if session.trouble:
        text = f"The model cannot go on; Home starts again. {session.trouble}"
        canvas.text(canvas.fitting(text, box), box, colour="warn", wrap=True)
    elif screen.taker.notice:
        text = screen.taker.notice
        fits = canvas.measure(text, wrap=box.w)[1] <= box.h
        canvas.text(text, box, colour="accent", wrap=fits, shorten=not fits)
    elif session.handle_words:
        canvas.text(session.handle_words, box, bold=True, wrap=True)
    elif not events:
        canvas.text(HINT, box, colour="soft", wrap=True)
    else:
        units, e = screen.desk.units, events[-1]
        dp = f"{units.pressure.text(e.dp_pa)} {units.pressure.sign} differential"
        oil = f"oil {units.temperature.text(e.oil_c)} {units.temperature.sign}"
        what = f"{clock(e.t_s)}  {event_words(e.word)}"
        told = (f"{what}: {dp}, {oil}", f"{what}: {dp}", what)
        text = next((t for t in told if canvas.measure(t, bold=True, wrap=box.w)[1] <= box.h), told[-1])
        canvas.text(text, box, bold=True, wrap=True)


def draw_events(canvas: Canvas, box: pygame.Rect, session: LessonSession, desk: ViewOptions) -> None:
    """The events of the run, the newest last; as many as fit."""
    canvas.panel(box, "sheet")
    inner = box.inflate(-canvas.dp(32), -canvas.dp(20))
    line = round(canvas.measure("Ag")[1] * 1.25)
    rows = max(1, inner.h // line - 1)
    gap = canvas.dp(14)
    canvas.text("Events", pygame.Rect(inner.x, inner.y, inner.w, line), bold=True)
    shown = list(session.events)[-rows:]
    when = max((canvas.measure(clock(e.t_s))[0] for e in shown), default=0) + gap
    for i, e in enumerate(shown):
        row = pygame.Rect(inner.x, inner.y + (i + 1) * line, inner.w, line)
        dp = f"{desk.units.pressure.text(e.dp_pa)} {desk.units.pressure.sign}"
        dp_w = canvas.measure(dp, bold=True)[0] + gap
        canvas.text(clock(e.t_s), row, colour="soft")
        place = pygame.Rect(row.x + when, row.y, row.w - when - dp_w, line)
        words = event_words(e.word)
        short = event_mark(e.word) if canvas.measure(words)[0] > place.w else words
        canvas.text(short, place, shorten=True)
        canvas.text(dp, row, align="right", bold=True)
