"""One gap of the disc stack drawn to scale along its axis: oil, arms, blade, dirt at the rim by sector."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pygame

from sim.filters.closeup.disc_carriers import DiscCarriers, polar_velocity
from sim.filters.closeup.discs import TURN, DiscFace, DiscFrame
from sim.screens import closeup_paint as paint
from sim.screens.canvas import Canvas, TextBox
from sim.screens.contract import Array
from sim.screens.cutaway import PressureScale
from sim.screens.field import nice_ceiling
from sim.screens.keypanel import rate_words
from sim.screens.quantities import KPA, Unit
from sim.screens.theme import Theme, load_theme

TITLE = "One gap between two discs"
ABOUT = "Seen along the shaft; the upper disc is left out."
MARGIN_M = 1.0e-3  # oil of the bowl shown beyond what stands in it
HUB_M = 1.8e-3  # ring of the separator round the shaft
LAYER = 2  # supersampling of the metal
STRIP_DP = 150.0
ARC = 40  # points of a circle's arc
CAKE_M = 8e-3  # the thickest cake drawn
THIN_M = 5e-5  # cake thinner than this gets no name


@dataclass(frozen=True)
class DiscView:
    """Where the face lies: the axis at (x, y), px, and pixels per metre."""

    x: float
    y: float
    px_m: float
    box: tuple[int, int, int, int]

    @property
    def area(self) -> pygame.Rect:
        """Where it is drawn."""
        return pygame.Rect(self.box)

    def points(self, xy_m: Array) -> Array:
        """(n, 2) pixels of (n, 2) places, m, y upwards."""
        return np.stack([self.x + xy_m[:, 0] * self.px_m, self.y - xy_m[:, 1] * self.px_m], axis=1)


def view(face: DiscFace, area: pygame.Rect) -> DiscView:
    """Room for the rim with a thick cake all round and for the blade's post on the right."""
    post = (face.data.scraper.post_at_mm + face.data.scraper.post_radius_mm) * 1e-3 + MARGIN_M
    round_m = face.ro_m + 2 * MARGIN_M
    px_m = min(area.h / (2 * round_m), area.w / (round_m + max(round_m, post)))
    spare = area.w - px_m * (round_m + max(round_m, post))
    return DiscView(area.x + spare / 2 + round_m * px_m, area.centery, px_m, (area.x, area.y, area.w, area.h))


def drawn_rate(face: DiscFace, frame: DiscFrame, rect: pygame.Rect, surface: pygame.Surface) -> float:
    """How much slower than life the oil should be let drift in a rectangle (step carriers by dt x this)."""
    canvas = Canvas(surface, load_theme("dark"))
    return _rate(canvas, frame, view(face, paint.boxes(canvas, rect, STRIP_DP).picture))


