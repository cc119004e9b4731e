"""Two elements side by side under one light: one lens, one magnet and one hand for both."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.bench.bench_ground import film_of
from glasscan.window.bench.bench_top import bench, look, mixed, shadow
from glasscan.window.bench.debris_sketch import draw_piece_at
from glasscan.window.bench.element_faces import strip
from glasscan.window.bench.lens_pad import LookPad
from glasscan.workshop.inspection.evidence import Place
from glasscan.workshop.inspection.piece_layout import OPENINGS as OPENINGS_OF
from glasscan.workshop.inspection.piece_layout import Laid, lay_out
from glasscan.workshop.inspection.side_by_side import ServedElement, differences, verdict_on

PLEATS_SHOWN = 14
"""Pleats of each element that lie in the picture."""
LEAST_FACE = 8  # pixels below which there is nothing to see of pleats
OPENINGS = (0.18, 0.30, 0.45, 0.65, 1.0)
"""How far the pleats are turned open: width over the width laid flat."""
DARKEST, DARK_KG_M2 = 0.55, 0.07
"""Share of the light that thick cake swallows, and the deposit for 63 % of that (chosen for the picture)."""
GRAINS_M2_KG = 3.0e4
"""Grains drawn under the lens for each kg/m2 of film (chosen for the picture)."""
PLACES: tuple[tuple[Place, str], ...] = (("outside", "Outside"), ("inside", "Inside"))


@dataclass(frozen=True)
class PairChoice:
    """The good one, the other one at each of its hours, and which lies on the left."""

    good: ServedElement
    others: tuple[ServedElement, ...]
    good_left: bool


class BesidePage(Page):
    """What differs is asked first, and told line by line when the class has voted."""

    title = "A good element beside an overdue one"

    def __init__(self, desk: ViewOptions, pair: PairChoice) -> None:
        super().__init__(desk)
        self.pair = pair
        self.hours_at = len(pair.others) - 2
        self.open_at = 1
        self.place: Place = "outside"
        self.magnet = self.told = False
        self.named = 0
        self.at = [0.5, 0.45]
        self._open: dict[float, Laid] = {}

    # --- what is shown ------------------------------------------------------------------------------

    @property
    def other(self) -> ServedElement:
        """The element beside the good one."""
        return self.pair.others[self.hours_at]

    @property
    def sides(self) -> tuple[ServedElement, ServedElement]:
        """Left and right."""
        two = (self.pair.good, self.other)
        return two if self.pair.good_left else (two[1], two[0])

    @property
    def aside(self) -> str:
        return f"{self.named} of {len(differences(*self.sides))} differences named"

    def stamp(self) -> tuple[object, ...]:
        """The words change with what is named."""
        return (self.told,)

    def first(self) -> str | None:
        return "pad"

    def boxes_of(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        """Both elements, both lenses, words, buttons."""
        gap, foot_h = canvas.dp(16), canvas.tp(58)
        foot = pygame.Rect(body.x, body.bottom - foot_h, body.w, foot_h)
        words_w = round(body.w * 0.30)
        words = pygame.Rect(body.right - words_w, body.y, words_w, foot.y - gap - body.y)
        picture = pygame.Rect(body.x, body.y, body.w - words_w - canvas.dp(24), words.h)
        return {"picture": picture, "words": words, "foot": foot}

    def halves(self, canvas: Canvas, picture: pygame.Rect) -> tuple[pygame.Rect, pygame.Rect]:
        """Places of the two elements on the bench."""
        inner = picture.inflate(-canvas.dp(60), -canvas.dp(50))
        w = (inner.w - canvas.dp(40)) // 2
        return pygame.Rect(inner.x, inner.y, w, inner.h), pygame.Rect(inner.right - w, inner.y, w, inner.h)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        at = self.boxes_of(canvas, body)
        gap, foot = canvas.dp(12), at["foot"]
        names: tuple[tuple[str, str, Callable[[], None]], ...] = (
            ("open", "Turn open O", self.turn), ("magnet", "Magnet M", self.hold),
            ("side", "Turn over I", self.over), ("name", "Difference D", self.name_next),
            ("verdict", "Which? V", self.tell_verdict),
        )  # fmt: skip
        hours_w = canvas.tp(330)
        wide = (foot.w - hours_w - gap * len(names)) // len(names)
        made: list[Widget] = [
            LookPad("pad", "", self._move, self._jump, partial(self._point, at["picture"]), box=at["picture"])
        ]
        for i, (name, label, does) in enumerate(names):
            box = pygame.Rect(foot.x + i * (wide + gap), foot.y, wide, foot.h)
            made.append(Button(name, label, does, box=box))
        hours = tuple(f"{s.hours:g}" for s in self.pair.others)
        place = pygame.Rect(foot.right - hours_w, foot.y, hours_w, foot.h)
        made.append(Choice("hours", "Other, h", hours, self._hours, self._set_hours, box=place))
        return [*made, ScrollText("words", "", self._words, box=at["words"])]

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("Arrows", "move the lens over both"),
            Binding("O", "turn the pleats open, both together", {"o": self.turn}),
            Binding("M", "magnet in its bag, over both", {"m": self.hold}),
            Binding("I", "outside, inside", {"i": self.over}),
            Binding("H", "more hours on the other one", {"h": self.more}),
            Binding("D", "name the next difference", {"d": self.name_next}),
            Binding("V", "which is which, and what is to be done", {"v": self.tell_verdict}),
        )

    # --- acts ---------------------------------------------------------------------------------------

    def turn(self) -> None:
        """Turn the pleats of both further open; flat, they fold up again."""
        self.open_at = (self.open_at + 1) % len(OPENINGS)

    def hold(self) -> None:
        """Hold the magnet over both, or put it away."""
        self.magnet = not self.magnet

    def over(self) -> None:
        """Turn both over."""
        self.place = "inside" if self.place == "outside" else "outside"

    def more(self) -> None:
        """More hours on the other element; after the last, the first."""
        self.hours_at = (self.hours_at + 1) % len(self.pair.others)

    def _hours(self) -> str:
        return f"{self.other.hours:g}"

    def _set_hours(self, word: str) -> None:
        self.hours_at = [f"{s.hours:g}" for s in self.pair.others].index(word)

    def name_next(self) -> None:
        """Name one more difference."""
        self.named = min(self.named + 1, len(differences(*self.sides)))

    def tell_verdict(self) -> None:
        """Tell which is which."""
        self.told = not self.told

    def _move(self, dx: float, dy: float) -> None:
        self.at = [min(max(a + 8.0 * d, 0.04), 0.96) for a, d in zip(self.at, (dx, dy), strict=True)]

    def _jump(self, by: int) -> None:
        self._move(0.012 * by, 0.0)

    def _point(self, picture: pygame.Rect, px: tuple[int, int]) -> None:
        half = picture.w / 2
        x = ((px[0] - picture.x) % half) / half
        self.at = [min(max(x, 0.04), 0.96), min(max((px[1] - picture.y) / picture.h / 0.62, 0.04), 0.96)]

    def _words(self) -> str:
        left, right = self.sides
        rows = differences(left, right)
        lines = ["One light, one lens, one magnet for both. Which of the two should have been changed?"]
        if self.told:
            for where, one in (("Left", left), ("Right", right)):
                lines.append(f"{where}: {one.hours:g} h. {verdict_on(one)}")
        else:
            lines.append("Vote first. Then D names what differs, one line at a time.")
        for i, row in enumerate(rows[: self.named], 1):
            lines.append(f"{i}  {row.name}\nleft: {row.good}; right: {row.overdue}\n{row.says}")
        lines.append(
            "Both from the same engine, as the model ran it on a dusty strip. The approved manual sets "
            "the interval. Used oil: gloves."
        )
        return "\n\n".join(lines)

    # --- picture ------------------------------------------------------------------------------------

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """Both elements on one bench, and what the lens shows of each."""
        picture = self.boxes_of(canvas, body)["picture"]
        bench(canvas.surface, picture, canvas.theme.name, canvas.scale)
        clip = canvas.surface.get_clip()
        canvas.surface.set_clip(picture.inflate(-canvas.dp(8), -canvas.dp(8)))
        for place, one in zip(self.halves(canvas, picture), self.sides, strict=True):
            self._one(canvas, place, one)
        canvas.surface.set_clip(clip)

    def _one(self, canvas: Canvas, place: pygame.Rect, one: ServedElement) -> None:
        label = "Left" if one is self.sides[0] else "Right"
        if self.told:
            label += f": {one.hours:g} h"
        tag = pygame.Rect(place.x, place.y, place.w, canvas.tp(40))
        canvas.panel(tag, "sheet", "edge", 8, 2)
        canvas.text(label, tag, bold=True, align="centre")
        top, r = tag.bottom + canvas.dp(14), min(place.w // 4, place.h // 6)
        face = pygame.Rect(place.x, top, place.w, place.bottom - top - 2 * r - canvas.dp(30))
        shown = self._pleats(canvas, face, one)
        at = shown.x + round(self.at[0] * shown.w), shown.y + round(self.at[1] * shown.h)
        if self.magnet:
            _magnet(canvas, at, one)
        _hand_lens(canvas, at)
        self._lens(canvas, pygame.Rect(place.centerx - r, place.bottom - 2 * r, 2 * r, 2 * r), one)

    def _pleats(self, canvas: Canvas, face: pygame.Rect, one: ServedElement) -> pygame.Rect:
        """Some pleats, turned open as far as both are; none where a thin window leaves no room."""
        if face.w < LEAST_FACE or face.h < LEAST_FACE:
            return face
        element, laid = one.evidence.element, self._laid(one)
        folded = element.kind != "disc"
        share = OPENINGS[self.open_at] if folded else 1.0
        panels = max(8, round(2 * PLEATS_SHOWN * OPENINGS[0] / share) // 2 * 2) if folded else element.panels
        zigzag = round(face.h * 0.14 * (1.0 - share)) if folded else 0
        part = panels / element.panels
        cut = replace(element, panels=panels, width_m=element.width_m * part)
        film = tuple((code, tuple(m * part for m in mass)) for code, mass in film_of(laid, self.place))
        image = strip(self.place, cut, film, face.size, zigzag, canvas.theme.name)
        image = _darker(image, one, self.place)
        shadow(canvas.surface, face, canvas.dp(20))
        canvas.surface.blit(image, face)
        _scale(canvas, face, face.h / element.height_m)
        self._pieces(canvas, face, laid, part)
        return face

    def _pieces(self, canvas: Canvas, face: pygame.Rect, laid: Laid, part: float) -> None:
        """Pieces that lie on the pleats in the picture."""
        px_m = face.h / laid.element.height_m
        for i, piece in enumerate(laid.at(self.place)):
            if piece.along < part:
                at = face.x + piece.along / part * face.w, face.y + (1.0 - piece.up) * face.h
                size = max(piece.size_m * px_m, canvas.dp(7))
                draw_piece_at(canvas.surface, piece.code, at, size, piece.turn, i)

    def _laid(self, one: ServedElement) -> Laid:
        """Its element laid open, the same way each time."""
        if one.hours not in self._open:
            ways = OPENINGS_OF[one.evidence.element.kind]
            self._open[one.hours] = lay_out(one.evidence, 1, ways[0])
        return self._open[one.hours]

    def _lens(self, canvas: Canvas, view: pygame.Rect, one: ServedElement) -> None:
        """The same spot of each under ten times."""
        theme, r = canvas.theme.name, view.w // 2
        layer = pygame.Surface(view.size, pygame.SRCALPHA)
        steel = one.evidence.element.kind == "disc"
        ground = "steel" if steel else "paper_clean" if self.place == "inside" else "paper"
        pygame.draw.circle(layer, look(theme, ground), (r, r), r)
        if not steel:
            _fibres(layer, look(theme, ground), r)
        _grains(layer, self._laid(one), self.place, r, self.at[0])
        mask = pygame.Surface(view.size, pygame.SRCALPHA)
        pygame.draw.circle(mask, (255, 255, 255, 255), (r, r), r)
        layer.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MIN)
        canvas.surface.blit(layer, view)
        pygame.draw.circle(canvas.surface, look(theme, "steel_dark"), view.center, r, canvas.dp(12))
        pygame.draw.circle(canvas.surface, look(theme, "brass"), view.center, r - canvas.dp(2), canvas.dp(6))


def _darker(image: pygame.Surface, one: ServedElement, place: Place) -> pygame.Surface:
    """Layer upon layer swallows light: cake on the dirty side darkens long after it has hidden the paper."""
    if place != "outside":
        return image
    density = one.held_g * 1e-3 / one.evidence.element.area_m2
    shade = round(255 * (1.0 - DARKEST * (1.0 - float(np.exp(-density / DARK_KG_M2)))))
    dark = image.copy()
    dark.fill((shade, shade, shade, 255), special_flags=pygame.BLEND_RGBA_MULT)
    return dark


def _scale(canvas: Canvas, face: pygame.Rect, px_m: float) -> None:
    """Ten millimetres at the foot of the pleats."""
    long = round(0.01 * px_m)
    tag = pygame.Rect(face.x, face.bottom - canvas.tp(36), long + canvas.tp(110), canvas.tp(36))
    canvas.panel(tag, "sheet", "edge", 6, 2)
    y, x = tag.centery, tag.x + canvas.dp(10)
    pygame.draw.line(canvas.surface, canvas.theme["ink"], (x, y), (x + long, y), canvas.dp(4))
    words = pygame.Rect(x + long + canvas.dp(8), tag.y, tag.right - x - long - canvas.dp(8), tag.h)
    canvas.text("10 mm", words)


def _fibres(layer: pygame.Surface, ground: tuple[int, int, int], r: int) -> None:
    """Fibres of the paper, the same under both lenses."""
    random = np.random.default_rng(5)
    for k in range(90):
        x, y, turn = random.uniform(0, 2 * r), random.uniform(0, 2 * r), random.uniform(0, np.pi)
        long = random.uniform(0.2, 0.7) * r
        to = (255, 252, 240) if k % 2 else (70, 56, 38)
        end = (x + long * np.cos(turn), y + long * np.sin(turn))
        pygame.draw.line(layer, (*mixed(ground, to, 0.16), 255), (x, y), end, max(1, r // 60))


def _grains(layer: pygame.Surface, laid: Laid, place: Place, r: int, at: float) -> None:
    """The film as grains: their number follows its mass on a square centimetre, their colour its kind."""
    random = np.random.default_rng([7, round(at * 200)])
    for code, kg in laid.film_at(place).items():
        per_m2 = kg / laid.element.area_m2
        number = int(min(5000, per_m2 * GRAINS_M2_KG))
        colour = look("film", code)
        for _ in range(number):
            spot = random.uniform(0, 2 * r, 2)
            size = float(random.gamma(2.0, 0.9)) * max(r / 130, 0.6)
            shade = mixed(colour, (20, 18, 16), float(random.uniform(0.0, 0.5)))
            pygame.draw.circle(layer, (*shade, 205), spot, size)


def _hand_lens(canvas: Canvas, at: tuple[int, int]) -> None:
    """Where the lens is held."""
    theme, surface, r = canvas.theme.name, canvas.surface, canvas.dp(26)
    end = (at[0] + 2.2 * r, at[1] + 2.2 * r)
    begin = (at[0] + 0.7 * r, at[1] + 0.7 * r)
    pygame.draw.line(surface, look(theme, "gap"), begin, end, canvas.dp(14))
    pygame.draw.line(surface, look(theme, "magnet"), begin, end, canvas.dp(9))
    pygame.draw.circle(surface, look(theme, "gap"), at, r + canvas.dp(3), canvas.dp(9))
    pygame.draw.circle(surface, look(theme, "brass"), at, r, canvas.dp(5))


def _magnet(canvas: Canvas, at: tuple[int, int], one: ServedElement) -> None:
    """The magnet in its bag, with as much iron on it as a hand's breadth of the element holds."""
    theme, surface, w, h = canvas.theme.name, canvas.surface, canvas.dp(64), canvas.dp(150)
    bar = pygame.Rect(at[0] - w // 2, at[1] - h - canvas.dp(34), w, h)
    bag = bar.inflate(canvas.dp(34), canvas.dp(26))
    pygame.draw.rect(surface, look(theme, "magnet"), bar, border_radius=canvas.dp(5))
    pygame.draw.rect(surface, look(theme, "steel_light"), (bar.x, bar.bottom - h // 4, w, h // 4))
    film = pygame.Surface(bag.size, pygame.SRCALPHA)
    pygame.draw.rect(film, (*look(theme, "bag"), 60), film.get_rect(), border_radius=canvas.dp(12))
    pygame.draw.rect(film, (*look(theme, "bag"), 200), film.get_rect(), canvas.dp(2), border_radius=12)
    surface.blit(film, bag)
    iron_g = one.magnet_share * one.held_g
    hairs, random = int(min(220, 40 * iron_g)), np.random.default_rng(3)
    colour = mixed(look("film", "D1"), (120, 124, 130), 0.3)
    for _ in range(hairs):
        x = float(random.uniform(bar.x, bar.right))
        long = canvas.dp(6) + float(random.gamma(2.0, 3.0)) * canvas.scale * (0.6 + iron_g / 6)
        lean = (x - bar.centerx) * 0.4
        pygame.draw.aaline(surface, colour, (x, bag.bottom - canvas.dp(3)), (x + lean, bag.bottom + long))
