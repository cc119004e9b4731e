"""What is drawn on and beside the bench: pieces, magnet, lens, patch."""

from __future__ import annotations

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Colour
from glasscan.window.bench.bench_ground import Window, draw_ground
from glasscan.window.bench.bench_tools import Looking
from glasscan.window.bench.bench_top import look, mixed
from glasscan.window.bench.debris_sketch import draw_piece_at
from glasscan.workshop.inspection.heaps import drawn_kg
from glasscan.workshop.inspection.inspection import Inspection

ZOOM = 10.0
LEAST_DP = 9.0  # a smaller piece is drawn this large on the bench, so that it is seen; the lens shows it true
FUZZ_KG = 5e-6  # iron paste that stands up on a magnet
CARDS: dict[str, Colour] = {"white": (246, 246, 242), "black": (20, 22, 26)}


def draw_top(canvas: Canvas, picture: pygame.Rect, window: Window, looking: Looking) -> None:
    """What lies on the bench, and what is held over it."""
    old = canvas.surface.get_clip()
    canvas.surface.set_clip(picture)
    draw_ground(canvas, window, looking.work.bench)
    canvas.surface.set_clip(window.box.inflate(canvas.dp(4), canvas.dp(4)))
    draw_pieces(canvas, window, looking)
    canvas.surface.set_clip(picture)
    if looking.magnet:
        draw_magnet(canvas, window, looking)
    draw_hand_lens(canvas, window.px(looking.at))
    canvas.surface.set_clip(old)
    draw_position(canvas, picture, window)


def draw_pieces(canvas: Canvas, window: Window, looking: Looking) -> None:
    """Pieces where they lie, those on the magnet left out."""
    held, least = {id(p) for p, _ in looking.on_magnet()}, LEAST_DP * canvas.scale
    for piece, spot, i in looking.lying():
        if id(piece) not in held and window.shows(spot):
            size = max(piece.size_m * window.px_m, least)
            draw_piece_at(canvas.surface, piece.code, window.px(spot), size, piece.turn, i)


def draw_hand_lens(canvas: Canvas, at: tuple[float, float]) -> None:
    """The small lens on the picture."""
    theme, surface, r = canvas.theme.name, canvas.surface, canvas.dp(30)
    begin = (at[0] + 0.7 * r, at[1] + 0.7 * r)
    end = (at[0] + 2.2 * r, at[1] + 2.2 * r)
    pygame.draw.line(surface, look(theme, "gap"), begin, end, canvas.dp(16))
    pygame.draw.line(surface, look(theme, "magnet"), begin, end, canvas.dp(10))
    pygame.draw.circle(surface, look(theme, "gap"), at, r + canvas.dp(3), canvas.dp(10))
    pygame.draw.circle(surface, look(theme, "brass"), at, r, canvas.dp(5))


