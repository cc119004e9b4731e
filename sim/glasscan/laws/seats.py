"""Opening areas between a valve and its sharp seat: pure geometry. Lengths in m, areas in m2."""

from __future__ import annotations

import math


def seat_area_m2(seat_m: float) -> float:
    """Area of the seat bore, `pi d^2/4`, m2."""
    return math.pi * seat_m**2 / 4.0


def disc_area_m2(seat_m: float, lift_m: float, capped: bool = True) -> float:
    """Flat disc: the curtain `pi d x`, m2; capped at the bore, which it reaches at a lift of d/4."""
    curtain = math.pi * seat_m * max(lift_m, 0.0)
    return min(curtain, seat_area_m2(seat_m)) if capped else curtain


def cone_area_m2(seat_m: float, lift_m: float, half_angle_deg: float) -> float:
    """Cone poppet on a sharp seat: `pi x sin(a) (d - x sin(a) cos(a))`, m2, capped at the bore.

    The side of the frustum between the cone and the edge of the seat.

    Args:
        seat_m: seat diameter.
        lift_m: lift from the seat.
        half_angle_deg: half angle of the cone, 90 for a flat disc.
    """
    sine, cosine = math.sin(math.radians(half_angle_deg)), math.cos(math.radians(half_angle_deg))
    slant = max(lift_m, 0.0) * sine
    bore = seat_area_m2(seat_m)
    past_apex = cosine > 0.0 and slant * cosine >= seat_m / 2.0
    return bore if past_apex else min(math.pi * slant * (seat_m - slant * cosine), bore)


def ball_area_m2(seat_m: float, lift_m: float, ball_m: float) -> float:
    """Ball on a sharp seat: `pi (s - R)(a + a R/s)`, m2, capped at the bore.

    The frustum over the nearest distance between ball and edge.

    Args:
        seat_m: seat diameter 2a.
        lift_m: lift from the seat.
        ball_m: ball diameter 2R, larger than the seat.
    """
    a, radius = seat_m / 2.0, ball_m / 2.0
    if radius <= a:
        raise ValueError(f"a ball of {ball_m:g} m falls through a seat of {seat_m:g} m")
    s = math.hypot(a, math.sqrt(radius**2 - a**2) + max(lift_m, 0.0))
    return min(math.pi * (s - radius) * (a + a * radius / s), seat_area_m2(seat_m))
