"""A second, minimal model of the lesson `cold-start`: explicit equations in SI units, integrated by SciPy.

It shares with the rig the data files (YAML) and the solved resistances of the filter (figure `filter-drop`),
and nothing else: the laws are written anew from the sources named beside them. Left out: elasticity, mass and
oil column of the valve, the oil that it sweeps, deposit and bending of the pleats.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import exp, log, pi, radians, sin, sqrt
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

Data = Mapping[str, Any]
AIR_PA = 101325.0  # standard atmosphere, ISO 2533
PSI_PA = 6894.757293168361
KINK_M = 1e-6  # width over which seat and stop take hold of the valve

OPENS, SHUT = 0.01, 0.0025
"""Shares of the full lift at which the lesson counts the valve as open and as seated."""

AT_S = 20.0  # moment at which the instruments are read


class Oil:
    """Properties of the oil from its data file."""

    def __init__(self, data: Data) -> None:
        (t1, z1), (t2, z2) = ((log(p["t_c"] + 273.15), p["nu_mm2_s"] + 0.7) for p in data["kv_points"])
        self.slope = (log(log(z1)) - log(log(z2))) / (t2 - t1)
        self.height = log(log(z1)) + self.slope * t1
        self.rho15 = float(data["rho15_kg_m3"])
        self.base, self.knee_pa = float(data["base_share"]), float(data["knee_stress_pa"])

    def rho(self, t_c: float) -> float:
        """ASTM D1250, constants of lubricating oils (MEMORY), kg/m3."""
        a = 0.6278 / self.rho15 * (t_c - 15.0)
        return self.rho15 * exp(-a * (1.0 + 0.8 * a))

    def mu(self, t_c: float) -> float:
        """Walther's line through the two points (ASTM D341 above 2 mm2/s, constants MEMORY), Pa s."""
        z = exp(exp(self.height - self.slope * log(t_c + 273.15)))
        return 1e-6 * (z - 0.7) * self.rho(t_c)

    def sheared(self, t_c: float, rate: float) -> float:
        """Carreau (1972) with exponent 1/2 for the polymers' part alone, Pa s."""
        mu = self.mu(t_c)
        return mu * (self.base + (1.0 - self.base) / sqrt(1.0 + (mu * rate / self.knee_pa) ** 2))

    def cp(self, t_c: float) -> float:
        """Cragoe, NBS Misc. Publ. 97 (1929), constants MEMORY; relative to water of 15 degC, J/(kg K)."""
        return (1685.0 + 3.4 * t_c) / sqrt(self.rho15 / 999.1)


def through(drop_pa: float, square: float, linear: float) -> float:
    """Flow of `drop = square q^2 + linear q`, m3/s."""
    return 2.0 * drop_pa / (linear + sqrt(linear * linear + 4.0 * square * drop_pa)) if drop_pa > 0.0 else 0.0


