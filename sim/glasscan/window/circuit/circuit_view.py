"""The circuit as one picture: pieces, ribbons as wide as their flow, words and numbers beside them."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import UnitSystem
from glasscan.window.circuit import circuit_pieces as pieces
from glasscan.window.circuit.circuit_flows import (
    LEAST_M3S,
    CircuitFlows,
    RigNumbers,
    Stream,
    flows_of,
    scale_m3s,
)
from glasscan.window.circuit.circuit_layout import Places, places
from glasscan.window.circuit.ribbons import RibbonPainter

STARVED = 0.02  # share of its flow that a pump misses before it is told
OPEN_M = 1e-6
BLOCKED = 1.5  # times the sound resistance from which the suction is called blocked


def draw_circuit(
    canvas: Canvas,
    box: pygame.Rect,
    s: Snapshot,
    units: UnitSystem,
    rig: RigNumbers | None = None,
    moved: dict[str, float] | None = None,
    drawn_s: float = 0.0,
    words: bool = True,
    over: Callable[[Canvas, Places], None] | None = None,
) -> None:
    """Draw the circuit of a moment into a box, and record what was drawn.

    Args:
        canvas: what to draw on.
        box: where, px.
        s: the moment.
        units: in which numbers are told.
        rig: numbers of the rig, where they are known.
        moved: how far the marks in the ribbons have moved; kept by the caller from frame to frame.
        drawn_s: screen time by which they move on.
        words: names and numbers too.
        over: draws more over the pieces, such as what is wrong with them.
    """
    canvas.panel(box, "sheet", None, 12)
    inner = box.inflate(-canvas.dp(28), -canvas.dp(16))
    at, flows = places(canvas, inner, words, s.regulator_before), flows_of(s, rig)
    full = scale_m3s(s, rig)
    painter = RibbonPainter(canvas, at.pipe / full, at.pipe, moved if moved is not None else {})
    _pipes(painter, at, s)
    pieces.draw_sump(canvas, at, flows, s)
    through_y, past_y = pieces.draw_filter(canvas, at, s.lift_m > OPEN_M)
    _ribbons(painter, at, flows, s, drawn_s, (through_y, past_y))
    pieces.draw_pump(canvas, at, flows)
    pieces.draw_regulator(canvas, at, s, rig)
    pieces.draw_gallery(canvas, at, s)
    pieces.draw_bearings(canvas, at)
    pieces.draw_accumulator(canvas, at, s)
    pieces.draw_gauge(canvas, at, s, rig)
    pieces.draw_button(canvas, at, s)
    if over is not None:
        over(canvas, at)
    canvas.record("ribbons", painter.told)
    if words:
        _words(canvas, at, flows, s, units, rig)
        _scale(canvas, at, units, full)


def _pipes(painter: RibbonPainter, at: Places, s: Snapshot) -> None:
    """Every pipe there is; the regulator's branch where it sits."""
    paths = at.paths()
    names = ["suction", "pressure", "delivery", "outlet", "gallery", "home", "relief"]
    names.append("spill-before" if s.regulator_before else "spill-after")
    painter.pipes([paths[name] for name in [*names, *(f"bearing{i}" for i in range(len(at.bearings())))]])


def _ribbons(
    painter: RibbonPainter,
    at: Places,
    flows: CircuitFlows,
    s: Snapshot,
    drawn_s: float,
    ways: tuple[float, float],
) -> None:
    """All streams, from the sump and back to it."""
    paths, streams = at.paths(), flows.streams
    through_y, past_y = ways
    left, right, mid = float(at.filter.x), float(at.filter.right), float(at.filter.centerx)
    run = [("suction", "dirty"), ("outlet", "mixed"), ("gallery", "mixed")]
    for name, colour in run:
        painter.stream(name, streams[name], paths[name], colour, drawn_s)
    sent = flows.m3s("delivery") + flows.m3s("spill-before")
    line = Stream("pump", "pressure line", sent, 1.0)
    if s.regulator_before:
        painter.stream("pressure", line, paths["pressure"], "dirty", drawn_s)
        painter.stream("delivery", streams["delivery"], paths["delivery"], "dirty", drawn_s)
    else:
        painter.stream(
            "delivery", streams["delivery"], [paths["pressure"][0], paths["delivery"][1]], "dirty", drawn_s
        )
    inset = 0.16 * at.filter.w
    for name, y, colour in (("element", through_y, "good"), ("valve", past_y, "warn")):
        end = "element" if name == "element" else "bypass valve"
        flow = streams[name].m3s
        way_in = [(left, at.main_y), (left + inset, at.main_y), (left + inset, y), (mid, y)]
        way_out = [(mid, y), (right - inset, y), (right - inset, at.main_y), (right, at.main_y)]
        painter.stream(f"{name} in", Stream("filter inlet", end, flow, 1.0), way_in, "dirty", drawn_s)
        painter.stream(name, Stream(end, "filter outlet", flow), way_out, colour, drawn_s)
    spill = "spill-before" if s.regulator_before else "spill-after"
    home = float(at.sump.right)
    painter.stream(spill, streams[spill], paths[spill], "dirty" if s.regulator_before else "mixed", drawn_s)
    for name in ("relief", "unload"):  # one way back, and never both at once
        painter.stream(name, streams[name], paths["relief"], "dirty", drawn_s)
    part = flows.streams["bearings"]
    each = Stream("gallery", "bearings", part.m3s / len(at.bearings()), part.unfiltered_share)
    for i in range(len(at.bearings())):
        painter.stream(f"bearing{i}", each, paths[f"bearing{i}"], "mixed", drawn_s)
    path = [(at.bearings()[-1], at.back_y), (home, at.back_y)]
    whole = Stream("bearings", "sump", part.m3s, part.unfiltered_share)
    shift = 0.5 * flows.m3s(spill) * painter.px_m3s
    painter.stream("home", whole, path, "mixed", drawn_s, min(shift, 0.25 * at.pipe))


