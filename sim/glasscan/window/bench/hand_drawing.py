"""What the hand holds, drawn: a beam torque wrench, jars of lubricant, a wire between two bolts, a sump."""

from __future__ import annotations

from math import cos, pi, radians, sin

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.bench.bench_top import look, mixed, shadow, upright
from glasscan.workshop.machine_data import machines_data
from glasscan.workshop.machine_joints import HOLES

INCH_M = 0.0254
JAR_COLOURS = {
    "system-oil": (176, 124, 40), "assembly-grease": (206, 178, 120), "silicone": (214, 220, 226),
    "bench-grease": (62, 52, 44), "penetrant": (150, 60, 52), "sealant": (58, 74, 120), "dry": (0, 0, 0),
}  # fmt: skip
"""Colours of what is in the jars, chosen for the picture."""
ARC = (200.0, 340.0)
"""Scale of the wrench on its arc, degrees, from zero to full scale."""


def draw_wrench(
    canvas: Canvas, box: pygame.Rect, pull_nm: float, most_nm: float, full_nm: float, tears_nm: float
) -> None:
    """A beam wrench over its joint: a pointer, and a second one that keeps the most."""
    s, theme = canvas.surface, canvas.theme.name
    middle = (box.centerx, box.y + round(box.h * 0.72))
    r = round(min(box.w * 0.44, box.h * 0.60))
    for grow in range(r + canvas.dp(34), r - canvas.dp(40), -2):
        share = (grow - r + canvas.dp(40)) / canvas.dp(74)
        colour = mixed(
            look(theme, "steel_dark"), look(theme, "steel_light"), 0.35 + 0.5 * (1 - abs(2 * share - 1))
        )
        _arc(canvas, middle, grow, colour)
    for k in range(0, round(full_nm) + 1, 2):
        long = 30 if k % 10 == 0 else 16
        a = _angle(k / full_nm)
        near, far = (
            (middle[0] + q * cos(a), middle[1] + q * sin(a))
            for q in (r + canvas.dp(28), r + canvas.dp(28 - long))
        )
        pygame.draw.line(s, (24, 28, 34), near, far, canvas.dp(3))
        if k % 10 == 0:
            q = r - canvas.dp(24)
            place = pygame.Rect(0, 0, canvas.tp(60), canvas.tp(36))
            place.center = round(middle[0] + q * cos(a)), round(middle[1] + q * sin(a))
            _ink(canvas, f"{k}", place)
    _pointer(canvas, middle, r + canvas.dp(18), _angle(most_nm / full_nm), "warn", 5)
    _pointer(canvas, middle, r + canvas.dp(26), _angle(pull_nm / full_nm), "accent", 9)
    bolt = round(r * 0.22)
    shadow(s, pygame.Rect(middle[0] - bolt, middle[1] - bolt, 2 * bolt, 2 * bolt), canvas.dp(16), True)
    turn = min(pull_nm, tears_nm) / full_nm * pi / 3
    corners = [
        (middle[0] + bolt * cos(turn + k * pi / 3), middle[1] + bolt * sin(turn + k * pi / 3))
        for k in range(6)
    ]
    pygame.draw.polygon(s, look(theme, "steel"), corners)
    pygame.draw.polygon(s, look(theme, "steel_light"), corners, canvas.dp(4))
    if most_nm >= tears_nm:
        for k in range(5):
            a = 0.7 + 1.2 * k
            far = (middle[0] + 1.6 * bolt * cos(a), middle[1] + 1.6 * bolt * sin(a))
            near = (middle[0] + 0.7 * bolt * cos(a + 0.2), middle[1] + 0.7 * bolt * sin(a + 0.2))
            pygame.draw.line(s, look(theme, "gap"), near, far, canvas.dp(6))
    tag = pygame.Rect(0, 0, canvas.tp(420), canvas.tp(54))
    tag.midbottom = (box.centerx, box.bottom)
    canvas.panel(tag, "sheet", "edge", 8, 2)
    canvas.text(f"{pull_nm:g} N m, most {most_nm:g} N m", tag, bold=True, align="centre")


def _angle(share: float) -> float:
    return radians(ARC[0] + (ARC[1] - ARC[0]) * min(max(share, 0.0), 1.0))


def _arc(canvas: Canvas, at: tuple[int, int], r: int, colour: tuple[int, int, int]) -> None:
    points = [(at[0] + r * cos(radians(d)), at[1] + r * sin(radians(d))) for d in range(194, 347, 2)]
    pygame.draw.lines(canvas.surface, colour, False, points, 5)


