"""The pieces of the circuit: sump, pump, regulator, filter, gallery, bearings, gauge and button."""

from __future__ import annotations

import math

import numpy as np
import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Colour
from glasscan.window.circuit.circuit_flows import CircuitFlows, RigNumbers
from glasscan.window.circuit.circuit_layout import Places

COLD_C, HOT_C = -40.0, 120.0  # ends of the colours of oil by heat
FULL_GAUGE_PA = 8e5
SWEEP_DEG = 240.0  # of the gauge's pointer


def heat_colour(canvas: Canvas, at_c: float) -> Colour:
    """Colour of oil at a temperature, on the ramp that the section uses."""
    share = min(max((at_c - COLD_C) / (HOT_C - COLD_C), 0.0), 1.0)
    r, g, b = canvas.theme.ramp[round(255 * share)]
    return int(r), int(g), int(b)


def draw_sump(canvas: Canvas, at: Places, flows: CircuitFlows, s: Snapshot) -> None:
    """The sump with its level and the heat of its oil; the pick-up's mouth near its floor."""
    box, wall = at.sump, canvas.dp(4)
    surface, theme = canvas.surface, canvas.theme
    pygame.draw.rect(surface, theme["well"], box)
    share = 1.0 if flows.sump_share is None else flows.sump_share
    oil = box.copy()
    oil.h = round(min(share, 1.15) * 0.85 * box.h)
    oil.bottom = box.bottom
    pygame.draw.rect(surface, heat_colour(canvas, s.sump_c), oil)
    pygame.draw.line(surface, theme["ink"], oil.topleft, (oil.right - 1, oil.y), canvas.dp(2))
    for side in (
        (box.topleft, box.bottomleft),
        (box.bottomleft, box.bottomright),
        (box.bottomright, box.topright),
    ):
        pygame.draw.line(surface, theme["outline"], *side, wall)
    canvas.record("sump_level_share", round(oil.h / (0.85 * box.h), 3))
    mouth = pygame.Rect(0, 0, round(1.9 * at.pipe), canvas.dp(10))
    mouth.midbottom = round(at.x("sump")), box.bottom - canvas.dp(4)
    pygame.draw.rect(surface, theme["outline"], mouth, canvas.dp(2))


def draw_pump(canvas: Canvas, at: Places, flows: CircuitFlows) -> None:
    """The pump as a circle with its triangle; filled from below as far as it runs full of oil."""
    centre = (round(at.x("pump")), round(at.main_y))
    r, theme, surface = at.pump_r, canvas.theme, canvas.surface
    disc = pygame.Surface((2 * r, 2 * r), pygame.SRCALPHA)
    pygame.draw.circle(disc, (255, 255, 255), (r, r), r)
    fill = pygame.Surface((2 * r, 2 * r), pygame.SRCALPHA)
    fill.fill(theme["well"])
    high = round(2 * r * flows.fill) if flows.wanted_m3s > 0 else 0
    fill.fill(theme["dirty"], pygame.Rect(0, 2 * r - high, 2 * r, high))
    disc.blit(fill, (0, 0), special_flags=pygame.BLEND_RGBA_MIN)
    surface.blit(disc, (centre[0] - r, centre[1] - r))
    pygame.draw.circle(surface, theme["outline"], centre, r, canvas.dp(3))
    tip = [
        (centre[0] + 0.86 * r, centre[1]),
        (centre[0] + 0.3 * r, centre[1] - 0.5 * r),
        (centre[0] + 0.3 * r, centre[1] + 0.5 * r),
    ]
    pygame.draw.polygon(surface, theme["outline"], tip)
    canvas.record("pump_fill", round(high / (2 * r), 3))