def _flow(units: UnitSystem, m3s: float) -> str:
    return f"{units.flow.text(m3s)} {units.flow.sign}"


def _words(
    canvas: Canvas, at: Places, flows: CircuitFlows, s: Snapshot, units: UnitSystem, rig: RigNumbers | None
) -> None:
    """Name and number of each piece."""
    line = canvas.measure("Ag")[1]
    heat = f"{units.temperature.text(s.sump_c)} {units.temperature.sign}"
    back = _flow(units, flows.m3s("spill-before") + flows.m3s("spill-after"))
    told = [
        ("before" if s.regulator_before else "after", "sends back", back, "ink", 0.15),
        ("sump", "sump", heat, "ink", 0.17),
        ("pump", "pump sends", _flow(units, s.pump_m3s), "ink", 0.15),
        ("filter", "through / past", _both(units, flows), "ink", 0.17),
        ("gallery", *_line_words(units, s), "ink", 0.24),
    ]
    for column, head, number, colour, wide in told:
        place = pygame.Rect(0, at.over.y, round(wide * at.box.w), line)
        place.centerx = round(at.x(column))
        place.clamp_ip(pygame.Rect(at.box.x, at.over.y, at.box.w, line))
        canvas.text(head, place, align="centre", colour="soft", shorten=True)
        if canvas.measure(number, bold=True)[0] > place.w:  # the unit stands beside the other numbers
            number = number.rpartition(" ")[0]
        canvas.text(number, place.move(0, line), align="centre", colour=colour, bold=True, shorten=True)
    _pump_words(canvas, at, flows, units, rig, idles=s.readings.get("idles", 0.0) > 0.0)


def _line_words(units: UnitSystem, s: Snapshot) -> tuple[str, str]:
    """The line behind the filter and what leaves it; with an accumulator, what that holds."""
    stored = s.readings.get("accumulator_m3")
    if stored is None:
        return f"gallery {100 * s.gallery_fill:.0f} % full", f"bearings {_flow(units, s.bearings_m3s)}"
    held = f"accumulator {units.volume.text(stored)} {units.volume.sign}"
    return held, f"line takes {_flow(units, s.bearings_m3s)}"


def _both(units: UnitSystem, flows: CircuitFlows) -> str:
    past = flows.m3s("valve") + flows.m3s("hole")
    return f"{units.flow.text(flows.m3s('element'))} / {_flow(units, past)}"


def _pump_words(
    canvas: Canvas,
    at: Places,
    flows: CircuitFlows,
    units: UnitSystem,
    rig: RigNumbers | None,
    idles: bool = False,
) -> None:
    """Whether the pump runs full, in one line at the foot."""
    if flows.wanted_m3s <= LEAST_M3S:
        text, colour = "The pump stands.", "soft"
    elif not flows.covered:
        text, colour = "The level is below the pick-up: the pump draws air.", "warn"
    elif flows.fill < 1.0 - STARVED:
        could, draws = units.flow.text(flows.wanted_m3s), _flow(units, flows.m3s("suction"))
        what = suction_words(rig)
        text, colour = (
            f"Pump {100 * flows.fill:.0f} % full: could send {could}, {what} lets it draw {draws}",
            "warn",
        )
    elif idles:
        text, colour = "The unloading valve sends the flow back: the pump idles.", "soft"
    else:
        text, colour = "The pump runs full.", "soft"
    place = at.under.copy()
    place.w = round(0.76 * at.box.w)
    canvas.text(text, place, colour=colour, shorten=True)


def suction_words(rig: RigNumbers | None) -> str:
    """What limits the suction."""
    if rig is not None and rig.now.suction_r > BLOCKED * rig.sound.suction_r:
        return "the blocked strainer"
    return "thick oil"


def _scale(canvas: Canvas, at: Places, units: UnitSystem, full_m3s: float) -> None:
    """The scale of the ribbons: a pipe's width is so much flow."""
    text = f"full pipe {_flow(units, full_m3s)}"
    w = canvas.measure(text)[0]
    place = pygame.Rect(at.under.right - w - 2, at.under.y, w + 2, at.under.h)
    canvas.text(text, place, colour="soft")
    bar = pygame.Rect(place.x - canvas.dp(14), place.bottom - at.pipe, canvas.dp(6), at.pipe)
    pygame.draw.rect(canvas.surface, canvas.theme["dirty"], bar)
