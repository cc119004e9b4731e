"""The place of the work drawn as it is now: filter on or off, old gasket, lockwire, new parts."""

from __future__ import annotations

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.bench.bench_top import bench, look, shadow
from glasscan.window.bench.clamped_filter import draw_whole
from glasscan.workshop.procedures.job import Job

OFF = {"unscrew", "loosen-bolt", "bowl-down", "cover-off", "lift-pack"}
ON = {"spin-on", "raise-bowl", "torque-bowl", "cover-on"}
WIRE_OFF, WIRE_ON = {"cut-wire", "wire-off"}, {"lockwire"}
NEW_SHOWN = {"right-parts", "check-new"}


def draw_site(canvas: Canvas, rect: pygame.Rect, job: Job, kind: str) -> None:
    """Draw the site into a rectangle."""
    bench(canvas.surface, rect, canvas.theme.name, canvas.scale)
    old = canvas.surface.get_clip()
    canvas.surface.set_clip(rect.inflate(-canvas.dp(8), -canvas.dp(8)))
    done = {a.step for a in job.acts}
    head = pygame.Rect(rect.x + rect.w // 12, rect.y + rect.h // 14, round(rect.w * 0.46), rect.h // 5)
    if kind == "can":  # it stands dome up on its head, as in the cutaway
        head.bottom = rect.bottom - rect.h // 14
    _head(canvas, head)
    off, on = bool(done & OFF), bool(done & ON)
    place = pygame.Rect(head.x, head.bottom - canvas.dp(14), head.w, rect.bottom - head.bottom - rect.h // 16)
    if kind == "can":
        place = pygame.Rect(
            head.x, rect.y + rect.h // 24, head.w, head.y - rect.y - rect.h // 24 + canvas.dp(6)
        )
    if off and not on:
        _face(canvas, head if kind != "can" else head.move(0, -round(2.6 * head.h)), job, done)
        _lying(canvas, rect, kind, job)
    else:
        _hung(canvas, place, kind)
        if not (done & WIRE_OFF) or done & WIRE_ON:
            _wire(canvas, head, place, kind == "can")
        if on:
            _lying(canvas, rect, kind, job)
    _tray(canvas, rect, done)
    canvas.surface.set_clip(old)


def _head(canvas: Canvas, head: pygame.Rect) -> None:
    """The cast head that carries the filter."""
    shadow(canvas.surface, head, canvas.dp(24))
    theme = canvas.theme.name
    pygame.draw.rect(canvas.surface, look(theme, "steel_dark"), head, border_radius=canvas.dp(14))
    inner = head.inflate(-canvas.dp(14), -canvas.dp(14))
    pygame.draw.rect(canvas.surface, look(theme, "steel"), inner, border_radius=canvas.dp(10))
    for x in (inner.x + inner.w // 7, inner.right - inner.w // 7):
        pygame.draw.circle(canvas.surface, look(theme, "steel_dark"), (x, inner.centery), canvas.dp(20))
        pygame.draw.circle(canvas.surface, look(theme, "steel_light"), (x, inner.centery), canvas.dp(14))


def _hung(canvas: Canvas, place: pygame.Rect, kind: str) -> None:
    """The filter under the head."""
    layer = pygame.Surface(place.size, pygame.SRCALPHA)
    body = Canvas(layer, canvas.theme, canvas.text_scale)
    draw_whole(body, layer.get_rect(), kind, held=False)
    canvas.surface.blit(layer, place)


def _face(canvas: Canvas, head: pygame.Rect, job: Job, done: set[str]) -> None:
    """The mounting face seen from below; an old ring still on it can be seen there."""
    theme, surface = canvas.theme.name, canvas.surface
    face = pygame.Rect(0, 0, round(head.w * 0.86), round(head.h * 1.5))
    face.midtop = (head.centerx, head.bottom + canvas.dp(22))
    shadow(surface, face, canvas.dp(20), True)
    pygame.draw.ellipse(surface, look(theme, "steel_light"), face)
    pygame.draw.ellipse(surface, look(theme, "steel_dark"), face, canvas.dp(4))
    stuck = {"old-gasket-on-head", "old-seal-in-groove"} & set(job.present or ())
    ring = face.inflate(-face.w // 6, -face.h // 6)
    if stuck and not ({"find-gasket", "old-ring-out"} & done and not _slipped(job)):
        pygame.draw.ellipse(surface, look(theme, "rubber"), ring, max(4, face.w // 26))
    else:
        pygame.draw.ellipse(surface, look(theme, "steel"), ring, canvas.dp(3))
    for k in range(8):
        at = pygame.Vector2(face.w * 0.27, 0).rotate(45 * k)
        hole = (face.centerx + at.x, face.centery + at.y * face.h / face.w)
        pygame.draw.circle(surface, look(theme, "gap"), hole, face.w // 34)
    stud = pygame.Rect(0, 0, face.w // 6, face.h // 4)
    stud.center = face.center
    pygame.draw.ellipse(surface, look(theme, "steel_dark"), stud)


def _slipped(job: Job) -> bool:
    return any(a.slipped for a in job.acts if a.step in ("find-gasket", "old-ring-out"))


def _lying(canvas: Canvas, rect: pygame.Rect, kind: str, job: Job) -> None:
    """The old filter on the bench, its own ring on its face or not."""
    x, y = rect.x + round(rect.w * 0.62), rect.y + rect.h // 12
    place = pygame.Rect(x, y, round(rect.w * 0.33), round(rect.h * 0.52))
    ring = "old-gasket-on-head" not in (job.present or ())
    draw_whole(canvas, place, kind, held=False, ring=ring)


def _wire(canvas: Canvas, head: pygame.Rect, place: pygame.Rect, stands: bool) -> None:
    """Lockwire from the head to the filter, twisted."""
    a = pygame.Vector2(
        head.right - head.w // 6, head.y + canvas.dp(6) if stands else head.bottom - canvas.dp(6)
    )
    b = pygame.Vector2(place.centerx + place.w // 7, head.bottom + place.h // 6)
    if stands:
        b.y = place.bottom - place.h // 6
    for k in range(14):
        p, q = a.lerp(b, k / 14), a.lerp(b, (k + 1) / 14)
        side = pygame.Vector2(canvas.dp(4) * (1 if k % 2 else -1), 0)
        pygame.draw.line(canvas.surface, look(canvas.theme.name, "brass"), p + side, q - side, canvas.dp(4))


def _tray(canvas: Canvas, rect: pygame.Rect, done: set[str]) -> None:
    """A tray with what has been laid out: gloves, new parts, the sample bottle, the card."""
    theme, surface = canvas.theme.name, canvas.surface
    tray = pygame.Rect(0, 0, round(rect.w * 0.36), round(rect.h * 0.24))
    tray.bottomright = (rect.right - canvas.dp(26), rect.bottom - canvas.dp(24))
    shadow(surface, tray, canvas.dp(18))
    laid = "clean-tray" in done
    pygame.draw.rect(
        surface, look(theme, "dish" if laid else "steel_dark"), tray, border_radius=canvas.dp(10)
    )
    pygame.draw.rect(surface, look(theme, "dish_rim"), tray, canvas.dp(5), border_radius=canvas.dp(10))
    x = tray.x + canvas.dp(24)
    for shown, draw in (
        ("protected" in done, _gloves),
        (bool(done & NEW_SHOWN), _new_ring),
        ("fill-bottle" in done, _bottle),
        ("right-manual" in done or "record" in done, _book),
    ):
        if shown:
            box = pygame.Rect(x, tray.y + tray.h // 5, tray.h * 3 // 5, tray.h * 3 // 5)
            draw(canvas, box)
            x += box.w + canvas.dp(16)


def _gloves(canvas: Canvas, box: pygame.Rect) -> None:
    colour = (64, 112, 158)
    palm = pygame.Rect(box.x + box.w // 4, box.centery - box.h // 8, box.w // 2, box.h // 2)
    pygame.draw.rect(canvas.surface, colour, palm, border_radius=canvas.dp(6))
    for k in range(4):
        finger = pygame.Rect(
            palm.x + k * palm.w // 4, box.y + abs(k - 1) * box.h // 14, palm.w // 5, box.h // 2
        )
        pygame.draw.rect(canvas.surface, colour, finger, border_radius=canvas.dp(5))
    thumb = pygame.Rect(palm.right - canvas.dp(2), palm.y, box.w // 6, box.h // 4)
    pygame.draw.rect(canvas.surface, colour, thumb, border_radius=canvas.dp(5))


def _new_ring(canvas: Canvas, box: pygame.Rect) -> None:
    pygame.draw.ellipse(canvas.surface, look(canvas.theme.name, "rubber"), box, max(4, box.w // 9))


def _bottle(canvas: Canvas, box: pygame.Rect) -> None:
    glass = pygame.Rect(box.x + box.w // 5, box.y + box.h // 5, box.w * 3 // 5, box.h * 4 // 5)
    pygame.draw.rect(canvas.surface, (196, 214, 222), glass, border_radius=canvas.dp(8))
    oil = pygame.Rect(glass.x + 4, glass.y + glass.h // 3, glass.w - 8, glass.h * 2 // 3 - 4)
    pygame.draw.rect(canvas.surface, look(canvas.theme.name, "oil"), oil, border_radius=canvas.dp(6))
    cap = pygame.Rect(glass.x + glass.w // 5, box.y, glass.w * 3 // 5, box.h // 5)
    pygame.draw.rect(canvas.surface, look(canvas.theme.name, "rubber"), cap)


def _book(canvas: Canvas, box: pygame.Rect) -> None:
    page = box.inflate(-box.w // 5, 0)
    pygame.draw.rect(canvas.surface, (176, 52, 44), page, border_radius=canvas.dp(4))
    pygame.draw.rect(canvas.surface, (248, 246, 238), page.inflate(-page.w // 4, -page.h // 5))