def _pointer(canvas: Canvas, at: tuple[int, int], r: int, angle: float, colour: str, wide: int) -> None:
    tip = (at[0] + r * cos(angle), at[1] + r * sin(angle))
    pygame.draw.line(canvas.surface, (20, 22, 26), at, tip, canvas.dp(wide + 4))
    pygame.draw.line(canvas.surface, canvas.theme[colour], at, tip, canvas.dp(wide))


def _ink(canvas: Canvas, text: str, box: pygame.Rect) -> None:
    """Figures on a small card, so that they can be read on steel in either theme."""
    canvas.panel(box, "sheet", None, 6)
    canvas.text(text, box, align="centre", bold=True)


def draw_jars(canvas: Canvas, box: pygame.Rect, chosen: str) -> None:
    """A rack of jars; the one in the hand stands forward."""
    s, theme = canvas.surface, canvas.theme.name
    jars = machines_data().lubricants
    columns = 4
    rows = (len(jars) + columns - 1) // columns
    w, h = box.w // columns, box.h // rows
    for i, jar in enumerate(jars):
        cell = pygame.Rect(box.x + i % columns * w, box.y + i // columns * h, w, h)
        taken = jar.id == chosen
        words_h = canvas.measure(jar.title, bold=taken, wrap=cell.w - canvas.dp(20))[1]
        side = min(round(cell.w * 0.62), cell.h - words_h - canvas.dp(60))
        pot = pygame.Rect(0, 0, side, side)
        pot.midtop = (cell.centerx, cell.y + canvas.dp(26))
        if jar.id == "dry":
            pygame.draw.ellipse(s, look(theme, "rubber"), pot.inflate(0, -pot.h // 2), canvas.dp(14))
        else:
            shadow(s, pot, canvas.dp(14))
            _jar(canvas, pot, JAR_COLOURS[jar.id])
        tag = pygame.Rect(
            cell.x + canvas.dp(6), pot.bottom + canvas.dp(10), cell.w - canvas.dp(12), words_h + canvas.dp(14)
        )
        canvas.panel(tag, "accent" if taken else "sheet", "edge", 8, 2)
        canvas.text(
            jar.title, tag, wrap=True, align="centre", bold=taken, colour="on_accent" if taken else "ink"
        )


def _jar(canvas: Canvas, pot: pygame.Rect, colour: tuple[int, int, int]) -> None:
    """Glass with what is in it, and a screw cap."""
    s, r = canvas.surface, canvas.dp(12)
    glass = pygame.Rect(pot.x, pot.y + pot.h // 5, pot.w, pot.h * 4 // 5)
    pygame.draw.rect(s, (198, 212, 220), glass, border_radius=r)
    stuff = pygame.Rect(glass.x + 5, glass.y + glass.h // 4, glass.w - 10, glass.h * 3 // 4 - 5)
    for k in range(stuff.w):
        lit = 0.55 + 0.45 * sin(pi * (k + 0.5) / stuff.w)
        pygame.draw.line(
            s, [round(c * lit) for c in colour], (stuff.x + k, stuff.y), (stuff.x + k, stuff.bottom - 1)
        )
    pygame.draw.line(
        s,
        (236, 244, 250),
        (glass.x + glass.w // 6, glass.y + 8),
        (glass.x + glass.w // 6, glass.bottom - 12),
        canvas.dp(5),
    )
    cap = pygame.Rect(pot.x + pot.w // 10, pot.y, pot.w * 8 // 10, pot.h // 4)
    upright(s, cap, canvas.theme.name, "steel")


def draw_wire(canvas: Canvas, box: pygame.Rect, hole: str, twists: float) -> None:
    """Two bolts with their six wire holes, the twisted wire from the hole taken, and an inch beside it."""
    s, theme = canvas.surface, canvas.theme.name
    r = round(min(box.w, box.h) * 0.16)
    left, right = (box.x + round(box.w * 0.24), box.centery), (box.x + round(box.w * 0.76), box.centery)
    for at, turn in ((left, 0.2), (right, 0.5)):
        shadow(s, pygame.Rect(at[0] - r, at[1] - r, 2 * r, 2 * r), canvas.dp(16), True)
        corners = [(at[0] + r * cos(turn + k * pi / 3), at[1] + r * sin(turn + k * pi / 3)) for k in range(6)]
        pygame.draw.polygon(s, look(theme, "steel"), corners)
        pygame.draw.polygon(s, look(theme, "steel_light"), corners, canvas.dp(4))
        _turning(canvas, at, round(r * 0.6))
        for hour in HOLES:
            place = _hole(at, r, int(hour))
            pygame.draw.circle(s, look(theme, "gap"), place, canvas.dp(8))
    begin, end = _hole(left, r, int(hole)), _hole(right, r, int(hole) + 6)
    long = ((end[0] - begin[0]) ** 2 + (end[1] - begin[1]) ** 2) ** 0.5
    inch = round((right[0] - left[0]) / 3.0)
    _twisted(canvas, begin, end, twists * long / inch, long)
    for at in (begin, end):
        pygame.draw.circle(s, look(theme, "gap"), at, canvas.dp(9))
    bar = pygame.Rect(box.centerx - inch // 2, box.bottom - canvas.tp(70), inch, canvas.dp(6))
    tag = bar.inflate(canvas.dp(60), 0)
    tag.y, tag.h = bar.y - canvas.dp(14), canvas.tp(62)
    canvas.panel(tag, "sheet", "edge", 8, 2)
    pygame.draw.rect(s, canvas.theme["ink"], bar)
    canvas.text("1 inch", pygame.Rect(tag.x, bar.bottom, tag.w, canvas.tp(36)), align="centre")


def _hole(at: tuple[int, int], r: int, hour: int) -> tuple[int, int]:
    """Place of a wire hole by the hour of the clock."""
    a = radians(30.0 * hour)
    return at[0] + round(0.78 * r * sin(a)), at[1] - round(0.78 * r * cos(a))


def _turning(canvas: Canvas, at: tuple[int, int], r: int) -> None:
    """The way in which the bolt tightens: clockwise."""
    points = [(at[0] + r * cos(radians(d)), at[1] + r * sin(radians(d))) for d in range(-210, 31, 10)]
    pygame.draw.lines(canvas.surface, (24, 28, 34), False, points, canvas.dp(4))
    tip = points[-1]
    for d in (-150, -60):
        a = radians(d + 30)
        pygame.draw.line(
            canvas.surface,
            (24, 28, 34),
            tip,
            (tip[0] + 16 * canvas.scale * cos(a), tip[1] + 16 * canvas.scale * sin(a)),
            canvas.dp(4),
        )


def _twisted(
    canvas: Canvas, begin: tuple[int, int], end: tuple[int, int], twists: float, long: float
) -> None:
    """Two strands round each other; slack ones hang, tight ones lie close."""
    ux, uy = (end[0] - begin[0]) / long, (end[1] - begin[1]) / long
    wide = canvas.dp(11)
    steps = 400
    for strand, colour in ((0.0, "steel_dark"), (pi, "steel_light")):
        points = []
        for k in range(steps + 1):
            share = k / steps
            off = (
                wide * sin(2 * pi * twists * share / 2.0 + strand)
                if twists > 0
                else wide * (1 if strand else -1)
            )
            sag = 4 * canvas.dp(26) * share * (1 - share) * max(0.0, 1.0 - twists / 18.0)
            points.append(
                (begin[0] + ux * long * share - uy * off, begin[1] + uy * long * share + ux * off + sag)
            )
        pygame.draw.lines(canvas.surface, look(canvas.theme.name, "gap"), False, points, canvas.dp(10))
        pygame.draw.lines(canvas.surface, look(canvas.theme.name, colour), False, points, canvas.dp(6))


def draw_sump(canvas: Canvas, box: pygame.Rect, now_l: float, more_l: float, full_l: float) -> None:
    """The sump from the side, with its dipstick."""
    s, theme = canvas.surface, canvas.theme.name
    tank = pygame.Rect(box.x + box.w // 8, box.y + box.h // 4, box.w * 5 // 8, box.h * 5 // 8)
    shadow(s, tank, canvas.dp(18))
    pygame.draw.rect(s, look(theme, "steel_dark"), tank, border_radius=canvas.dp(18))
    inner = tank.inflate(-canvas.dp(28), -canvas.dp(28))
    pygame.draw.rect(s, look(theme, "gap"), inner)
    top = 1.5 * full_l
    for litres, colour in ((min(now_l + more_l, top), "oil"),):
        h = round(inner.h * litres / top)
        pygame.draw.rect(s, look(theme, colour), (inner.x, inner.bottom - h, inner.w, h))
    stick = pygame.Rect(inner.right + canvas.dp(90), inner.y, canvas.dp(26), inner.h)
    upright(s, stick, theme, "steel")
    for share, word in ((1 / 1.5, "full"), (now_l / top, "now")):
        y = stick.bottom - round(stick.h * share)
        pygame.draw.line(s, canvas.theme["accent"], (stick.x - 8, y), (stick.right + 8, y), canvas.dp(4))
        wide = canvas.tp(110)
        left = stick.right + canvas.dp(12) if word == "full" else stick.x - canvas.dp(12) - wide
        place = pygame.Rect(left, y - canvas.tp(20), wide, canvas.tp(40))
        canvas.text(word, place, bold=True, align="left" if word == "full" else "right")