def _rate(canvas: Canvas, frame: DiscFrame, at: DiscView) -> float:
    ring = frame.ring
    mouth = ring.step_rad * ring.r_edges_m[len(ring.r_edges_m) // 2] * ring.gap_m
    speeds = np.abs(frame.inward_m3s[:, len(ring.r_edges_m) // 2]) / mouth
    return paint.rate_for(float(np.percentile(speeds, 90)), at.px_m, canvas.scale)


def pressure_scale(frame: DiscFrame, unit: Unit = KPA) -> PressureScale:
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
    unit: Unit = KPA,
    text_scale: float = 1.0,
) -> list[TextBox]:
    """Draw the close-up into a rectangle; returns the texts as drawn.

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
    surface.blit(_oil(canvas, at, frame, scale), box.picture)
    if carriers is not None:
        _draw_carriers(canvas, at, frame, carriers)
    _draw_metal(canvas, at, closeup, frame)
    surface.set_clip(old)
    pygame.draw.rect(surface, theme["edge"], box.picture, canvas.dp(2))
    margin = canvas.dp(14)
    bar_h = canvas.measure("Ag")[1] + canvas.dp(28)
    paint.scale_bar(canvas, (box.picture.x + margin, box.picture.bottom - bar_h - margin), at.px_m)
    _draw_strip(canvas, box.strip, frame)
    words = [rate_words(_rate(canvas, frame, at)), "dirt grains drawn larger than life"]
    paint.draw_key(canvas, box.key, scale, unit, words)
    y = paint.draw_facts(canvas, box.side, _facts(frame, closeup, unit))
    names = pygame.Rect(box.side.x, y + canvas.dp(8), box.side.w, box.side.bottom - y - canvas.dp(8))
    paint.draw_names(canvas, names, _names(at, closeup, frame))
    return canvas.texts


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


def _facts(frame: DiscFrame, face: DiscFace, unit: Unit) -> list[tuple[str, str, str]]:
    dp = unit.shown(frame.outer_pa - frame.inner_pa)
    digits = 0 if dp >= 100 else 1 if dp >= 10 else 2
    turned = np.degrees(face.state.turned_rad)
    turns = f"{turned:.0f}°" if turned < 720 else f"{turned / 360:.1f} turns"
    return [
        ("drop over the gap", f"{dp:.{digits}f} {unit.sign}", "ink"),
        ("dirt at the rim", f"{face.held_kg * 1e6:.1f} mg", "ink"),
        ("combed off so far", f"{face.state.removed_kg * 1e6:.1f} mg", "ink"),
        ("disc has turned", turns, "ink"),
    ]


def _names(at: DiscView, face: DiscFace, frame: DiscFrame) -> list[tuple[str, tuple[float, float]]]:
    """Names of what is seen and where each leader ends, px."""
    scraper = face.data.scraper
    thick = _thickness(frame)
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
        ("arm of the separator", 0.93 * face.arm_outer_m, arm),
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


def _bands(frame: DiscFrame) -> Array:
    """(1 or 2, sectors) thickness of the cake in the bands of the gap that there are, m."""
    there = np.array([frame.missed_share < 1, frame.missed_share > 0])
    return np.asarray(frame.cake_m[there])


def _thickness(frame: DiscFrame) -> Array:
    """(sectors,) thickness of the cake as seen from above: that of the thicker band, m."""
    return np.asarray(_bands(frame).max(axis=0))


@dataclass(frozen=True)
class _Pixels:
    """What every pixel of the area stands for; fixed while disc and view stay.

    Attributes:
        r_m, angle: (w, h) radius and angle on the screen, in sectors.
        place: (w, h) column of the colour table: 0 hollow, 1 .. nr the gap, nr + 1 bowl.
        lines: pixels (n,) near the edges of the disc and how far each edge covers them.
        rim: pixels (n,) from the rim outwards, where cake may lie.
    """

    r_m: Array
    angle: Array
    place: Array
    lines: tuple[Array, Array]
    rim: Array


@lru_cache(maxsize=2)
def _polar(at: DiscView, edges_m: tuple[float, ...], step_rad: float, line_px: float) -> _Pixels:
    dx = (np.arange(at.area.w)[:, None] + 0.5 + at.area.x - at.x) / at.px_m
    dy = (at.y - at.area.y - np.arange(at.area.h)[None, :] - 0.5) / at.px_m
    r = np.hypot(dx, dy)
    place = np.searchsorted(np.array(edges_m), r)
    off = np.minimum(np.abs(r - edges_m[0]), np.abs(r - edges_m[-1])).ravel() * at.px_m
    near = np.flatnonzero(off < line_px)
    cover = np.clip(line_px / 2 + 0.5 - off[near], 0, 1)
    beyond = (r > edges_m[-1] - 2 / at.px_m) & (r < edges_m[-1] + CAKE_M)
    angle = (np.arctan2(dy, dx) % TURN / step_rad).astype(np.float32)
    return _Pixels(r.astype(np.float32), angle, place, (near, cover), np.flatnonzero(beyond.ravel()))


class _Kept:
    """The last face painted: between two frames of the model only the marks move."""

    key: tuple[object, ...] = ()
    picture: pygame.Surface | None = None


def _oil(canvas: Canvas, at: DiscView, frame: DiscFrame, scale: PressureScale) -> pygame.Surface:
    """Oil and cake as a picture of the area."""
    key = (frame, at, canvas.theme.name, canvas.scale, scale)
    same = len(_Kept.key) == len(key) and frame is _Kept.key[0] and key[1:] == _Kept.key[1:]
    if not same or _Kept.picture is None:
        pixels = np.clip(_pixels(canvas, at, frame, scale), 0, 255).astype(np.uint8)
        _Kept.picture, _Kept.key = pygame.surfarray.make_surface(pixels), key
    return _Kept.picture


def _pixels(canvas: Canvas, at: DiscView, frame: DiscFrame, scale: PressureScale) -> Array:
    """(w, h, 3) colours: hollow, gap, cake, bowl from the middle outwards."""
    ring, theme = frame.ring, canvas.theme
    line = max(1.4, 2.2 * canvas.scale)
    spot = _polar(at, tuple(ring.r_edges_m.tolist()), ring.step_rad, line)
    ends = [np.full((ring.sectors, 1), p) for p in (frame.inner_pa, frame.outer_pa)]
    table = paint.ramp_colours(theme, np.concatenate([ends[0], _filled(frame), ends[1]], axis=1), scale)
    turned = np.float32(frame.turned_rad % TURN / ring.step_rad)
    sector = (spot.angle - turned).astype(np.float32) % np.float32(ring.sectors)
    out = table[np.minimum(sector.astype(np.int32), ring.sectors - 1), spot.place].reshape(-1, 3)
    outline = np.array(theme["outline"], np.float32)
    _lay_cake(canvas, at, frame, out, (spot, sector), outline)
    near, cover = spot.lines
    out[near] = paint.mixed(out[near], outline, 0.9 * cover)
    return np.asarray(out.reshape(*at.area.size, 3))


def _lay_cake(
    canvas: Canvas,
    at: DiscView,
    frame: DiscFrame,
    out: Array,
    spots: tuple[_Pixels, Array],
    outline: Array,
) -> None:
    """Cake on the pixels (n, 3) about the rim; where only one band of the gap holds it, half as dense."""
    ro = float(frame.ring.r_edges_m[-1])
    spot, reach = spots[0], ro + float(_thickness(frame).max()) + 3 / at.px_m
    rim = spot.rim[spot.r_m.ravel()[spot.rim] < reach]
    r, sector = spot.r_m.ravel()[rim], spots[1].ravel()[rim]
    low, high = (ro + _around(t, sector) for t in (_bands(frame).min(axis=0), _thickness(frame)))
    outside = np.clip((r - ro) * at.px_m + 0.5, 0, 1)
    full, part = (outside * np.clip((top - r) * at.px_m + 0.5, 0, 1) for top in (low, high))
    percent = round(canvas.scale * 100)
    cake = paint.texture("grains", canvas.theme.name, *at.area.size, percent).reshape(-1, 3)[rim]
    laid = paint.mixed(out[rim], cake, np.maximum(full, 0.55 * part))
    line = max(1.4, 2.2 * canvas.scale)
    edge = np.clip(line / 2 + 0.5 - np.abs(r - high) * at.px_m, 0, 1)
    out[rim] = paint.mixed(laid, outline, edge * np.clip((high - ro) * at.px_m - 0.5, 0, 0.6))


def _around(values: Array, place: Array) -> Array:
    """Values of sectors joined smoothly between the middles of the sectors, at places in sectors."""
    low = np.floor(place - 0.5).astype(np.int32)
    share = place - 0.5 - low
    n = len(values)
    table = values.astype(np.float32)
    return np.asarray(table[low % n] * (1 - share) + table[(low + 1) % n] * share)


def _filled(frame: DiscFrame) -> Array:
    """Pressures with the walls' cells filled from the next cell inwards (they lie under the metal)."""
    out = frame.pressure_pa.copy()
    for i in range(out.shape[1]):
        before = out[:, i - 1] if i else np.full(len(out), frame.inner_pa)
        out[:, i] = np.where(np.isnan(out[:, i]), before, out[:, i])
    return np.asarray(out)


def _draw_carriers(canvas: Canvas, at: DiscView, frame: DiscFrame, carriers: DiscCarriers) -> None:
    place = at.points(carriers.drawn_m(frame))
    speed = polar_velocity(frame, carriers.polar) * at.px_m * _rate(canvas, frame, at)
    angle = carriers.polar[1] + frame.turned_rad
    around = speed[1] * carriers.polar[0]
    vx = speed[0] * np.cos(angle) - around * np.sin(angle)
    vy = speed[0] * np.sin(angle) + around * np.cos(angle)
    paint.draw_marks(canvas, place, np.stack([vx, -vy], axis=1), carriers.kind)


def _draw_metal(canvas: Canvas, at: DiscView, face: DiscFace, frame: DiscFrame) -> None:
    """Separator, shaft, blade and post, cut by the plane of the gap."""
    key = (round(np.degrees(frame.turned_rad) * 4) / 4 % 360.0, face.arm_rad)
    layer = _metal(face, key, at.area.size, (at.x - at.area.x, at.y - at.area.y), at.px_m, canvas)
    canvas.surface.blit(layer, at.area)
    _draw_turn(canvas, at, face)


def _metal(
    face: DiscFace,
    key: tuple[float, float],
    size: tuple[int, int],
    middle: tuple[float, float],
    px_m: float,
    canvas: Canvas,
) -> pygame.Surface:
    if _KeptMetal.key != (key, size, middle, px_m, canvas.theme.name):
        big = pygame.Surface((size[0] * LAYER, size[1] * LAYER), pygame.SRCALPHA)
        big.fill((*canvas.theme["outline"], 0))
        for outline, word in _outlines(face, np.radians(key[0])):
            at = np.stack([middle[0] + outline[:, 0] * px_m, middle[1] - outline[:, 1] * px_m], axis=1)
            paint.hatched(big, at * LAYER, canvas.theme, word, canvas.scale * LAYER)
        _KeptMetal.layer = pygame.transform.smoothscale(big, size)
        _KeptMetal.key = (key, size, middle, px_m, canvas.theme.name)
    return _KeptMetal.layer


class _KeptMetal:
    """The last layer of metal."""

    key: tuple[object, ...] = ()
    layer: pygame.Surface


def _outlines(face: DiscFace, turned_rad: float) -> list[tuple[Array, str]]:
    """Outlines (n, 2), m, and materials: separator as one star, shaft, blade, post."""
    scraper = face.data.scraper
    shaft = scraper.shaft_radius_mm * 1e-3
    post, post_r = scraper.post_at_mm * 1e-3, scraper.post_radius_mm * 1e-3
    half = np.radians(scraper.blade_width_deg) / 2
    blade = np.concatenate([_arc(face.tip_m, half, -half), _arc(post, -half, half)])
    circle = np.linspace(0, TURN, 4 * ARC, endpoint=False)
    ball = np.stack([np.cos(circle), np.sin(circle)], axis=1)
    found = [(_star(face, turned_rad, shaft + HUB_M), "cast")] if face.arm_rad > 0 else []
    return [*found, (ball * shaft, "steel"), (blade, "brass"), (ball * post_r + [post, 0.0], "steel")]


def _star(face: DiscFace, turned_rad: float, hub_m: float) -> Array:
    """Hub and arms of the separator; in the hollow the arms run parallel, in the gap as solved."""
    arms, half = face.extra.separator.arms, face.arm_rad / 2
    foot = min(half * face.ri_m / hub_m, 0.8 * np.pi / arms)
    pieces = []
    for k in range(arms):
        middle = TURN * (k + 0.5) / arms + turned_rad
        after = TURN * (k + 1.5) / arms + turned_rad
        pieces.append(_arc(hub_m, middle - foot, middle - foot, 1))
        pieces.append(_arc(face.ri_m, middle - half, middle - half, 1))
        pieces.append(_arc(face.arm_outer_m, middle - half, middle + half))
        pieces.append(_arc(face.ri_m, middle + half, middle + half, 1))
        pieces.append(_arc(hub_m, middle + foot, after - foot))
    return np.concatenate(pieces)


def _arc(radius_m: float, start: float, end: float, count: int = ARC // 2) -> Array:
    angle = np.linspace(start, end, count)
    return np.stack([radius_m * np.cos(angle), radius_m * np.sin(angle)], axis=1)


def _draw_turn(canvas: Canvas, at: DiscView, face: DiscFace) -> None:
    """A curved arrow in the hollow: which way the disc turns."""
    radius = (face.data.scraper.shaft_radius_mm * 1e-3 + HUB_M + face.ri_m) / 2 * at.px_m
    angle = np.linspace(np.radians(200), np.radians(250), ARC)
    line = np.stack([at.x + radius * np.cos(angle), at.y - radius * np.sin(angle)], axis=1)
    for width, colour in ((9, "paper"), (5, "accent")):
        pygame.draw.lines(canvas.surface, canvas.theme[colour], False, line.tolist(), canvas.dp(width))
    tip, along = line[-1], line[-1] - line[-2]
    along = along / np.hypot(*along) * canvas.dp(26)
    side = np.array([-along[1], along[0]]) * 0.6
    head = [tip + along, tip + side, tip - side]
    pygame.draw.polygon(canvas.surface, canvas.theme["accent"], [p.tolist() for p in head])
    pygame.draw.polygon(canvas.surface, canvas.theme["paper"], [p.tolist() for p in head], canvas.dp(2))


def _draw_strip(canvas: Canvas, box: pygame.Rect, frame: DiscFrame) -> None:
    """Thickness of the cake, sector by sector, unrolled from the blade on."""
    canvas.panel(box, "sheet")
    line = canvas.measure("Ag")[1]
    pad = canvas.dp(12)
    bands = np.roll(_bands(frame), -int(frame.blade_rad / frame.ring.step_rad + 0.5), axis=1) * 1e3
    top = nice_ceiling(max(float(bands.max()), 0.1))
    title = pygame.Rect(box.x + pad, box.y + pad // 2, box.w - 2 * pad, line)
    words = "combed last" if len(bands) == 1 else "combed last; dark: the band the blade misses"
    whole = f"dirt cake round the rim, mm; left: {words}"
    short = canvas.measure(whole)[0] > title.w
    canvas.text("dirt cake round the rim, mm" if short else whole, title, colour="soft", shorten=short)
    wide = canvas.measure("0.00")[0]
    plot = pygame.Rect(box.x + wide + 2 * pad, title.bottom + pad // 2, box.w - wide - 3 * pad, 0)
    plot.h = box.bottom - pad - plot.y
    canvas.surface.fill(canvas.theme["well"], plot)
    edges = np.rint(plot.x + np.linspace(0, plot.w, bands.shape[1] + 1))
    resin = canvas.theme.material("resin")
    for band, colour in zip(
        bands[::-1], (resin.fill,) if len(bands) == 1 else (resin.hatch, resin.fill), strict=True
    ):
        paint.bars(canvas, plot, edges[:-1], edges[1:], band / top, colour, 0)
    pygame.draw.line(canvas.surface, canvas.theme["edge"], plot.bottomleft, plot.bottomright, canvas.dp(2))
    number = pygame.Rect(box.x + pad, plot.y, wide, line)
    canvas.text(f"{top:g}", number, align="right", colour="soft")
    number.bottom = plot.bottom
    canvas.text("0", number, align="right", colour="soft")
