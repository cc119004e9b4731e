"""Oil that gets out at the joint of the filter: drops that fall from it, the more the more it leaks."""

from __future__ import annotations

import numpy as np
import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.window.contract import Section
from glasscan.window.cutaway.section_view import View

JOINTS = ("bowl-seal", "seal")
LEAST_M3S = 1e-9  # 4 mL in an hour: a weep that a hand-lamp just shows
STREAM_M3S = 5e-6  # 0.3 L/min: the drops run together
BESIDE_M = 2.5e-3  # off the joint
FALL_M = 0.05  # how far the drops are drawn
FALL_S = 1.5  # in which one falls so far, slower than life
MOST = 9
POOL_M = 3e-3  # depth of a pool of oil on the floor
LEAST_POOL_M3 = 1e-9


def spacing(leak_m3s: float) -> int:
    """Drops on their way at a leak: one for a weep, more the more it leaks."""
    share = np.log(leak_m3s / LEAST_M3S) / np.log(STREAM_M3S / LEAST_M3S)
    return int(np.clip(1 + round(float(share) * (MOST - 1)), 1, MOST))


def places(section: Section, leak_m3s: float, t_s: float) -> np.ndarray:
    """(n, 2) of the drops (r, z), m; none where nothing leaks."""
    joint = next((p for p in section.parts if p.key in JOINTS), None)
    if joint is None or leak_m3s < LEAST_M3S:
        return np.zeros((0, 2))
    number = spacing(leak_m3s)
    down = (np.arange(number) / number + t_s / FALL_S) % 1.0 * FALL_M
    corners = np.concatenate([np.asarray(o, dtype=float) for o in joint.outlines])
    out = np.full(number, corners[:, 0].max() + BESIDE_M)
    return np.stack([out, corners[:, 1].min() - BESIDE_M - down], axis=1)


def draw_drops(canvas: Canvas, section: Section, view: View, s: Snapshot) -> None:
    """Draw the drops of a moment on both sides."""
    found = places(section, s.readings.get("leak_m3s", 0.0), s.t_s)
    _draw_pool(canvas, section, view, s.readings.get("leaked_m3", 0.0))
    size, rim = canvas.dp(6), max(1, canvas.dp(2))
    for side in (1, -1):
        for x, y in view.points(found, side).tolist():
            tip = [(x, y - 2.2 * size), (x - 0.8 * size, y - 0.4 * size), (x + 0.8 * size, y - 0.4 * size)]
            for grow, colour in ((rim, "outline"), (0, "warn")):
                pygame.draw.polygon(canvas.surface, canvas.theme[colour], tip)
                pygame.draw.circle(canvas.surface, canvas.theme[colour], (x, y), size + grow)


def _draw_pool(canvas: Canvas, section: Section, view: View, leaked_m3: float) -> None:
    """Oil lost so far, as a pool under the joint; it is told as read off the pool's size."""
    joint = next((p for p in section.parts if p.key in JOINTS), None)
    if joint is None or leaked_m3 < LEAST_POOL_M3:
        canvas.record("leak_ml", 0.0)
        return
    corners = np.concatenate([np.asarray(o, dtype=float) for o in joint.outlines])
    half_m = float(np.sqrt(leaked_m3 / (np.pi * POOL_M)))
    half = max(2.0, half_m * view.px_m)
    canvas.record("leak_ml", round(1e6 * np.pi * POOL_M * (half / view.px_m) ** 2, 2))
    at = np.array([[corners[:, 0].max() + BESIDE_M, corners[:, 1].min() - BESIDE_M - FALL_M]])
    x, y = view.points(at)[0]
    wide = min(half, view.area.w / 3)
    box = pygame.Rect(round(x - wide), round(y - 4), round(2 * wide), max(4, canvas.dp(9)))
    clip = canvas.surface.get_clip()
    canvas.surface.set_clip(view.area)
    pygame.draw.ellipse(canvas.surface, canvas.theme["warn"], box)
    pygame.draw.ellipse(canvas.surface, canvas.theme["outline"], box, 1)
    canvas.surface.set_clip(clip)
