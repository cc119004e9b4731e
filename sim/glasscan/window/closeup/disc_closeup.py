"""One gap of the disc stack along its axis: layout, words and numbers round the picture."""

from __future__ import annotations

import numpy as np
import pygame

from glasscan.filters.closeup.disc_carriers import DiscCarriers, polar_velocity
from glasscan.filters.closeup.disc_face import DiscFace, DiscFrame
from glasscan.laws.combing import TURN
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import KPA, DisplayUnit
from glasscan.ui.theme import Theme, load_theme
from glasscan.window.closeup import closeup_painting as paint
from glasscan.window.closeup.disc_metal import draw_metal
from glasscan.window.closeup.disc_oil import oil
from glasscan.window.closeup.disc_view import DiscView, bands, thickness, view
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.field_painter import nice_ceiling
from glasscan.window.cutaway.legend import rate_words

TITLE = "One gap between two discs"
ABOUT = "Seen along the shaft; the upper disc is left out."
STRIP_DP = 150.0
THIN_M = 5e-5  # cake thinner than this gets no name


def drawn_rate(face: DiscFace, frame: DiscFrame, rect: pygame.Rect, surface: pygame.Surface) -> float:
    """How much slower than life the oil should be let drift in a rectangle (step carriers by dt x this)."""
    canvas = Canvas(surface, load_theme("dark"))
    return _rate(canvas, frame, view(face, paint.boxes(canvas, rect, STRIP_DP).picture))


