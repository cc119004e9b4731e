"""Metal in one gap between two discs: separator, shaft, blade and post; and which way the disc turns."""

from __future__ import annotations

import numpy as np
import pygame

from glasscan.filters.closeup.disc_face import DiscFace, DiscFrame
from glasscan.laws.combing import TURN
from glasscan.ui.canvas import Canvas
from glasscan.window.closeup import closeup_painting as paint
from glasscan.window.closeup.disc_view import DiscView
from glasscan.window.contract import Array

HUB_M = 1.8e-3  # ring of the separator round the shaft
LAYER = 2  # supersampling of the metal
ARC = 40  # points of a circle's arc


def draw_metal(canvas: Canvas, at: DiscView, face: DiscFace, frame: DiscFrame) -> float:
    """Separator, shaft, blade and post, cut by the plane of the gap; returns the turn drawn, deg."""
    turned = round(float(np.degrees(frame.turned_rad)) * 4) / 4
    key = (turned % 360.0, face.arm_rad)
    moving, _KeptMetal.angle = _KeptMetal.angle != turned, turned
    if moving:
        _draw_plain(canvas, at, _outlines(face, np.radians(key[0])))
        _draw_turn(canvas, at, face)
        return turned
    layer = _metal(face, key, at.area.size, (at.x - at.area.x, at.y - at.area.y), at.px_m, canvas)
    canvas.surface.blit(layer, at.area)
    _draw_turn(canvas, at, face)
    return turned


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
    angle: float = 0.0


def _draw_plain(canvas: Canvas, at: DiscView, outlines: list[tuple[Array, str]]) -> None:
    """Metal on the move: filled and outlined only. A frame has no time for hatching, nor has the eye."""
    line = max(1, canvas.dp(2))
    for outline, word in outlines:
        corners = np.stack([at.x + outline[:, 0] * at.px_m, at.y - outline[:, 1] * at.px_m], axis=1).tolist()
        pygame.draw.polygon(canvas.surface, canvas.theme.material(word).fill, corners)
        pygame.draw.aalines(canvas.surface, canvas.theme["outline"], True, corners)
        pygame.draw.polygon(canvas.surface, canvas.theme["outline"], corners, line)


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
