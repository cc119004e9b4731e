"""Gauges: name, big number, unit, and a bar; the differential pressure largest, with its cracking mark."""

from __future__ import annotations

from dataclasses import dataclass

import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import MILLIMETRE, UnitSystem
from glasscan.window.lesson.valve_state import OPEN_M, ValveMarks
from glasscan.window.lesson.window_layout import Layout

STILL_M3S = 1e-6  # 0.06 L/min: less is called no flow


@dataclass(frozen=True)
class GaugeReading:
    """One gauge: name with the kind of pressure, value text, unit, and its bar's share 0..1."""

    name: str
    value: str
    unit: str
    share: float
    colour: str = "bar"


def readings(s: Snapshot, units: UnitSystem, full_pa: float, rpm_max: float) -> list[GaugeReading]:
    """The six small gauges of a snapshot."""
    p, f = units.pressure, units.flow
    flow_full = 5e-4 if s.pump_m3s < 5e-4 else 1e-3
    spread = (s.filter_c + 40) / 160
    return [
        GaugeReading("Inlet (gauge)", p.text(s.inlet_pa), p.sign, s.inlet_pa / full_pa, "inlet"),
        GaugeReading("Outlet (gauge)", p.text(s.outlet_pa), p.sign, s.outlet_pa / full_pa, "outlet"),
        GaugeReading(
            "Oil in the filter", units.temperature.text(s.filter_c), units.temperature.sign, spread, "oil"
        ),
        GaugeReading("Engine speed", f"{s.rpm:.0f}", "rpm", s.rpm / rpm_max),
        GaugeReading(
            "Through element", f.text(shown(s.element_m3s)), f.sign, s.element_m3s / flow_full, "good"
        ),
        GaugeReading("Through bypass", f.text(shown(s.bypass_m3s)), f.sign, s.bypass_m3s / flow_full, "warn"),
    ]


def record_number(canvas: Canvas, name: str, written: str) -> None:
    """Note a number of the panel as it was written, beside those already noted."""
    before = canvas.drawn.get("numbers")
    known = before if isinstance(before, dict) else {}
    canvas.record("numbers", {**known, name: written.replace("\N{MINUS SIGN}", "-")})


def draw_cell(canvas: Canvas, box: pygame.Rect, reading: GaugeReading, bar: bool) -> None:
    """One small gauge."""
    canvas.panel(box, "sheet")
    inner = box.inflate(-canvas.dp(24), -canvas.dp(10))
    name_h = canvas.measure("Ag")[1]
    canvas.text(reading.name, pygame.Rect(inner.x, inner.y, inner.w, name_h), colour="soft")
    line = pygame.Rect(inner.x, inner.y + name_h, inner.w, canvas.measure("0", "number", True)[1])
    unit_w = canvas.measure(reading.unit)[0]
    baseline = canvas.tp(6)
    number = pygame.Rect(line.x, line.y, line.w - unit_w - canvas.dp(7), line.h)
    canvas.text(reading.value, number, role="number", align="right", bold=True)
    record_number(canvas, reading.name, reading.value)
    canvas.text(
        reading.unit,
        pygame.Rect(line.right - unit_w, line.y, unit_w, line.h - baseline),
        valign="bottom",
        colour="soft",
    )
    if bar:
        strip = pygame.Rect(inner.x, box.bottom - canvas.dp(13), inner.w, canvas.dp(7))
        _bar(canvas, strip, reading.share, reading.colour)


def _bar(canvas: Canvas, strip: pygame.Rect, share: float, colour: str) -> None:
    canvas.panel(strip, "well", None, 4)
    filled = strip.copy()
    filled.w = round(strip.w * min(max(share, 0.0), 1.0))
    if filled.w > 2:
        pygame.draw.rect(canvas.surface, canvas.theme[colour], filled, border_radius=canvas.dp(3))


@dataclass(frozen=True)
class Hero:
    """What the large gauge shows: full scale, Pa differential, and what the valve is made for."""

    full_pa: float
    marks: ValveMarks | None = None


