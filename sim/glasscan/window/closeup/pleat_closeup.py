"""A row of pleats cut across: layout, words and numbers round the picture."""

from __future__ import annotations

import numpy as np
import pygame

from glasscan.filters.closeup.pleat_carriers import PleatCarriers, velocity_at
from glasscan.filters.closeup.pleat_row import PleatFrame, PleatRow
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import KPA, DisplayUnit
from glasscan.ui.theme import Theme, load_theme
from glasscan.window.closeup import closeup_painting as paint
from glasscan.window.closeup.pleat_oil import THICKER, draw_oil, drawn_cake
from glasscan.window.closeup.pleat_view import GAP_M, PleatView, view
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.field_painter import nice_ceiling
from glasscan.window.cutaway.legend import rate_words
from glasscan.window.cutaway.metal import HOLE_M, HOLE_PITCH_M

LEAST_CAKE_PX = 1.5  # a thinner cake is not named
TITLE = "Row of pleats, cut across"
ABOUT = "Plane model of a few of the element's pleats, side by side."
LEAST_FLUX_MM_S = 0.01  # smallest full height of the bars: what the numbers above them show


def drawn_rate(row: PleatRow, frame: PleatFrame, rect: pygame.Rect, surface: pygame.Surface) -> float:
    """How much slower than life the oil should be let drift in a rectangle (step carriers by dt x this)."""
    canvas = Canvas(surface, load_theme("dark"))
    return _rate(canvas, frame, view(row, paint.boxes(canvas, rect).picture))


def _rate(canvas: Canvas, frame: PleatFrame, at: PleatView) -> float:
    speeds = np.abs(np.concatenate([frame.dirty.u_m_s.ravel(), frame.clean.u_m_s.ravel()]))
    speeds = speeds[speeds > 0]
    fast = float(np.percentile(speeds, 90)) if len(speeds) else 0.0
    return paint.rate_for(fast, at.px_m, canvas.scale)


def draw(
    surface: pygame.Surface,
    rect: pygame.Rect,
    closeup: PleatRow,
    frame: PleatFrame,
    theme: Theme,
    scale: PressureScale,
    *,
    carriers: PleatCarriers | None = None,
    unit: DisplayUnit = KPA,
    text_scale: float = 1.0,
) -> Canvas:
    """Draw the close-up into a rectangle; returns the texts as drawn.

    Args:
        surface: the window (its size sets the sizes of text and lines).
        rect: where.
        closeup, frame: the row and its fields of the moment.
        theme: colours.
        scale: the ramp's ends, gauge (see `pressure_scale`).
        carriers: moving oil, or None.
        unit: of pressures in words.
        text_scale: of the text.
    """
    canvas = Canvas(surface, theme, text_scale)
    box = paint.boxes(canvas, rect)
    at = view(closeup, box.picture)
    paint.draw_title(canvas, box.title, TITLE, ABOUT, verdict(frame))
    old = surface.get_clip()
    surface.set_clip(box.picture.clip(old))
    draw_oil(canvas, at, frame, scale)
    if carriers is not None:
        _draw_carriers(canvas, at, frame, carriers)
    _draw_tube(canvas, at, closeup)
    surface.set_clip(old)
    pygame.draw.rect(surface, theme["edge"], box.picture, canvas.dp(2))
    margin = canvas.dp(14)
    bar_h = canvas.measure("Ag")[1] + canvas.dp(28)
    paint.scale_bar(canvas, (box.picture.x + margin, box.picture.bottom - bar_h - margin), at.px_m)
    _draw_strip(canvas, box.strip, at, frame)
    words = [rate_words(_rate(canvas, frame, at)), "dirt grains drawn larger than life"]
    if frame.cake_m.max() * at.px_m > LEAST_CAKE_PX:
        words.append(f"cake {1e3 * float(frame.cake_m.max()):.2f} mm, drawn {THICKER:.0f} × thicker")
    cake, face, _ = frame.surfaces(0.5 * frame.x_edges_m[-1:])
    canvas.record("cake_px", round(float((face - drawn_cake(cake, face)).max()) * at.px_m, 2))
    paint.draw_key(canvas, box.key, scale, unit, words)
    names = paint.draw_facts(canvas, box.side, _facts(frame, closeup, unit))
    paint.draw_names(canvas, names, _names(at, closeup, frame))
    return canvas


def draw_bare(canvas: Canvas, area: pygame.Rect, row: PleatRow, frame: PleatFrame) -> None:
    """The row in a box, with a scale bar and nothing else round it."""
    at = view(row, area)
    old = canvas.surface.get_clip()
    canvas.surface.set_clip(area.clip(old))
    draw_oil(canvas, at, frame, pressure_scale(frame))
    _draw_tube(canvas, at, row)
    margin = canvas.dp(8)
    bar_h = canvas.measure("Ag")[1] + canvas.dp(28)
    paint.scale_bar(canvas, (area.x + margin, area.bottom - bar_h - margin), at.px_m)
    canvas.surface.set_clip(old)


def pressure_scale(frame: PleatFrame, unit: DisplayUnit = KPA) -> PressureScale:
    """A ramp from the clean mouth's pressure up that holds the whole drop, round in `unit`."""
    return PressureScale(frame.outlet_pa, unit.si(nice_ceiling(unit.shown(max(frame.flow.dp_pa, 1e3)))))


def verdict(frame: PleatFrame) -> str:
    """What is wrong with the row, in one sentence, or nothing."""
    if frame.collapsed:
        return "The pleats have collapsed and stay folded."
    if frame.touching.any():
        return "The panels are pressed together: the clean channels collapse."
    if frame.filled.any():
        return "Dirt fills the dirty channels in places."
    if frame.bend_m.max() > frame.at_rest_m[0] / 2:
        return "The pressure pinches the clean channels to less than half."
    return ""