def draw_magnet(canvas: Canvas, window: Window, looking: Looking) -> None:
    """A bar magnet in a clear bag, held over the place, with what clings to its end."""
    theme, surface, at = canvas.theme.name, canvas.surface, window.px(looking.at)
    w, h, off = canvas.dp(70), canvas.dp(200), canvas.dp(40)
    above = at[1] - off - h > window.box.y - off  # else it is held from below
    bar = pygame.Rect(round(at[0]) - w // 2, round(at[1] - off - h if above else at[1] + off), w, h)
    pygame.draw.rect(surface, look(theme, "magnet"), bar, border_radius=canvas.dp(5))
    tip = pygame.Rect(bar.x, bar.bottom - h // 4 if above else bar.y, w, h // 4)
    pygame.draw.rect(surface, look(theme, "steel_light"), tip)
    bag = pygame.Surface(bar.inflate(canvas.dp(38), canvas.dp(30)).size, pygame.SRCALPHA)
    pygame.draw.rect(bag, (*look(theme, "bag"), 60), bag.get_rect(), border_radius=canvas.dp(12))
    pygame.draw.rect(
        bag, (*look(theme, "bag"), 200), bag.get_rect(), canvas.dp(2), border_radius=canvas.dp(12)
    )
    place = bag.get_rect(center=bar.center)
    surface.blit(bag, place)
    end, way = (place.bottom, 1) if above else (place.y, -1)
    if sum(drawn_kg(h) for h in looking.work.look(looking.place) if h.film_kg > 0.0) > FUZZ_KG:
        _fuzz(canvas, bar, end, way)
    for k, (piece, i) in enumerate(looking.on_magnet()):
        x = place.x + (k * 37 + 11) % max(place.w, 1)
        y = end + way * (k // 4 % 4) * canvas.dp(6)
        size = max(piece.size_m * window.px_m, LEAST_DP * canvas.scale)
        draw_piece_at(surface, piece.code, (x, y), size, 1.2 + 0.2 * (k % 4), i)


def _fuzz(canvas: Canvas, bar: pygame.Rect, end: int, way: int) -> None:
    """Iron paste stands up like hair."""
    colour = mixed(look("film", "D1"), (120, 124, 130), 0.3)
    for k in range(60):
        x = bar.x + bar.w * k // 59
        lean = (k - 30) * bar.w // 160
        tip = (x + lean, end + way * canvas.dp(8 + k * 7 % 13))
        pygame.draw.aaline(canvas.surface, colour, (x, end - way * canvas.dp(4)), tip)


def draw_lens(canvas: Canvas, box: pygame.Rect, looking: Looking, px_m: float) -> None:
    """The round view: ten times the picture, on a card or on the ground as it is."""
    size = min(box.w, box.h)
    view = pygame.Rect(0, 0, size, size)
    view.center = box.center
    layer, r = pygame.Surface((size, size), pygame.SRCALPHA), size // 2
    pygame.draw.circle(layer, _under(canvas, looking), (r, r), r)
    if looking.card == "":
        _grains_of_film(layer, looking, r)
    for piece, spot, i in looking.lying():
        dx, dy = ((spot[k] - looking.at[k]) * px_m * ZOOM for k in (0, 1))
        if np.hypot(dx, dy) < r + piece.size_m * px_m * ZOOM:
            draw_piece_at(layer, piece.code, (r + dx, r + dy), piece.size_m * px_m * ZOOM, piece.turn, i)
    mask = pygame.Surface((size, size), pygame.SRCALPHA)
    pygame.draw.circle(mask, (255, 255, 255, 255), (r, r), r)
    layer.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MIN)
    canvas.surface.blit(layer, view)
    pygame.draw.circle(canvas.surface, look(canvas.theme.name, "steel_dark"), view.center, r, canvas.dp(14))
    pygame.draw.circle(
        canvas.surface, look(canvas.theme.name, "brass"), view.center, r - canvas.dp(2), canvas.dp(8)
    )
    _scale(canvas, view, px_m * ZOOM)


def _under(canvas: Canvas, looking: Looking) -> Colour:
    theme, place = canvas.theme.name, looking.place
    if looking.card:
        return CARDS[looking.card]
    if place == "cup":
        return look(theme, "dish")
    if place == "core" or looking.ground.element.kind == "disc":
        return look(theme, "steel")
    return look(theme, "paper_clean" if place == "inside" else "paper")


def _grains_of_film(layer: pygame.Surface, looking: Looking, r: int) -> None:
    """The film as single dots: the more of it, the more dots; fine dirt stays fine under ten times."""
    random = np.random.default_rng([round(looking.at[0] * 1e4), round(looking.at[1] * 1e4)])
    for code, kg in looking.work.bench.film_at(looking.place).items():
        number = int(min(900, kg * 4.5e5))
        spots = random.uniform(-r, r, (number, 2)) + r
        sizes = random.uniform(0.7, 2.4, number) * max(r / 200, 0.5)
        colour = (*look("film", code), 215)
        for at, s in zip(spots.tolist(), sizes.tolist(), strict=True):
            pygame.draw.circle(layer, colour, at, s)


def _scale(canvas: Canvas, view: pygame.Rect, px_m: float) -> None:
    """A bar of 1 mm on a small card at the lens's foot, and the magnification."""
    long = round(1e-3 * px_m)
    words = "×10, 1 mm"
    w = max(canvas.measure(words)[0], long) + canvas.dp(24)
    tag = pygame.Rect(0, 0, w, canvas.tp(34) + canvas.dp(14))
    tag.midbottom = (view.centerx, view.bottom)
    canvas.panel(tag, "sheet", "edge", 8, 2)
    line = pygame.Rect(tag.x, tag.y + canvas.dp(12), tag.w, canvas.tp(34))
    canvas.text(words, line, align="centre")
    ends = (tag.centerx - long // 2, tag.y + canvas.dp(10)), (tag.centerx + long // 2, tag.y + canvas.dp(10))
    pygame.draw.line(canvas.surface, canvas.theme["ink"], *ends, canvas.dp(4))


def draw_position(canvas: Canvas, picture: pygame.Rect, window: Window) -> None:
    """Which part of the strip is seen."""
    width = window.ground.width_m
    if window.ground.round or window.box.w / window.px_m >= width * 0.999:
        return
    track = pygame.Rect(window.box.x, picture.bottom - canvas.dp(20), window.box.w, canvas.dp(8))
    canvas.panel(track, "well", None, 4)
    x = track.x + round(track.w * window.left_m / width)
    seen = pygame.Rect(x, track.y, round(track.w * window.box.w / window.px_m / width), track.h)
    canvas.panel(seen, "accent", None, 4)


def patch_text(work: Inspection) -> str:
    """What the patch tells."""
    patch = work.make_patch()
    shares = sorted(patch.shares.items(), key=lambda s: -s[1])
    stains = ", ".join(f"{word} {share:.0%}" for word, share in shares if share >= 0.05)
    return (
        f"A small section washed in {patch.wash_ml:g} mL of clean solvent, through a white patch.\n"
        f"Stain: {stains}.\nISO 4406 of the wash: {patch.code}.\n"
        "Solvent: fresh air, gloves, no flame."
    )


def draw_patch(canvas: Canvas, box: pygame.Rect, work: Inspection) -> None:
    """The round patch with its stain."""
    patch, size = work.make_patch(), min(box.w, box.h)
    middle, r = box.center, size // 2
    pygame.draw.circle(canvas.surface, look(canvas.theme.name, "dish_rim"), middle, r)
    pygame.draw.circle(canvas.surface, look("patch", "white"), middle, r - canvas.dp(3))
    colour = sum((s * np.array(look("patch", w), dtype=float) for w, s in patch.shares.items()), np.zeros(3))
    share = 0.12 + 0.86 * (1.0 - float(np.exp(-patch.mass_kg / 1.2e-5)))
    stain: Colour = (int(colour[0]), int(colour[1]), int(colour[2]))
    for k in range(6):
        ring = mixed(look("patch", "white"), stain, share * (0.5 + k / 10))
        pygame.draw.circle(canvas.surface, ring, middle, round(r * (0.82 - 0.04 * k)))