def draw_regulator(canvas: Canvas, at: Places, s: Snapshot, rig: RigNumbers | None) -> None:
    """The regulator where it sits: a cone on its spring, lifted as far as it stands."""
    x, theme, surface = at.x("before" if s.regulator_before else "after"), canvas.theme, canvas.surface
    w, h = round(1.7 * at.pipe), round(2.0 * at.pipe)
    box = pygame.Rect(0, 0, w, h)
    box.midtop = round(x), round(at.main_y + 1.1 * at.pipe)
    pygame.draw.rect(surface, theme["sheet"], box)
    travel = rig.sound.reg_max_m if rig else 6e-3
    lift = min(max(s.regulator_lift_m / travel, 0.0), 1.0)
    seat_y = box.y + 0.22 * h
    cone_y = seat_y + lift * 0.26 * h
    half = 0.34 * w
    pygame.draw.polygon(
        surface, theme["warn" if lift > 0.01 else "outline"],
        [(x - half, cone_y), (x + half, cone_y), (x, cone_y - 0.2 * h)],
    )  # fmt: skip
    turns = np.linspace(cone_y + 2, box.bottom - 3, 9)
    zigzag = [(x + (half * 0.8 if i % 2 else -half * 0.8), y) for i, y in enumerate(turns)]
    pygame.draw.lines(surface, theme["soft"], False, zigzag, canvas.dp(3))
    pygame.draw.rect(surface, theme["outline"], box, canvas.dp(3))
    canvas.record(
        "regulator",
        {"place": "before" if s.regulator_before else "after", "lift_mm": round(1e3 * lift * travel, 4)},
    )


def draw_filter(canvas: Canvas, at: Places, valve_open: bool) -> tuple[float, float]:
    """The filter's body with its medium; returns the heights of the ways through it and past it."""
    box, theme, surface = at.filter, canvas.theme, canvas.surface
    canvas.panel(box, "well", "outline", 8, 3)
    through_y, past_y = box.y + 0.42 * box.h, box.y + 0.82 * box.h
    medium = pygame.Rect(0, 0, round(0.2 * box.w), round(0.56 * box.h))
    medium.center = box.centerx, round(through_y)
    paper = theme.material("paper")
    pygame.draw.rect(surface, paper.fill, medium)
    for x in range(medium.x + 2, medium.right, max(4, canvas.dp(7))):
        pygame.draw.line(surface, paper.hatch, (x, medium.y), (x, medium.bottom - 1), 1)
    gap = round(0.2 * at.pipe) if valve_open else 0
    seat = pygame.Rect(0, 0, canvas.dp(7), round(0.9 * at.pipe))
    seat.midright = box.centerx - gap, round(past_y)
    pygame.draw.rect(surface, theme["warn" if valve_open else "outline"], seat)
    return through_y, past_y


def draw_gallery(canvas: Canvas, at: Places, s: Snapshot) -> None:
    """The gallery, filled from the filter's side, and the bearings under it."""
    box, theme, surface = at.gallery, canvas.theme, canvas.surface
    pygame.draw.rect(surface, theme["well"], box)
    oil = box.copy()
    oil.w = round(s.gallery_fill * box.w)
    pygame.draw.rect(surface, heat_colour(canvas, s.gallery_c), oil)
    pygame.draw.rect(surface, theme["outline"], box, canvas.dp(3))
    canvas.record("gallery_fill", round(oil.w / box.w, 3))