def draw_hero(canvas: Canvas, layout: Layout, s: Snapshot, units: UnitSystem, hero: Hero) -> None:
    """Differential pressure across the filter, the valve's state, oil gone unfiltered."""
    box = layout["hero"]
    canvas.panel(box, "sheet")
    inner = box.inflate(-canvas.dp(32), -canvas.dp(16))
    line_h = canvas.measure("Ag")[1]
    role = "number" if layout.large else "hero"
    canvas.text(
        "Across the filter (differential)", pygame.Rect(inner.x, inner.y, inner.w, line_h), colour="soft"
    )
    number_h = canvas.measure("0", role, True)[1]
    row = pygame.Rect(inner.x, inner.y + line_h, inner.w, number_h)
    value, widest = units.pressure.text(s.dp_pa), units.pressure.text(hero.full_pa)
    # a place as wide as the full scale: neither number nor unit moves when a digit more is shown
    place_w = max(canvas.measure(text, role, True)[0] for text in (value, widest))
    canvas.text(
        value, pygame.Rect(row.x, row.y, place_w, row.h), role=role, colour="ink", bold=True, align="right"
    )
    record_number(canvas, "Across the filter", value)
    unit_w = canvas.measure(units.pressure.sign, "title")[0]
    foot = canvas.tp(7 if layout.large else 14)
    unit = pygame.Rect(row.x + place_w + canvas.dp(12), row.y, unit_w, row.h - foot)
    canvas.text(units.pressure.sign, unit, role="title", valign="bottom", colour="soft")
    chip = pygame.Rect(inner.right - canvas.tp(238), row.y, canvas.tp(238), 0)
    chip.h = canvas.tp(38)
    valve_chip(canvas, chip, s)
    below = pygame.Rect(chip.x, chip.bottom + canvas.dp(2), chip.w, 2 * line_h)
    volume = f"{units.volume.text(s.unfiltered_m3)} {units.volume.sign}"
    text = f"unfiltered: {volume}"
    if layout.large:
        canvas.text(
            text, pygame.Rect(inner.x, inner.bottom - line_h, inner.w, line_h), align="right", colour="soft"
        )
    else:
        if canvas.measure(text)[0] > below.w:
            text = f"unfiltered:\n{volume}"
        canvas.text(text, below, align="right", valign="top", colour="soft", wrap=True)
        _draw_scale(
            canvas, pygame.Rect(inner.x, row.bottom, inner.w, inner.bottom - row.bottom), s, units, hero
        )


def shown(flow_m3s: float) -> float:
    """A flow as shown: less than what is called no flow counts as none, m3/s."""
    return flow_m3s if abs(flow_m3s) > STILL_M3S else 0.0


def valve_chip(canvas: Canvas, box: pygame.Rect, s: Snapshot) -> None:
    """Open or shut: by word, by a filled or an empty field, and by colour."""
    if s.valve is None:
        canvas.text("no bypass valve", box, align="centre")
        return
    opened = s.lift_m > OPEN_M
    canvas.panel(box, "warn" if opened else "well", "edge", 19, 2)
    text = f"OPEN {MILLIMETRE.text(s.lift_m)} mm" if opened else "bypass shut"
    colour = "paper" if opened else "ink"
    canvas.text(text, box, align="centre", bold=opened, colour=colour)


def _draw_scale(canvas: Canvas, box: pygame.Rect, s: Snapshot, units: UnitSystem, hero: Hero) -> None:
    """A bar from zero to full scale; two marks of the valve, and the pressure the valve itself feels."""
    strip = pygame.Rect(box.x, box.y + canvas.dp(2), box.w, canvas.dp(14))
    opened = s.lift_m > OPEN_M
    _bar(canvas, strip, s.dp_pa / hero.full_pa, "warn" if opened else "dp")
    if hero.marks is None:
        return
    marks, unit = hero.marks, units.pressure
    words = f"valve: opens {unit.text(marks.opens_pa)}"
    _mark(canvas, strip, marks.opens_pa / hero.full_pa, 12)
    if marks.reseats_pa is not None:
        words += f", reseats {unit.text(marks.reseats_pa)}"
        _mark(canvas, strip, marks.reseats_pa / hero.full_pa, 5)
    own = marks.own_drop_pa(s)
    if own is not None and s.valve is not None:
        x = strip.x + round(strip.w * min(max(own / hero.full_pa, 0.0), 1.0))
        size = canvas.dp(9)
        top = strip.bottom + 1
        corners = [(x, top), (x - size, top + 1.5 * size), (x + size, top + 1.5 * size)]
        pygame.draw.polygon(canvas.surface, canvas.theme["accent"], corners)
        canvas.record("valve_own_kpa", round(own / 1e3, 2))
    words += f" {unit.sign}"
    h = canvas.measure(words)[1]
    place = pygame.Rect(box.x, strip.bottom + canvas.dp(15), box.w, h)
    canvas.text(words, place, colour="soft", shorten=True)


def _mark(canvas: Canvas, strip: pygame.Rect, share: float, over_dp: float) -> None:
    """A stroke across the bar."""
    x = strip.x + round(strip.w * min(max(share, 0.0), 1.0))
    mark = pygame.Rect(x - canvas.dp(2), strip.y - canvas.dp(5), canvas.dp(4), strip.h + canvas.dp(over_dp))
    pygame.draw.rect(canvas.surface, canvas.theme["ink"], mark)
