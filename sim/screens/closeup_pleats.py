"""The pleat row drawn to scale: oil coloured by pressure, medium as fibres, dirt cake, flux beneath."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from sim.filters.closeup.pleat_carriers import PleatCarriers, velocity_at
from sim.filters.closeup.pleats import ChannelField, PleatFrame, PleatRow
from sim.screens import closeup_paint as paint
from sim.screens.canvas import Canvas, TextBox
from sim.screens.contract import Array
from sim.screens.cutaway import PressureScale
from sim.screens.field import nice_ceiling
from sim.screens.keypanel import rate_words
from sim.screens.metal import HOLE_M, HOLE_PITCH_M
from sim.screens.quantities import KPA, Unit
from sim.screens.theme import Theme, load_theme

TITLE = "Row of pleats, cut across"
ABOUT = "Plane model of a few of the element's pleats, side by side."
BEFORE_M = 1.5e-3  # oil shown outside the outer folds
GAP_M = 0.5e-3  # from the inner folds to the centre tube
AFTER_M = 0.8e-3  # inside of the centre tube shown


@dataclass(frozen=True)
class PleatView:
    """Where the row lies: x = 0 at `zero_x`, the middle of a dirty channel at `middle_y`, px.

    Attributes:
        unit_px: distance from that middle to the next clean one, whole pixels.
        px_m: pixels per metre.
        area: where it is drawn.
    """

    zero_x: int
    middle_y: int
    unit_px: int
    px_m: float
    area: pygame.Rect

    def points(self, xy_m: Array, copy: Array) -> Array:
        """(n, 2) pixels of points of the unit, m, in copies 0, 1, ... of it counted from the middle out."""
        upward = np.where(copy % 2 == 0, 1, -1)
        number = copy // 2
        y = np.where(
            number % 2 == 0, number * self.unit_px + xy_m[:, 1] * self.px_m,
            (number + 1) * self.unit_px - xy_m[:, 1] * self.px_m,
        )  # fmt: skip
        return np.stack([self.zero_x + xy_m[:, 0] * self.px_m, self.middle_y - upward * y], axis=1)


def view(row: PleatRow, area: pygame.Rect) -> PleatView:
    """The row from outside its folds to inside the centre tube over the width of `area`."""
    core = row.element.core_mm * 1e-3
    whole = BEFORE_M + row.length_m + 2 * row.medium_m + GAP_M + core + AFTER_M
    unit_px = max(8, int(area.w / whole * row.unit_m))
    px_m = unit_px / row.unit_m
    spare = area.w - whole * px_m
    zero = area.x + spare / 2 + (BEFORE_M + row.medium_m) * px_m
    return PleatView(round(zero), area.centery, unit_px, px_m, area)


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
    unit: Unit = KPA,
    text_scale: float = 1.0,
) -> list[TextBox]:
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
    _draw_oil(canvas, at, frame, scale)
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
    paint.draw_key(canvas, box.key, scale, unit, words)
    y = paint.draw_facts(canvas, box.side, _facts(frame, closeup, unit))
    names = pygame.Rect(box.side.x, y + canvas.dp(8), box.side.w, box.side.bottom - y - canvas.dp(8))
    paint.draw_names(canvas, names, _names(at, closeup, frame))
    return canvas.texts


def pressure_scale(frame: PleatFrame, unit: Unit = KPA) -> PressureScale:
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


def _facts(frame: PleatFrame, row: PleatRow, unit: Unit) -> list[tuple[str, str, str]]:
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
    if frame.cake_m.max() * at.px_m > 1.5:
        places.append(("dirt cake", x[2], (cake[2] + face[2]) / 2, 1))
    return [
        (name, tuple(at.points(np.array([[px, py]]), np.array([copy]))[0].tolist()))
        for name, px, py, copy in places
    ]


class _Kept:
    """The last unit painted: between two frames of the model only the marks move."""

    key: tuple[object, ...] = ()
    tiles: tuple[pygame.Surface, pygame.Surface] | None = None


def _tiles(
    canvas: Canvas, at: PleatView, frame: PleatFrame, scale: PressureScale
) -> tuple[pygame.Surface, pygame.Surface]:
    """The unit as pixels, middle of the dirty channel at the top, and upside down."""
    key = (frame, at, canvas.theme.name, canvas.scale, scale)
    same = len(_Kept.key) == len(key) and frame is _Kept.key[0] and key[1:] == _Kept.key[1:]
    if not same or _Kept.tiles is None:
        pixels = np.clip(_unit_pixels(canvas, at, frame, scale), 0, 255).astype(np.uint8)
        _Kept.tiles = pygame.surfarray.make_surface(pixels), pygame.surfarray.make_surface(pixels[:, ::-1])
        _Kept.key = key
    return _Kept.tiles


def _draw_oil(canvas: Canvas, at: PleatView, frame: PleatFrame, scale: PressureScale) -> None:
    """One unit as pixels, its mirror image beside it, over the height of the picture."""
    down, up = _tiles(canvas, at, frame, scale)
    first = -(-(at.middle_y - at.area.y) // at.unit_px)
    last = -(-(at.area.bottom - at.middle_y) // at.unit_px)
    for k in range(-first, last):
        canvas.surface.blit(down if k % 2 == 0 else up, (at.area.x, at.middle_y + k * at.unit_px))


def _unit_pixels(canvas: Canvas, at: PleatView, frame: PleatFrame, scale: PressureScale) -> Array:
    """(w, unit, 3) colours of the unit, row 0 at the middle of the dirty channel."""
    theme = canvas.theme
    x = (at.area.x + np.arange(at.area.w) + 0.5 - at.zero_x) / at.px_m
    y = (np.arange(at.unit_px) + 0.5) / at.px_m
    cake, face, far = _surfaces(frame, x)
    px = at.px_m
    past = [np.clip((y[None, :] - s[:, None]) * px + 0.5, 0, 1) for s in (cake, face, far)]
    oil = paint.ramp_colours(theme, _pressures(frame, x, y), scale)
    percent = round(canvas.scale * 100)
    size = at.area.w, at.unit_px
    out = paint.mixed(oil, paint.texture("grains", theme.name, *size, percent), past[0] * (1 - past[1]))
    shown = paint.mixed(paint.texture("fibres", theme.name, *size, percent), oil, np.full(size, 0.12))
    out = paint.mixed(out, shown, past[1] * (1 - past[2]))
    line = max(1.2, 2.0 * canvas.scale)
    outline = np.array(theme["outline"], np.float32)
    for surface, weight in ((face, 0.9), (far, 0.9), (cake, 0.55)):
        edge = np.clip(line / 2 + 0.5 - np.abs(y[None, :] - surface[:, None]) * px, 0, 1)
        bare = (surface <= 0) | (surface >= frame.unit_m)
        out = paint.mixed(out, outline, edge * np.where(bare, 0, weight)[:, None])
    return _fold_ends(out, x, frame, px, line, outline)


def _fold_ends(out: Array, x: Array, frame: PleatFrame, px: float, line: float, outline: Array) -> Array:
    """Flat ends of channels and folds as upright lines."""
    half, medium = frame.at_rest_m
    length = float(frame.x_edges_m[-1])
    count = out.shape[1]
    y = (np.arange(count) + 0.5) / px
    for place, rows in (
        (0.0, y > half + medium), (-medium, y > half + medium),
        (length, y < half), (length + medium, y < half),
    ):  # fmt: skip
        near = np.flatnonzero(np.abs(x - place) * px < line)
        edge = np.clip(line / 2 + 0.5 - np.abs(x[near] - place) * px, 0, 1) * 0.9
        out[near] = paint.mixed(out[near], outline, edge[:, None] * rows[None, :])
    return out


def _surfaces(frame: PleatFrame, x: Array) -> Array:
    """(3, n) cake, dirty and clean face of the medium along the picture, folds with round corners."""
    half, medium = frame.at_rest_m
    length, unit = float(frame.x_edges_m[-1]), frame.unit_m
    out = frame.surfaces(np.clip(x, 0, length))
    before, after = x < 0, x > length
    outer = half + medium - np.sqrt(np.maximum(medium**2 - x**2, 0.0))
    out[:, before] = np.where(x[before] > -medium, outer[before], 2 * unit)
    out[2, before] = 2 * unit
    inner = half + np.sqrt(np.maximum(medium**2 - (x - length) ** 2, 0.0))
    out[:, after] = -unit
    out[2, after] = np.where(x[after] < length + medium, inner[after], -unit)
    return out


def _pressures(frame: PleatFrame, x: Array, y: Array) -> Array:
    """(n, m) pressure at every place of the picture of the unit, Pa gauge."""
    length, unit = float(frame.x_edges_m[-1]), frame.unit_m
    inside = np.clip(x, 0, length * (1 - 1e-9))
    cake, face, far = (s[:, None] for s in frame.surfaces(inside))
    count = len(frame.bend_m)
    k = np.minimum((inside / length * count).astype(int), count - 1)
    dirty = _in_channel(frame.x_edges_m, frame.dirty, inside, y[None, :] / np.maximum(cake, 1e-9), k)
    share = (unit - y[None, :]) / np.maximum(unit - far, 1e-9)
    clean = _in_channel(frame.x_edges_m, frame.clean, inside, share, k)
    flow = frame.flow
    high, low = (frame.outlet_pa + p[k][:, None] for p in (flow.dirty_pa, flow.clean_pa))
    between = low + (high - low) * frame.wall_share[k][:, None]
    in_cake = high + (between - high) * np.clip((y - cake) / np.maximum(face - cake, 1e-9), 0, 1)
    in_wall = between + (low - between) * np.clip((y - face) / (far - face), 0, 1)
    out = np.where(y < cake, dirty, np.where(y < face, in_cake, np.where(y < far, in_wall, clean)))
    out = np.where(x[:, None] < 0, frame.inlet_pa, out)
    return np.where(x[:, None] > length, frame.outlet_pa, out)


def _in_channel(x_edges: Array, field: ChannelField, x: Array, share: Array, piece: Array) -> Array:
    """Pressures at places (n,) along and shares (n, m) of the half width, of the cells as solved."""
    i = np.clip(np.searchsorted(x_edges, x, side="right") - 1, 0, len(x_edges) - 2)
    y = np.clip(share, 0, 0.999) * field.gap_m[piece][:, None]
    j = np.clip(np.searchsorted(field.y_edges_m, y, side="right") - 1, 0, len(field.y_edges_m) - 2)
    return np.asarray(field.pressure_pa[i[:, None], j])


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
    top = nice_ceiling(float(flux.max()))
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