def _facts(frame: PleatFrame, row: PleatRow, unit: DisplayUnit) -> list[tuple[str, str, str]]:
    dp = unit.shown(frame.flow.dp_pa)
    digits = 0 if dp >= 100 else 1 if dp >= 10 else 2
    width = 2e3 * float((row.half_m - frame.bend_m).min())
    shut = bool(frame.touching.any())
    clean_words = "clean channels touch" if shut else "least clean channel"
    dirt = row.mean_deposit_kg_m2 * 1e3
    return [
        ("drop over the pleats", f"{dp:.{digits}f} {unit.sign}", "ink"),
        (clean_words, f"{width:.2f} mm", "warn" if shut or frame.bend_m.max() > row.half_m / 2 else "ink"),
        ("dirt on the medium", f"{dirt:.0f} g/m²", "warn" if frame.filled.any() else "ink"),
    ]


def _names(at: PleatView, row: PleatRow, frame: PleatFrame) -> list[tuple[str, tuple[float, float]]]:
    """Names of what is seen and where each leader ends, px."""
    length, half, medium = row.length_m, row.half_m, row.medium_m
    x = np.array([0.94, 0.82, 0.7, 0.88]) * length
    cake, face, far = frame.surfaces(x)
    core = row.length_m + row.medium_m + GAP_M + row.element.core_mm * 0.5e-3
    places = [
        ("clean channel: open to the centre tube", x[0], 2 * half + medium, 0),
        ("medium: resin-cured fibres", x[1], (face[1] + far[1]) / 2, 0),
        ("dirty channel: open to the outside, shut by the fold", x[3], 0.35 * float(cake[3]), 1),
        ("inner fold", length + medium / 2, 0.2 * half, 1),
        ("centre tube", core, half, 3),
    ]
    if frame.cake_m.max() * at.px_m > LEAST_CAKE_PX:
        places.append(("dirt cake", x[2], (cake[2] + face[2]) / 2, 1))
    return [
        (name, tuple(at.points(np.array([[px, py]]), np.array([copy]))[0].tolist()))
        for name, px, py, copy in places
    ]


def _draw_carriers(canvas: Canvas, at: PleatView, frame: PleatFrame, carriers: PleatCarriers) -> None:
    copies = 2 * (-(-at.area.h // (2 * at.unit_px)) + 1)
    copy = carriers.copy % copies
    place = at.points(carriers.drawn_m(frame), copy)
    speed = velocity_at(frame, carriers.positions_m) * at.px_m * _rate(canvas, frame, at)
    turned = np.where(copy % 2 == 0, -1, 1) * np.where(copy // 2 % 2 == 0, 1, -1)
    paint.draw_marks(canvas, place, speed * np.stack([np.ones(len(copy)), turned], axis=1), carriers.kind)


def _draw_tube(canvas: Canvas, at: PleatView, row: PleatRow) -> None:
    """The perforated centre tube, cut through one row of its holes."""
    left = at.zero_x + (row.length_m + row.medium_m + GAP_M) * at.px_m
    right = left + row.element.core_mm * 1e-3 * at.px_m
    pitch, hole = HOLE_PITCH_M * at.px_m, HOLE_M * at.px_m
    big = pygame.Surface((round(right - left) + 8, at.area.h), pygame.SRCALPHA)
    origin = left - 4
    start = at.middle_y - at.area.y - pitch * (at.area.h // pitch + 1) + hole / 2
    for y in np.arange(start, at.area.h, pitch):
        corners = [(left, y), (right, y), (right, y + pitch - hole), (left, y + pitch - hole)]
        paint.hatched(big, np.array(corners) - [origin, 0], canvas.theme, "core", canvas.scale)
    canvas.surface.blit(big, (round(origin), at.area.y))


def _draw_strip(canvas: Canvas, box: pygame.Rect, at: PleatView, frame: PleatFrame) -> None:
    """Flux through the medium, bar by bar under the pieces it belongs to."""
    canvas.panel(box, "sheet")
    line = canvas.measure("Ag")[1]
    pad = canvas.dp(12)
    flux = frame.flow.flux_m_s * 1e3
    top = nice_ceiling(max(float(flux.max()), LEAST_FLUX_MM_S))
    title = pygame.Rect(box.x + pad, box.y + pad // 2, box.w - 2 * pad, line)
    words = "flow through the medium, mm/s"
    canvas.text(words, title, colour="soft", shorten=True)
    span = f"{_digits(float(flux.min()))} to {_digits(float(flux.max()))}"
    if canvas.measure(words)[0] + pad + canvas.measure(span, bold=True)[0] <= title.w:
        canvas.text(span, title, align="right", bold=True)
    plot = pygame.Rect(at.zero_x, title.bottom + pad // 2, round(frame.x_edges_m[-1] * at.px_m), 0)
    plot.h = box.bottom - pad - plot.y
    edges = plot.x + np.linspace(0, plot.w, len(flux) + 1)
    canvas.surface.fill(canvas.theme["well"], plot)
    paint.bars(canvas, plot, edges[:-1], edges[1:], flux / top, canvas.theme["bar"])
    pygame.draw.line(canvas.surface, canvas.theme["edge"], plot.bottomleft, plot.bottomright, canvas.dp(2))
    scale = pygame.Rect(box.x + pad, plot.y, plot.x - box.x - 2 * pad, line)
    if scale.w >= canvas.measure(f"{top:g}")[0]:
        canvas.text(f"{top:g}", scale, align="right", colour="soft")
        scale.bottom = plot.bottom
        canvas.text("0", scale, align="right", colour="soft")


def _digits(value: float) -> str:
    return f"{value:.{0 if abs(value) >= 100 else 1 if abs(value) >= 10 else 2}f}"
