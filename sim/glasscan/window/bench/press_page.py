"""Press the bypass valve with a soft rod: force, lift, and the line that the two draw."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.slider import Slider
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.bench.bench_top import bench, look, shadow, upright
from glasscan.workshop.valve_press import MOST_N, REASONS, VERDICTS, ValvePress, Verdict

NAMES: dict[Verdict, str] = {
    "sound": "Sound", "sticks": "It sticks", "weak": "Weak spring", "open": "Stands open",
}  # fmt: skip
STEP_N = 0.5
COILS = 7


class PressPage(Page):
    """`said` is what the person calls it; the law is told only then."""

    title = "Press the valve"

    def __init__(self, desk: ViewOptions, press: ValvePress) -> None:
        super().__init__(desk)
        self.press = press.pushed(0.0)
        self.line: list[tuple[float, float]] = [(0.0, self.press.lift_m)]
        self.said: Verdict | None = None

    @property
    def aside(self) -> str:
        return f"{self.press.force_n:.1f} N   {self.press.lift_m * 1e3:.2f} mm"

    def stamp(self) -> tuple[object, ...]:
        """The buttons show what was said."""
        return (self.said,)

    def first(self) -> str | None:
        return "force"

    def boxes_of(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        """Picture, plot, words, buttons."""
        gap, h = canvas.dp(18), canvas.tp(64)
        left = pygame.Rect(body.x, body.y, round(body.w * 0.46), body.h - h - gap)
        force = pygame.Rect(body.x, left.bottom + gap, left.w, h)
        x = left.right + canvas.dp(26)
        right = pygame.Rect(x, body.y, body.right - x, body.h)
        plot = pygame.Rect(x, body.y, right.w, round(body.h * 0.46))
        foot = pygame.Rect(x, body.bottom - h, right.w, h)
        words = pygame.Rect(x, plot.bottom + gap, right.w, foot.y - gap - plot.bottom - gap)
        return {"picture": left, "force": force, "plot": plot, "words": words, "foot": foot}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        at = self.boxes_of(canvas, body)
        gap, foot = canvas.dp(10), at["foot"]
        wide = (foot.w - 3 * gap) // 4
        made: list[Widget] = [
            Slider("force", "Rod", 0.0, MOST_N, STEP_N, self._force, self.push, "N", 1, box=at["force"])
        ]
        for i, word in enumerate(VERDICTS):
            box = pygame.Rect(foot.x + i * (wide + gap), foot.y, wide, foot.h)
            label = f"{i + 1} {NAMES[word]}"
            made.append(
                Button(f"say-{word}", label, partial(self.say, word), partial(self._is, word), box=box)
            )
        return [*made, ScrollText("words", "", self._words, box=at["words"])]

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("←  →", "less, more force; Page ↑ ↓: ten steps"),
            Binding("L", "let go", {"l": partial(self.push, 0.0)}),
            Binding(
                "1 … 4", "say what it is", {str(i): partial(self.say, w) for i, w in enumerate(VERDICTS, 1)}
            ),
        )

    def _force(self) -> float:
        return self.press.force_n

    def push(self, force_n: float) -> None:
        """Go to a force in small steps, as a hand does; every step stays on the plot."""
        steps = max(1, round(abs(force_n - self.press.force_n) / STEP_N))
        begin = self.press.force_n
        for k in range(1, steps + 1):
            self.press = self.press.pushed(begin + (force_n - begin) * k / steps)
            self.line.append((self.press.force_n, self.press.lift_m))
        self.line = self.line[-2000:]

    def say(self, word: Verdict) -> None:
        """Call it something; it can be changed until the page is left."""
        self.said = word

    def _is(self, word: Verdict) -> bool:
        return self.said == word

    def _words(self) -> str:
        p = self.press
        sheet = (
            f"Sheet: it leaves its seat at {p.sheet_n:.1f} N, give or take a seventh: the cracking pressure, "
            f"{p.proper.cracking_pa * 1e-3:.0f} kPa, times its area, {p.proper.seat_d_m * 1e3:.0f} mm."
        )
        lines = [
            p.feel,
            sheet,
            "A rod of soft wood or plastic: steel scratches the seat. Eye protection: a spring.",
        ]
        if self.said is not None:
            verdict = "Right" if self.said == p.right else f"Not so: {NAMES[p.right].lower()}"
            lines.insert(0, f"{verdict}. {REASONS[p.right]}")
            if p.right in ("sound", "weak"):
                law = f"force = {p.spec.preload_n:.1f} N + {p.spec.rate_n_m * 1e-3:.2f} N/mm × lift"
                lines.insert(1, f"Its law: {law}, friction {p.spec.friction_n:.1f} N either way.")
        return "\n\n".join(lines)

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        at = self.boxes_of(canvas, body)
        bench(canvas.surface, at["picture"], canvas.theme.name, canvas.scale)
        clip = canvas.surface.get_clip()
        canvas.surface.set_clip(at["picture"].inflate(-canvas.dp(8), -canvas.dp(8)))
        draw_pressed(canvas, at["picture"], self.press)
        canvas.surface.set_clip(clip)
        draw_line(canvas, at["plot"], self.press, self.line)


def draw_pressed(canvas: Canvas, box: pygame.Rect, press: ValvePress) -> None:
    """Seat, ball or disc, spring and rod, to one scale; a ruler beside them."""
    s, theme, spec = canvas.surface, canvas.theme.name, press.spec
    size_mm = max(spec.ball_d_m or 0.0, spec.seat_d_m) * 1e3
    px_mm = min(box.h * 0.20, box.w * 0.22) / size_mm
    middle, seat_y = box.centerx, box.y + round(box.h * 0.42)
    bore, plate = round(spec.seat_d_m * 1e3 * px_mm), round(2.5 * px_mm)
    wide = round(bore * 2.1)
    for x in (middle - wide // 2, middle + bore // 2):
        upright(s, pygame.Rect(x, seat_y - plate, (wide - bore) // 2, plate), theme, "steel")
    lift = round(press.lift_m * 1e3 * px_mm)
    if spec.ball_d_m:
        r = round(spec.ball_d_m * 500 * px_mm)
        sink = r - round((r * r - (bore / 2) ** 2) ** 0.5) if r > bore / 2 else 0
        centre = (middle, seat_y - sink + r + lift)
        _ball(canvas, centre, r)
        top, foot = centre[1] - r, centre[1] + r
    else:
        disc = pygame.Rect(0, 0, round(bore * 1.3), round(2.0 * px_mm))
        disc.midtop = (middle, seat_y + lift)
        shadow(s, disc, canvas.dp(10))
        upright(s, disc, theme, "steel")
        top, foot = disc.y, disc.bottom
    _spring(canvas, middle, foot, box.bottom - canvas.dp(46), round(bore * 0.42))
    _rod(canvas, middle, box.y + canvas.dp(20), top, max(bore // 3, canvas.dp(16)), press)
    _ruler(canvas, pygame.Rect(middle + wide // 2 + canvas.dp(20), seat_y, canvas.dp(70), 0), px_mm)


def _ball(canvas: Canvas, at: tuple[int, int], r: int) -> None:
    theme = canvas.theme.name
    for k in range(r, 0, -2):
        share = 1.0 - k / r
        dark, light = look(theme, "steel_dark"), look(theme, "steel_light")
        colour = [round(a + (b - a) * share) for a, b in zip(dark, light, strict=True)]
        off = round((r - k) * 0.35)
        pygame.draw.circle(canvas.surface, colour, (at[0] - off, at[1] - off), k)


def _spring(canvas: Canvas, x: int, top: int, foot: int, r: int) -> None:
    points = [(x + (r if k % 2 else -r), top + (foot - top) * k / (2 * COILS)) for k in range(2 * COILS + 1)]
    for colour, wide in (("gap", 14), ("steel_dark", 10), ("steel_light", 5)):
        pygame.draw.lines(canvas.surface, look(canvas.theme.name, colour), False, points, canvas.dp(wide))
    plate = pygame.Rect(x - round(1.5 * r), foot, 3 * r, canvas.dp(16))
    upright(canvas.surface, plate, canvas.theme.name, "steel")


def _rod(canvas: Canvas, x: int, top: int, foot: int, wide: int, press: ValvePress) -> None:
    """A rod of soft wood with a spring balance on it that shows the force."""
    theme = canvas.theme.name
    rod = pygame.Rect(x - wide // 2, top, wide, max(foot - top, 1))
    pygame.draw.rect(canvas.surface, look(theme, "grain"), rod, border_radius=canvas.dp(6))
    pygame.draw.rect(canvas.surface, look(theme, "paper"), rod.inflate(-canvas.dp(8), 0), border_radius=4)
    body = pygame.Rect(0, 0, max(wide + canvas.dp(40), canvas.tp(130)), canvas.tp(84))
    body.midtop = (x, top)
    pygame.draw.rect(canvas.surface, look(theme, "steel_dark"), body, border_radius=canvas.dp(10))
    face = body.inflate(-canvas.dp(14), -canvas.dp(14))
    canvas.panel(face, "sheet", "edge", 6, 2)
    share = press.force_n / MOST_N
    pygame.draw.rect(
        canvas.surface, canvas.theme["accent"], (face.x, face.y, round(face.w * share), canvas.dp(10))
    )
    text = pygame.Rect(face.x - canvas.dp(30), face.y + canvas.dp(12), face.w + canvas.dp(60), face.h - 12)
    canvas.text(f"{press.force_n:.1f} N", text, bold=True, align="centre")


def _ruler(canvas: Canvas, at: pygame.Rect, px_mm: float) -> None:
    """Millimetres down from the seat, so that the lift can be read."""
    box = pygame.Rect(at.x, at.y, at.w, round(10 * px_mm))
    canvas.panel(box, "sheet", "edge", 2, 2)
    for mm in range(11):
        y = box.y + round(mm * px_mm)
        long = box.w // 2 if mm % 5 == 0 else box.w // 4
        pygame.draw.line(canvas.surface, canvas.theme["ink"], (box.x, y), (box.x + long, y), canvas.dp(3))
    line = canvas.tp(34)
    for mm in (0, 5, 10):
        place = pygame.Rect(
            box.right + canvas.dp(6), box.y + round(mm * px_mm) - line // 2, canvas.tp(90), line
        )
        canvas.text(f"{mm} mm" if mm else "seat", place, colour="ink")


def draw_line(canvas: Canvas, box: pygame.Rect, press: ValvePress, line: list[tuple[float, float]]) -> None:
    """Force over lift as the hand has drawn it."""
    canvas.panel(box, "sheet", "edge", 12, 2)
    inner = box.inflate(-canvas.dp(40), -canvas.dp(24))
    words_h = canvas.measure("Ag")[1]
    head = pygame.Rect(inner.x, inner.y, inner.w, words_h)
    canvas.text("Force of the rod (N) over lift (mm)", head, bold=True, shorten=True)
    frame = pygame.Rect(inner.x + canvas.tp(44), head.bottom + words_h * 2 // 3, inner.w - canvas.tp(50), 0)
    frame.h = inner.bottom - words_h - frame.y
    canvas.panel(frame, "well", None, 2)
    most_mm = press.spec.max_lift_m * 1e3 * 1.05

    def px(force: float, lift_m: float) -> tuple[float, float]:
        return frame.x + lift_m * 1e3 / most_mm * frame.w, frame.bottom - force / MOST_N * frame.h

    band = pygame.Rect(frame.x, 0, frame.w, round(0.30 * press.sheet_n / MOST_N * frame.h))
    band.centery = round(px(press.sheet_n, 0.0)[1])
    strip = pygame.Surface(band.size, pygame.SRCALPHA)
    strip.fill((*canvas.theme["outlet"], 60))
    canvas.surface.blit(strip, band)
    if len(line) > 1:
        pygame.draw.lines(canvas.surface, canvas.theme["dp"], False, [px(*p) for p in line], canvas.dp(5))
    pygame.draw.circle(canvas.surface, canvas.theme["accent"], px(press.force_n, press.lift_m), canvas.dp(9))
    for force in (0, 20, 40, 60):
        y = round(px(force, 0.0)[1])
        tag = pygame.Rect(inner.x, y - words_h // 2, canvas.tp(40), words_h)
        canvas.text(f"{force}", tag, align="right", colour="soft")
    foot = pygame.Rect(frame.x, frame.bottom, frame.w, words_h)
    canvas.text("0", foot, colour="soft")
    canvas.text(f"{most_mm:.1f} mm", foot, align="right", colour="soft")
    canvas.text("band: sheet", foot, align="centre", colour="soft")