class Filter:
    """Three resistances: passages both streams share, element, valve; and the area the valve feels.

    At every lift the figure tells drop R, share past p and push P. A star of the three has
    `R = shared + (1 - p) element`, so two lifts give shared and element; the valve's is `element (1 - p)/p`.
    """

    def __init__(self, data: Data, figure: Callable[[float], Data]) -> None:
        valve, base, loss = data["valve"], data["base"], data["losses"]
        self.stop = 1e-3 * valve["max_lift_mm"]
        self.rim = pi * 1e-3 * valve["seat_mm"]
        self.seat = self.rim**2 / (4.0 * pi)
        self.cd = valve["cd"]
        self.friction = valve["friction_n"]
        self.preload = valve["cracking_psi"] * PSI_PA * self.seat - self.friction
        self.rate = 1e3 * valve["rate_n_mm"]
        holes = base["holes"] * pi * (5e-4 * base["hole_mm"]) ** 2
        outlet = pi * (1e-3 * base["hub_radius_mm"]) ** 2
        self.minor = 0.5 * (loss["inlet_k"] / holes**2 + loss["outlet_k"] / outlet**2)
        self.oil_m3 = self.outside(data)
        self._solved(figure)

    @staticmethod
    def outside(data: Data) -> float:
        """Oil between shell and element, m3: a tube under half an ellipsoid, less element, caps and boss."""
        shell, element = data["shell"], data["element"]
        tube = shell["inner_radius_mm"] ** 2 * (
            shell["straight_top_mm"] + 2.0 / 3.0 * shell["dome_height_mm"]
        )
        high = element["top_mm"] - element["bottom_mm"] + 2.0 * element["cap_mm"]
        inner = element["outer_radius_mm"] ** 2 * high
        boss = data["base"]["boss_radius_mm"] ** 2 * element["bottom_mm"]
        return float(1e-9 * pi * (tube - inner - boss))

    def _solved(self, figure: Callable[[float], Data]) -> None:
        self.lifts = np.array([0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.65, 0.8, 1.0, 1.2, 1.35, 1.5]) * 1e-3
        told = [figure(1e3 * lift) for lift in self.lifts]
        drop, past, push = (
            np.array([row[key] for row in told]) for key in ("resistance_per_m3", "past_share", "push_per_m")
        )
        self.element = (drop[0] - drop[-1]) / past[-1]
        self.shared = drop[0] - self.element
        self.area = push / (self.element * (1.0 - past))
        # conductance grows with the cube of a narrow gap: its cube root is the smooth thing to interpolate
        self.root = np.cbrt(past / (self.element * (1.0 - past)))

    def split(self, flow: float, lift: float, mu: float, rho: float) -> tuple[float, float, float]:
        """Drop of the whole filter (Pa), flow past the element (m3/s), push on the valve (N)."""
        whole = mu * self.element * flow
        past = jet = 0.0
        gap = float(np.interp(lift, self.lifts, self.root)) ** 3
        if lift > KINK_M and gap > 0.0:
            square = 0.5 * rho / (self.cd * min(self.rim * lift, self.seat)) ** 2
            past = through(whole, square, mu * (1.0 / gap + self.element))
            jet = square * past * past
        across = whole - mu * self.element * past
        drop = across + mu * self.shared * flow + self.minor * rho * flow * flow
        area = float(np.interp(lift, self.lifts, self.area))
        return drop, past, area * (across - jet) + self.seat * jet

    def speed(self, push: float, lift: float, mu: float) -> float:
        """Speed of the massless valve, m/s: what spring and dry friction leave works against a film.

        The film's drag, 100 mu per rim, only sets how many milliseconds the valve takes.
        """
        left = push - self.preload - self.rate * lift
        left = left - self.friction if left > self.friction else min(left + self.friction, 0.0)
        room = (self.stop - lift if left > 0.0 else lift) / KINK_M
        return float(left / (100.0 * mu * self.rim) * min(max(room, 0.0), 1.0))


@dataclass(frozen=True)
class Flows:
    """Flows (m3/s) and pressures (Pa gauge) of one moment."""

    pump: float
    slip: float
    spill: float
    bearings: float
    jets: float
    past: float
    drop: float
    push: float
    can: float
    gallery: float


