"""Parts of an opened filter as they are found: sound, or with the defect that hand and eye would find."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.bench.bench_top import bench, look, shadow, upright

Draw = Callable[[Canvas, pygame.Rect, bool], None]


def draw_part(canvas: Canvas, box: pygame.Rect, part: str, defect: bool, stands_open: bool = False) -> None:
    """Draw a part on a piece of the bench.

    Args:
        canvas: where.
        box: its place.
        part: valve, lip, core, medium, seal or blades.
        defect: as it is when it is not sound.
        stands_open: the valve stands off its seat.
    """
    bench(canvas.surface, box, canvas.theme.name, canvas.scale)
    side = round(min(box.w, box.h) * 0.78)
    place = pygame.Rect(0, 0, side, side)
    place.center = box.center
    _PARTS[part](canvas, place, defect and not (part == "valve" and stands_open))


def _c(canvas: Canvas, word: str) -> tuple[int, int, int]:
    return look(canvas.theme.name, word)


def _valve(canvas: Canvas, box: pygame.Rect, defect: bool) -> None:
    """Seat, disc and spring, and the stick that pushes; a stuck disc does not follow."""
    s = canvas.surface
    seat = pygame.Rect(box.x, box.y + box.h // 3, box.w, box.h // 9)
    bore = pygame.Rect(0, seat.y, box.w // 3, seat.h)
    bore.centerx = box.centerx
    lift = box.h // 10 if not defect else 0
    disc = pygame.Rect(0, seat.bottom + lift, box.w // 2, box.h // 12)
    disc.centerx = box.centerx
    points = []
    top, foot, turns = disc.bottom, box.bottom, 9
    for k in range(turns + 1):
        x = box.centerx + (box.w // 6 if k % 2 else -box.w // 6)
        points.append((x, top + (foot - top) * k // turns))
    pygame.draw.lines(s, _c(canvas, "gap"), False, points, canvas.dp(11))
    pygame.draw.lines(s, _c(canvas, "steel_light"), False, points, canvas.dp(6))
    for part in (pygame.Rect(seat.x, seat.y, bore.x - seat.x, seat.h), seat.move(bore.right - seat.x, 0)):
        part.w = bore.x - seat.x
        upright(s, part, canvas.theme.name, "steel")
    upright(s, disc, canvas.theme.name, "steel")
    begin, end = (box.centerx - box.w // 5, box.y - box.h // 12), (box.centerx, disc.y)
    pygame.draw.line(s, _c(canvas, "grain"), begin, end, canvas.dp(18))
    pygame.draw.line(s, _c(canvas, "paper"), begin, end, canvas.dp(11))
    if defect:  # varnish
        for x in (disc.x, disc.right):
            pygame.draw.circle(s, _c(canvas, "oil"), (x, disc.centery), canvas.dp(17))


def _ring(canvas: Canvas, box: pygame.Rect, wide: int, gap: bool) -> None:
    """A rubber ring seen from above, with a piece missing or whole."""
    s = canvas.surface
    shadow(s, box, canvas.dp(14), True)
    pygame.draw.ellipse(s, _c(canvas, "rubber"), box, wide)
    lit = box.inflate(-wide, -wide)
    pygame.draw.arc(s, _c(canvas, "steel"), lit, 1.2, 2.6, canvas.dp(4))
    if gap:
        bite = [
            (box.right - wide - canvas.dp(8), box.centery - box.h // 7),
            (box.right + canvas.dp(6), box.centery - box.h // 10),
            (box.right + canvas.dp(6), box.centery + box.h // 8),
            (box.right - wide - canvas.dp(8), box.centery + box.h // 12),
        ]
        pygame.draw.polygon(s, _c(canvas, "wood"), bite)


def _lip(canvas: Canvas, box: pygame.Rect, defect: bool) -> None:
    """The anti-drain lip; a hard one stays folded, and a piece of it is gone."""
    _ring(canvas, box, box.w // 5, defect)
    if defect:
        fold = [
            (box.x + box.w // 10, box.centery), (box.x + box.w // 3, box.y + box.h // 4),
            (box.x + box.w // 2, box.y + box.h // 8),
        ]  # fmt: skip
        pygame.draw.lines(canvas.surface, _c(canvas, "steel_light"), False, fold, canvas.dp(7))


def _seal(canvas: Canvas, box: pygame.Rect, defect: bool) -> None:
    """The gasket, and below it the painted flange; lifted paint shows bare metal."""
    flange = box.inflate(box.w // 8, box.h // 8)
    pygame.draw.ellipse(canvas.surface, _c(canvas, "can"), flange)
    pygame.draw.ellipse(canvas.surface, _c(canvas, "gap"), box.inflate(-box.w // 2, -box.h // 2))
    if defect:
        for k in range(9):
            at = pygame.Vector2(flange.w * 0.40, 0).rotate(37 * k)
            spot = (flange.centerx + at.x, flange.centery + at.y)
            pygame.draw.circle(canvas.surface, _c(canvas, "steel_light"), spot, canvas.dp(6 + k % 3 * 4))
    _ring(canvas, box.inflate(-box.w // 9, -box.h // 9), box.w // 12, False)


def _core(canvas: Canvas, box: pygame.Rect, defect: bool) -> None:
    """The perforated tube, round or pressed in."""
    s = canvas.surface
    tube = pygame.Rect(0, 0, box.w // 2, box.h)
    tube.center = box.center
    shadow(s, tube, canvas.dp(16))
    upright(s, tube, canvas.theme.name, "steel")
    for j in range(9):
        for i in range(4):
            x = tube.x + tube.w * (2 * i + 1 + j % 2) // 9
            pygame.draw.circle(s, _c(canvas, "gap"), (x, tube.y + tube.h * (2 * j + 1) // 18), tube.w // 17)
    if defect:
        dent = pygame.Rect(tube.x - tube.w // 3, tube.centery - box.h // 4, tube.w * 4 // 5, box.h // 2)
        pygame.draw.ellipse(s, _c(canvas, "wood"), dent.move(-dent.w // 3, 0))
        pygame.draw.arc(s, _c(canvas, "steel_dark"), dent.move(-dent.w // 3, 0), -1.3, 1.3, canvas.dp(12))


def _medium(canvas: Canvas, box: pygame.Rect, defect: bool) -> None:
    """Some folds of the medium; one of them torn, with its fibres standing out."""
    s, folds = canvas.surface, 8
    shadow(s, box, canvas.dp(16))
    for i in range(folds):
        x, wide = box.x + box.w * i // folds, box.w // folds + 1
        light, dark = _c(canvas, "paper_clean"), _c(canvas, "fold")
        pygame.draw.rect(s, light, (x, box.y, wide // 2, box.h))
        pygame.draw.rect(s, dark, (x + wide // 2, box.y, wide - wide // 2, box.h))
    if defect:
        x = box.x + box.w * 4 // folds + box.w // 32
        tear = [(x, box.centery - box.h // 7), (x + box.w // 26, box.centery), (x, box.centery + box.h // 7),
                (x - box.w // 40, box.centery)]  # fmt: skip
        pygame.draw.polygon(s, _c(canvas, "gap"), tear)
        for k in range(12):
            y = box.centery + (k - 6) * box.h // 46
            end = (x + box.w // 13 + k % 3 * 4, y - box.h // 40 + k % 4 * 5)
            pygame.draw.line(s, _c(canvas, "dish"), (x, y), end, canvas.dp(2))


def _blades(canvas: Canvas, box: pygame.Rect, defect: bool) -> None:
    """The comb of scraper blades on its post; bent ones point up or down."""
    s, blades = canvas.surface, 12
    post = pygame.Rect(box.x, box.y, box.w // 5, box.h)
    shadow(s, post, canvas.dp(14))
    for i in range(blades):
        y = box.y + box.h * (2 * i + 1) // (2 * blades)
        bent = box.h // 14 * (1 if i % 2 else -1) if defect and i in (3, 4, 8) else 0
        end = (box.right, y + bent)
        middle = (box.x + box.w // 2, y)
        pygame.draw.lines(s, _c(canvas, "gap"), False, [(post.right, y), middle, end], canvas.dp(13))
        pygame.draw.lines(s, _c(canvas, "steel_light"), False, [(post.right, y), middle, end], canvas.dp(8))
    upright(s, post, canvas.theme.name, "steel")


_PARTS: dict[str, Draw] = {
    "valve": _valve, "lip": _lip, "core": _core, "medium": _medium, "seal": _seal, "blades": _blades,
}  # fmt: skip