def draw_accumulator(canvas: Canvas, at: Places, s: Snapshot) -> None:
    """The accumulator on the line: gas above, fluid below as far as it has pushed the gas together."""
    full = s.readings.get("accumulator_full_m3")
    if not full:
        return
    box, theme, surface = at.piece("accumulator"), canvas.theme, canvas.surface
    pygame.draw.rect(surface, theme["well"], box, border_radius=box.h // 2)
    high = round(box.h * s.readings["accumulator_m3"] / full)
    fluid = pygame.Surface(box.size, pygame.SRCALPHA)
    pygame.draw.rect(fluid, (255, 255, 255), fluid.get_rect(), border_radius=box.h // 2)
    level = pygame.Surface(box.size, pygame.SRCALPHA)
    level.fill(heat_colour(canvas, s.gallery_c), pygame.Rect(0, box.h - high, box.w, high))
    fluid.blit(level, (0, 0), special_flags=pygame.BLEND_RGBA_MIN)
    surface.blit(fluid, box.topleft)
    y = box.bottom - high
    pygame.draw.line(
        surface, theme["ink"], (box.x + box.h // 4, y), (box.right - box.h // 4, y), canvas.dp(2)
    )
    pygame.draw.rect(surface, theme["outline"], box, canvas.dp(3), border_radius=box.h // 2)
    canvas.record(
        "accumulator", {"fluid_l": round(high / box.h * full * 1e3, 3), "gas_l": round(full * 1e3, 3)}
    )


def draw_bearings(canvas: Canvas, at: Places) -> None:
    """Three shafts in their shells on the way from the gallery back to the sump."""
    r = round(min(0.85 * at.pipe, 0.028 * at.box.w))
    y = round((at.gallery.bottom + at.back_y) / 2)
    for x in at.bearings():
        pygame.draw.circle(canvas.surface, canvas.theme["outline"], (round(x), y), r)
        pygame.draw.circle(canvas.surface, canvas.theme["well"], (round(x), y), r - canvas.dp(4))
        pygame.draw.circle(canvas.surface, canvas.theme["edge"], (round(x), y), round(0.66 * r))


def draw_gauge(canvas: Canvas, at: Places, s: Snapshot, rig: RigNumbers | None) -> None:
    """The pressure gauge over the gallery: green arc from the least good pressure, pointer, true pressure."""
    r = round(0.034 * at.box.w)
    centre = (at.box.right - r - canvas.dp(2), at.gallery.centery)
    theme, surface = canvas.theme, canvas.surface
    in_green = False
    full = max(FULL_GAUGE_PA, 1.3 * (rig.sound.reg_preload_n / rig.sound.reg_seat_m2) if rig else 0.0)
    pygame.draw.circle(surface, theme["sheet"], centre, r)
    if rig is not None:
        ring = pygame.Rect(centre[0] - r + 3, centre[1] - r + 3, 2 * r - 6, 2 * r - 6)
        start, end = (_turn(rig.sound.green_pa / full), _turn(1.0))
        pygame.draw.arc(surface, theme["good"], ring, end, start, canvas.dp(5))
        in_green = end <= _turn(s.gauge_pa / full) <= start
    pygame.draw.circle(surface, theme["outline"], centre, r, canvas.dp(3))
    pygame.draw.line(surface, theme["outline"], at.gallery.midright, (centre[0] - r, centre[1]), canvas.dp(5))
    for value, colour, long in ((s.gallery_pa, "edge", 0.6), (s.gauge_pa, "ink", 0.82)):
        turn = _turn(value / full)
        tip = centre[0] + long * r * math.cos(turn), centre[1] - long * r * math.sin(turn)
        pygame.draw.line(surface, theme[colour], centre, tip, canvas.dp(4 if colour == "ink" else 2))
    told = {"shown_kpa": round(s.gauge_pa / 1e3, 2), "true_kpa": round(s.gallery_pa / 1e3, 2)}
    canvas.record("gauge", {**told, "green": in_green})


def _turn(share: float) -> float:
    """Angle of a pointer, rad, counter-clockwise from the right."""
    clipped = min(max(share, 0.0), 1.0)
    return math.radians(90 + SWEEP_DEG / 2 - SWEEP_DEG * clipped)


def draw_button(canvas: Canvas, at: Places, s: Snapshot) -> None:
    """The indicator's button on the filter: in, or out."""
    theme, surface = canvas.theme, canvas.surface
    w, out = canvas.dp(22), canvas.dp(16) if s.indicator else canvas.dp(4)
    box = pygame.Rect(0, 0, w, out)
    box.midbottom = at.filter.right - round(0.18 * at.filter.w), at.filter.y + 1
    pygame.draw.rect(surface, theme["warn" if s.indicator else "edge"], box)
    pygame.draw.rect(surface, theme["outline"], box, canvas.dp(2))
    canvas.record("button_out", bool(s.indicator))