class Engine:
    """Pump, filter, gallery and heat balance of the lesson, with the regulator after the filter."""

    def __init__(self, plant: Data, oil: Oil, filter_: Filter, rpm: Callable[[float], float], air_c: float):
        self.d, self.oil, self.filter, self.rpm, self.air_c = plant, oil, filter_, rpm, air_c
        self.volume = 1e-3 * plant["gallery"]["volume_l"]
        reg = plant["regulator"]
        self.reg_seat = pi * (5e-4 * reg["seat_d_mm"]) ** 2
        self.can = filter_.oil_m3

    def swept(self, rpm: float, mu: float, rho: float) -> float:
        """Oil the pump draws, m3/s: its stroke or what the pick-up passes.

        The two limits are joined by the rig's own rule (fourth powers), as no law tells how foam sets in.
        """
        pump = self.d["pump"]
        stroke = 1e-6 * pump["displacement_ml_rev"] * pump["volumetric_efficiency"] * rpm / 60.0
        pull = AIR_PA - 1e3 * pump["suction_floor_kpa"]
        most = through(pull, rho * pump["suction_k_per_m4"], mu * pump["suction_r_per_m3"])
        return float(stroke / (1.0 + (stroke / most) ** 4) ** 0.25)

    def gallery_pa(self, oil_m3: float) -> float:
        """Head while it fills; full, the trapped air (isothermal) and the walls give way, Pa gauge."""
        gallery = self.d["gallery"]
        head, over = 1e3 * gallery["head_kpa"], oil_m3 - self.volume
        if over <= 0.0:
            return float(head * oil_m3 / self.volume)
        trapped = gallery["trapped_air"] * self.volume
        soft = self.volume / (1e6 * self.d["housing"]["bulk_mpa"])
        # over = trapped x/(air + x) + soft x
        b = trapped + soft * AIR_PA - over
        return float(head + (-b + sqrt(b * b + 4.0 * soft * over * AIR_PA)) / (2.0 * soft))

    def spill(self, sensed: float, lift: float, mu: float, rho: float) -> float:
        """Regulator: cone on a sharp seat, turbulent jet, slit of creeping flow (Hasimoto 1958), passage."""
        reg = self.d["regulator"]
        if lift <= 1e-9:
            return 0.0
        d, half = 1e-3 * reg["seat_d_mm"], radians(reg["half_angle_deg"])
        wide = lift * sin(half)
        gap = pi * wide * (d - 0.5 * lift * sin(2.0 * half))
        # a slit of width w passes pi w^2/(32 mu) for each metre and pascal
        slit = 32.0 * mu / (pi * (gap / (pi * d)) ** 2 * pi * d)
        square = 0.5 * rho / (reg["cd"] * gap) ** 2
        return through(sensed, square, slit + mu * reg["return_r_per_m3"])

    def jets(self, push: float, mu: float, rho: float) -> float:
        """Hole of turbulent and creeping drop (Sampson 1891: 24 mu q/d^3), behind a light ball check."""
        gallery = self.d["gallery"]
        if push < 1e3 * gallery["jet_check_kpa"]:
            return 0.0
        area = 1e-6 * gallery["jet_area_mm2"]
        creeping = 24.0 * mu / (4.0 * area / pi) ** 1.5
        return through(push, 0.5 * rho / (gallery["jet_cd"] * area) ** 2, creeping)

    def flows(self, t: float, y: np.ndarray) -> Flows:
        """All flows from the state."""
        stored, lift, reg_lift, _, sump, filt, gal, bearing, _ = y
        oil, gallery = self.oil, self.d["gallery"]
        rpm, rho = self.rpm(t), oil.rho(filt)
        mu_sump, mu = oil.mu(sump), oil.mu(filt)
        swept, gallery_pa = self.swept(rpm, mu_sump, rho), self.gallery_pa(stored)
        slip = can = drop = past = push = 0.0
        for _ in range(3):  # slip changes the drop by less than a thousandth of itself
            drop, past, push = self.filter.split(swept - slip, lift, mu, rho)
            can = gallery_pa + drop
            slip = min(1e-9 * self.d["pump"]["slip_mm3"] * can / mu_sump, self.d["pump"]["slip_cap"] * swept)
        thin = oil.sheared(bearing, gallery["bearing_shear"] * rpm * pi / 30.0)
        wet = gallery_pa - (1e3 * gallery["hold_kpa"] if stored < self.volume else 0.0)
        return Flows(
            swept - slip,
            slip,
            self.spill(gallery_pa, reg_lift, oil.mu(gal), rho),
            1e-9 * gallery["bearing_mm3"] * max(wet, 0.0) / thin,
            self.jets(gallery_pa, oil.mu(gal), rho),
            past,
            drop,
            push,
            can,
            gallery_pa,
        )

    def rates(self, t: float, y: np.ndarray) -> list[float]:
        """Rates of oil in the gallery, both lifts, oil past the element and five temperatures."""
        f = self.flows(t, y)
        reg = self.d["regulator"]
        back = self.oil.mu(y[6]) * reg["return_r_per_m3"] * f.spill
        free = ((f.gallery - back - 1e3 * reg["set_kpa"]) * self.reg_seat) / reg["rate_n_m"]
        rest = min(max(free, 0.0), 1e-3 * reg["max_lift_mm"])
        return [
            f.pump - f.spill - f.bearings - f.jets,
            self.filter.speed(f.push, y[1], self.oil.mu(y[5])),
            (rest - y[2]) / reg["lag_s"],
            f.past,
            *self.warming(t, y, f),
        ]

    def warming(self, t: float, y: np.ndarray, f: Flows) -> tuple[float, ...]:
        """First law for sump, can, gallery, bearings and block, each well mixed, K/s."""
        h, rpm, air = self.d["heat"], self.rpm(t), self.air_c
        stored, _, _, _, sump, filt, gal, bearing, block = y
        oil_j = self.oil.rho(filt) * self.oil.cp(filt)
        omega = rpm * pi / 30.0
        mu = self.oil.sheared(bearing, self.d["gallery"]["bearing_shear"] * omega)
        petroff, torque = 1e-3 * h["bearing_drag_l"] * mu * omega, h["bearing_drag_limit_nm"]
        shear = omega * petroff * torque / (petroff + torque)
        fire = h["engine_w"] * (rpm / h["reference_rpm"]) ** h["engine_exponent"]
        open_ = 1.0 / (1.0 + exp(2.0 * (h["thermostat_c"] - sump) / h["thermostat_span_c"]))
        cooler = h["cooler_w_k"] * (rpm / h["reference_rpm"]) ** h["cooler_air_exponent"] * open_
        to_block = h["bearing_block_w_k"] * (bearing - block)
        to_gallery = h["block_gallery_w_k"] * (block - gal)
        to_bearing = h["bearing_gallery_w_k"] * (gal - bearing)
        to_sump = h["block_sump_w_k"] * (block - sump)
        d_sump = (
            oil_j * (f.bearings * (bearing - sump) + (f.jets + f.spill) * (gal - sump))
            + f.gallery * (f.spill + f.jets)
            + f.can * f.slip
            + to_sump
            - (h["sump_air_w_k"] + cooler) * (sump - air)
        )
        # the sump's volume in the data is that with every passage full
        in_sump = 1e-3 * self.d["sump"]["volume_l"] + self.volume - stored
        d_filter = oil_j * f.pump * (sump - filt) + f.drop * f.pump - h["filter_air_w_k"] * (filt - air)
        d_gallery = oil_j * f.pump * (filt - gal) + to_gallery - to_bearing
        d_bearing = shear + f.bearings * (f.gallery + oil_j * (gal - bearing)) + to_bearing - to_block
        d_block = fire + to_block - to_gallery - to_sump - h["block_air_w_k"] * (block - air)
        return (
            d_sump / (oil_j * in_sump),
            d_filter / (oil_j * self.can + self.d["housing"]["metal_j_k"]),
            d_gallery / (oil_j * max(stored, 0.05 * self.volume)),
            d_bearing / h["bearing_j_k"],
            d_block / h["block_j_k"],
        )


