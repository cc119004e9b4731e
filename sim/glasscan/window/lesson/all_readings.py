"""All that the model can be read for and that has no gauge of its own in the window: rows of name and value.

Questions ask for such numbers too (dirt on the element, oil lost, oil sent back), so they can be read here.
"""

from __future__ import annotations

from math import pi

import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import MILLIMETRE, UnitSystem, viscosity

G_KG = 1e3
TITLE = "All readings"
Row = tuple[str, str]


def rows_of(s: Snapshot, units: UnitSystem) -> list[Row]:
    """Name, and value with its unit."""
    p, f, t, v = units.pressure, units.flow, units.temperature, units.volume
    extra = s.readings
    return [
        ("Cockpit gauge", f"{p.text(s.gauge_pa)} {p.sign}"),
        ("Pump delivers", f"{f.text(s.pump_m3s)} {f.sign}"),
        ("Regulator sends back", f"{f.text(s.regulator_m3s)} {f.sign}"),
        ("Bearings take", f"{f.text(s.bearings_m3s)} {f.sign}"),
        ("Gallery filled", f"{100 * s.gallery_fill:.0f} %"),
        ("Valve lift", f"{MILLIMETRE.text(s.lift_m)} mm"),
        ("Viscosity in the filter", viscosity(s.nu_m2_s)),
        ("Oil in sump, passages", f"{t.text(s.sump_c)}, {t.text(s.gallery_c)} {t.sign}"),
        ("Indicator button", "out" if s.indicator else "in"),
        ("Dirt on the element", f"{float(s.deposit_kg.sum()) * G_KG:.2f} g"),
        ("Dirt in the oil", f"{extra.get('suspended_kg', 0.0) * G_KG:.3f} g"),
        ("Dirt in the bowl", f"{extra.get('sludge_kg', 0.0) * G_KG:.2f} g"),
        *_handle_rows(extra),
        *_accumulator_rows(extra, units),
        ("Oil lost outside", f"{v.shown(extra.get('leaked_m3', 0.0)):.2f} {v.sign}"),
    ]


def _handle_rows(extra: dict[str, float]) -> list[Row]:
    """The handle of a filter with a scraper: how far it has been turned, what resists it."""
    if "handle_rad" not in extra:
        return []
    turns = extra["handle_rad"] / (2 * pi)
    return [
        ("Handle turned", f"{turns:.2f} turns"),
        ("Handle resists with", f"{extra['handle_n_m']:.2f} N m"),
    ]


def _accumulator_rows(extra: dict[str, float], units: UnitSystem) -> list[Row]:
    """The accumulator of a line that has one, and whether its valve lets the pump idle."""
    if extra.get("accumulator_full_m3", 0.0) <= 0.0:
        return []
    v = units.volume
    return [
        ("Fluid in the accumulator", f"{v.shown(extra['accumulator_m3']):.2f} {v.sign}"),
        ("Pump", "idles" if extra["idles"] else "loaded"),
    ]


def draw_readings(canvas: Canvas, box: pygame.Rect, rows: list[Row]) -> None:
    """Rows under a heading, as many as fit, with more air where there is room."""
    canvas.panel(box, "sheet")
    inner = box.inflate(-canvas.dp(32), -canvas.dp(20))
    line = canvas.measure("Ag")[1]
    canvas.text(TITLE, pygame.Rect(inner.x, inner.y, inner.w, line), bold=True)
    room = max(1, inner.h // line - 1)
    high = max(line, min(line * 3 // 2, (inner.h - line) // max(len(rows), 1)))
    for i, (name, value) in enumerate(rows[:room]):
        row = pygame.Rect(inner.x, inner.y + line + i * high, inner.w, high)
        w = canvas.measure(value, bold=True)[0]
        canvas.text(value, row, align="right", bold=True)
        left = pygame.Rect(row.x, row.y, row.w - w - canvas.dp(14), row.h)
        canvas.text(name, left, shorten=True, colour="soft")
