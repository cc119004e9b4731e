"""Where a piece that comes with the oil ends up: settled, before the medium, behind it, or gone."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.debris.debris_data import catalogue
from glasscan.debris.settling import settling_m_s
from glasscan.rig.algebraic import evaluate
from glasscan.rig.rig import Rig
from glasscan.workshop.inspection.evidence import Body, Place, drawn_body
from glasscan.workshop.inspection.inspection_data import Strewn

Floats = NDArray[np.float64]
STAYS = 0.35
"""Share of the pieces behind the medium that are still there when opened (common practice, no source)."""
NEAR_TEAR = 0.06
"""Spread of what lies behind a tear, as share of the height (common practice, no source)."""


@dataclass(frozen=True)
class Ways:
    """Ways of the oil, as shares.

    Attributes:
        segments: (K,) of what passes the medium.
        past: through the bypass valve, of all.
        hole: through a tear or gap of the element, of all.
        hole_up: where that is, 0 foot to 1 head; None without one.
        turnover_1_s: how often a second the oil of the dirty side is renewed.
        sink_m: height a piece sinks through to lie in the bowl, m.
        rho_kg_m3, mu_pa_s: of the oil.
    """

    segments: Floats
    past: float
    hole: float
    hole_up: float | None
    turnover_1_s: float
    sink_m: float
    rho_kg_m3: float
    mu_pa_s: float


def ways_of(rig: Rig, height_m: float) -> Ways:
    """The ways of the oil of a rig as it runs now, for an element of a height, m."""
    network, state = rig.network, rig.state
    now = evaluate(rig.parts(), state.y.tolist(), state.controls.rpm.at(state.t_s))
    inward = np.maximum(np.asarray(now.segment_m3s), 0.0)
    through = float(inward.sum())
    valve, hole = max(now.flows.valve_m3s, 0.0), max(now.flows.hole_m3s, 0.0)
    whole = max(through + hole + valve, 1e-12)
    up = network.hole.segment / max(network.segments - 1, 1) if network.hole else None
    shares = inward / through if through > 0 else np.full(len(inward), 1 / len(inward))
    return Ways(
        shares, valve / whole, hole / whole, up, whole / network.dirty_volume_m3, height_m,
        now.rho, now.mu_filter,
    )  # fmt: skip


def strew(
    strewn: Strewn, since_h: float, ways: Ways, random: np.random.Generator
) -> tuple[list[Body], Counter[str]]:
    """Pieces of one kind where they ended up, and how many went on with the oil."""
    low, high = (strewn.per_h[i] * since_h + strewn.once[i] for i in (0, 1))
    number = int(random.integers(round(low), round(high) + 1)) if high > 0 else 0
    bodies, gone = list[Body](), Counter[str]()
    for _ in range(number):
        body = _come_to_rest(strewn, ways, random)
        if body is None:
            gone[strewn.kind] += 1
        else:
            bodies.append(body)
    return bodies, gone


def _come_to_rest(strewn: Strewn, ways: Ways, random: np.random.Generator) -> Body | None:
    code, along = strewn.kind, float(random.random())
    if strewn.enter == "clean":
        return drawn_body(code, "core", along, float(random.random()), random)
    if strewn.enter == "tear":
        up = 0.5 if ways.hole_up is None else ways.hole_up
        return drawn_body(code, "inside", _near(0.5, random), _near(up, random), random)
    if strewn.enter in ("lip", "blade"):
        place: Place = "cup" if random.random() < 0.5 else "outside"
        return drawn_body(code, place, along, float(random.random()) * 0.4, random)
    body = drawn_body(code, "outside", along, _up(ways, random), random)
    if random.random() < settled_share(body, ways):
        return Body(code, "cup", along, body.up, body.piece, body.mass_kg)
    return _by_stream(body, ways, random)


def _by_stream(body: Body, ways: Ways, random: np.random.Generator) -> Body | None:
    """On the medium, or past it by the valve or a hole, in proportion to the oil that goes there."""
    way = random.random()
    if way >= ways.past + ways.hole:
        return body
    if random.random() >= STAYS:
        return None
    torn = way >= ways.past and ways.hole_up is not None
    place: Place = "inside" if torn else "core"
    up = _near(ways.hole_up or 0.0, random) if torn else body.up
    along = _near(0.5, random) if torn else body.along
    return Body(body.code, place, along, up, body.piece, body.mass_kg)


def settled_share(body: Body, ways: Ways) -> float:
    """Share of such bodies that sink before the oil carries them to the medium: two rates that compete."""
    known = catalogue()
    density = known.material(known.kind(body.code)).density_kg_m3
    one = np.array([1.0])
    sink = settling_m_s(
        body.piece.sphere_m * one, density * one, body.piece.factor * one, ways.rho_kg_m3, ways.mu_pa_s
    )
    rate = max(float(sink[0]), 0.0) / ways.sink_m
    return rate / (rate + ways.turnover_1_s) if rate > 0 else 0.0


def _up(ways: Ways, random: np.random.Generator) -> float:
    """Height on the element, by the flow through its segments."""
    k = int(random.choice(len(ways.segments), p=ways.segments))
    return float((k + random.random()) / len(ways.segments))


def _near(middle: float, random: np.random.Generator) -> float:
    return float(np.clip(random.normal(middle, NEAR_TEAR), 0.01, 0.99))