def cold_start(engine: Engine, corners_s: tuple[float, float], until_s: float) -> dict[str, float]:
    """What the lesson's check asks for, from standing still with empty passages.

    Args:
        engine: the model.
        corners_s: where the speed begins and ends to rise; the integration stops at each.
        until_s: end, after the valve has seated for good.
    """
    stop, volume = engine.filter.stop, engine.volume
    marks = [
        lambda _t, y: y[1] - OPENS * stop,
        lambda _t, y: y[0] - volume,
        lambda _t, y: y[1] - SHUT * stop,
    ]
    for mark, direction in zip(marks, (1.0, 1.0, -1.0), strict=True):
        mark.direction = direction  # type: ignore[attr-defined]
    y = np.array([0.0, 0.0, 0.0, 0.0, *[engine.air_c] * 5])
    atol = [1e-9, 1e-8, 1e-7, 1e-7, *[1e-4] * 5]
    met: list[list[tuple[float, np.ndarray]]] = [[], [], []]
    found: dict[str, float] = {}
    ends = (*corners_s, AT_S, until_s)
    for begin, end in zip((0.0, *ends), ends, strict=False):
        run = solve_ivp(engine.rates, (begin, end), y, "BDF", rtol=1e-6, atol=atol, events=marks)
        assert run.success, run.message
        for seen, times, states in zip(met, run.t_events, run.y_events, strict=True):
            seen += zip(times, states, strict=True)
        y = run.y[:, -1]
        if end == AT_S:
            found = _instruments(engine.flows(end, y))
    cracks, full, seats = met
    found |= {"cracks_s": cracks[0][0], "full_s": full[0][0], "seats_s": seats[-1][0]}
    found |= {"seats_c": float(seats[-1][1][5]), "unfiltered_l": 1e3 * float(y[3])}
    return found | {"end_sump_c": float(y[4]), "end_oil_c": float(y[5]), "end_gallery_c": float(y[6])}


def _instruments(f: Flows) -> dict[str, float]:
    """Pressures and flows in the units of the trace."""
    return {
        "dp_kpa": 1e-3 * f.drop,
        "outlet_kpa": 1e-3 * f.gallery,
        "bypass_lpm": 6e4 * f.past,
        "bearings_lpm": 6e4 * (f.bearings + f.jets),
    }