def _rate(canvas: Canvas, frame: DiscFrame, at: DiscView) -> float:
    ring = frame.ring
    mouth = ring.step_rad * ring.r_edges_m[len(ring.r_edges_m) // 2] * ring.gap_m
    speeds = np.abs(frame.inward_m3s[:, len(ring.r_edges_m) // 2]) / mouth
    return paint.rate_for(float(np.percentile(speeds, 90)), at.px_m, canvas.scale)


def pressure_scale(frame: DiscFrame, unit: DisplayUnit = KPA) -> PressureScale:
    """A ramp from the hollow's pressure up that holds the whole drop, round in `unit`."""
    drop = max(frame.outer_pa - frame.inner_pa, 1e3)
    return PressureScale(frame.inner_pa, unit.si(nice_ceiling(unit.shown(drop))))


def draw(
    surface: pygame.Surface,
    rect: pygame.Rect,
    closeup: DiscFace,
    frame: DiscFrame,
    theme: Theme,
    scale: PressureScale,
    *,
    carriers: DiscCarriers | None = None,
    unit: DisplayUnit = KPA,
    text_scale: float = 1.0,
) -> Canvas:
    """Draw the close-up into a rectangle; returns the canvas with its texts and the facts of the picture.

    Args:
        surface: the window (its size sets the sizes of text and lines).
        rect: where.
        closeup, frame: the face and its fields of the moment.
        theme: colours.
        scale: the ramp's ends, gauge (see `pressure_scale`).
        carriers: moving oil, or None.
        unit: of pressures in words.
        text_scale: of the text.
    """
    canvas = Canvas(surface, theme, text_scale)
    box = paint.boxes(canvas, rect, STRIP_DP)
    at = view(closeup, box.picture)
    paint.draw_title(canvas, box.title, TITLE, ABOUT, verdict(closeup))
    old = surface.get_clip()
    surface.set_clip(box.picture.clip(old))
    surface.blit(oil(canvas, at, frame, scale), box.picture)
    if carriers is not None:
        _draw_carriers(canvas, at, frame, carriers)
    canvas.record("disc_deg", round(draw_metal(canvas, at, closeup, frame), 2))
    surface.set_clip(old)
    pygame.draw.rect(surface, theme["edge"], box.picture, canvas.dp(2))
    margin = canvas.dp(14)
    bar_h = canvas.measure("Ag")[1] + canvas.dp(28)
    paint.scale_bar(canvas, (box.picture.x + margin, box.picture.bottom - bar_h - margin), at.px_m)
    _draw_strip(canvas, box.strip, frame)
    words = [rate_words(_rate(canvas, frame, at)), "dirt grains drawn larger than life"]
    paint.draw_key(canvas, box.key, scale, unit, words)
    names = paint.draw_facts(canvas, box.side, _facts(frame, closeup, unit))
    canvas.record("combed_mg", round(closeup.data.stack.gaps * closeup.state.removed_kg * 1e6, 1))
    paint.draw_names(canvas, names, _names(at, closeup, frame))
    return canvas


def verdict(face: DiscFace) -> str:
    """What is wrong with blade or drive, in one sentence, or nothing."""
    blade = face.blade
    if blade.slip > 0:
        return f"The drive slips: {100 * blade.slip:.0f} % of the handle's turn is lost."
    if blade.bent > 0:
        return f"Bent blade: it misses {100 * blade.bent:.0f} % of the gap's height, where dirt stays."
    if blade.worn > 0:
        return f"Worn blade: it has lost {100 * blade.worn:.0f} % of its bite."
    return ""


def _facts(frame: DiscFrame, face: DiscFace, unit: DisplayUnit) -> list[tuple[str, str, str]]:
    dp = unit.shown(frame.outer_pa - frame.inner_pa)
    digits = 0 if dp >= 100 else 1 if dp >= 10 else 2
    turned = np.degrees(frame.turned_rad)
    turns = f"{turned:.0f}°" if turned < 720 else f"{turned / 360:.1f} turns"
    return [
        ("drop over the gap", f"{dp:.{digits}f} {unit.sign}", "ink"),
        ("dirt at the rim", f"{face.held_kg * 1e6:.1f} mg", "ink"),
        ("combed off this gap", f"{face.state.removed_kg * 1e6:.1f} mg", "ink"),
        ("off the whole stack", f"{face.data.stack.gaps * face.state.removed_kg * 1e6:.0f} mg", "ink"),
        ("disc has turned", turns, "ink"),
    ]


def _names(at: DiscView, face: DiscFace, frame: DiscFrame) -> list[tuple[str, tuple[float, float]]]:
    """Names of what is seen and where each leader ends, px."""
    scraper = face.data.scraper
    thick = thickness(frame)
    angles = np.radians(np.arange(20, 75, 5))
    sector = ((angles - frame.turned_rad) % TURN / frame.ring.step_rad).astype(int) % frame.ring.sectors
    best = int(np.argmax(thick[sector]))  # the leader goes where there is most
    arm = min(
        (_arm_angle(face, frame, k) for k in range(face.extra.separator.arms)), key=lambda a: abs(a + 0.9)
    )
    places = [
        ("scraper blade, fixed", 0.8 * face.ro_m + 0.2 * face.tip_m, 0.0),
        ("blade post", scraper.post_at_mm * 1e-3, 0.0),
        ("gap, disc behind", 0.88 * face.ro_m, -0.32),
        ("arm of the spacer", 0.93 * face.arm_outer_m, arm),
        ("hollow centre: clean oil", 0.72 * face.ri_m, -1.25),
        ("bowl: oil not filtered yet", 1.12 * face.ro_m, -0.55),
        ("shaft", 0.4 * scraper.shaft_radius_mm * 1e-3, -1.2),
    ]
    if thick[sector[best]] > THIN_M:
        places.append(("dirt cake", face.ro_m + float(thick[sector[best]]) / 2, float(angles[best])))
    at_m = np.array([[r * np.cos(a), r * np.sin(a)] for _, r, a in places])
    return [(name, tuple(p)) for (name, _, _), p in zip(places, at.points(at_m).tolist(), strict=True)]


def _arm_angle(face: DiscFace, frame: DiscFrame, k: int) -> float:
    """Angle of an arm on the screen, -pi..pi."""
    raw = TURN * (k + 0.5) / face.extra.separator.arms + frame.turned_rad
    return float((raw + np.pi) % TURN - np.pi)


def _draw_carriers(canvas: Canvas, at: DiscView, frame: DiscFrame, carriers: DiscCarriers) -> None:
    place = at.points(carriers.drawn_m(frame))
    speed = polar_velocity(frame, carriers.polar) * at.px_m * _rate(canvas, frame, at)
    angle = carriers.polar[1] + frame.turned_rad
    around = speed[1] * carriers.polar[0]
    vx = speed[0] * np.cos(angle) - around * np.sin(angle)
    vy = speed[0] * np.sin(angle) + around * np.cos(angle)
    paint.draw_marks(canvas, place, np.stack([vx, -vy], axis=1), carriers.kind)


def _draw_strip(canvas: Canvas, box: pygame.Rect, frame: DiscFrame) -> None:
    """Thickness of the cake, sector by sector, unrolled from the blade on."""
    canvas.panel(box, "sheet")
    line = canvas.measure("Ag")[1]
    pad = canvas.dp(12)
    rows = np.roll(bands(frame), -int(frame.blade_rad / frame.ring.step_rad + 0.5), axis=1) * 1e3
    top = nice_ceiling(max(float(rows.max()), 0.1))
    title = pygame.Rect(box.x + pad, box.y + pad // 2, box.w - 2 * pad, line)
    words = "combed last" if len(rows) == 1 else "combed last; dark: the band the blade misses"
    whole = f"dirt cake round the rim, mm; left: {words}"
    short = canvas.measure(whole)[0] > title.w
    canvas.text("dirt cake round the rim, mm" if short else whole, title, colour="soft", shorten=short)
    wide = canvas.measure("0.00")[0]
    plot = pygame.Rect(box.x + wide + 2 * pad, title.bottom + pad // 2, box.w - wide - 3 * pad, 0)
    plot.h = box.bottom - pad - plot.y
    canvas.surface.fill(canvas.theme["well"], plot)
    edges = np.rint(plot.x + np.linspace(0, plot.w, rows.shape[1] + 1))
    resin = canvas.theme.material("resin")
    for band, colour in zip(
        rows[::-1], (resin.fill,) if len(rows) == 1 else (resin.hatch, resin.fill), strict=True
    ):
        paint.bars(canvas, plot, edges[:-1], edges[1:], band / top, colour, 0)
    pygame.draw.line(canvas.surface, canvas.theme["edge"], plot.bottomleft, plot.bottomright, canvas.dp(2))
    number = pygame.Rect(box.x + pad, plot.y, wide, line)
    canvas.text(f"{top:g}", number, align="right", colour="soft")
    number.bottom = plot.bottom
    canvas.text("0", number, align="right", colour="soft")
