"""What a rig has in its oil, on its element and in its bowl after some hours, by material."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.actions import churned_share, kept_share
from glasscan.contaminant.classes import COUNTED_UM, EDGES_UM, SOLID_KG_M3, counts_per_ml, dust_shares
from glasscan.contaminant.contaminant_state import faults_of
from glasscan.contaminant.element import Element
from glasscan.contaminant.stocks import stirring_1_s
from glasscan.faults.settled import Settled
from glasscan.faults.steady_state import SteadyState
from glasscan.filters.disc_stack.geometry import SLUDGE_SOLIDS
from glasscan.rig.plant_data import DirtData

Floats = NDArray[np.float64]
Values = dict[str, float]
SERVICE_H = 50.0
"""Hours since the filter was new (common practice: a change every 50 h)."""
SERVICE_S = SERVICE_H * 3600.0
TURNS = 3.0
"""Turns of the scraper in its test."""
LEAST_M3S = 1e-9
MG, UM, ML, M3_L = 1e6, 1e-6, 1e6, 1e3
CRUISED_S = 1200.0
"""Cruise before a sample is taken, s: a sample is taken hot and well mixed (common practice, no source)."""
LEAST_COUNT_ML = 0.01
"""Least that a counter tells from nothing: one particle in a bottle of 100 mL, 1/mL."""
FINE_BUBBLES = 0.02
"""Share of the free air that stays in the oil as small bubbles when a sample is taken (invented)."""


@dataclass(frozen=True)
class Grown:
    """How the sources of dirt came to what they are.

    Attributes:
        sound: what is let in by the sound rig.
        hours: running hours over which the sources have grown up to now; 0 = they were always as now.
    """

    sound: DirtData
    hours: float = 0.0


def dirt_values(bench: SteadyState, cruise: Settled, grown: Grown | None = None) -> Values:
    """Counts, materials and sludge at hot cruise.

    Args:
        bench, cruise: the rig, and its settled point.
        grown: how its sources of dirt have grown; None = they were always so.
    """
    caught = bench.element.caught(bench.held)
    take = caught @ np.maximum(cruise.segment_m3s, 0.0)
    now, mean = _let_in(bench.setup.plant.dirt, grown)
    before = _afloat(_all(now), _all(mean), take, bench.p.sump_m3)
    before = before + _stirred(bench, cruise.element_m3s + cruise.unfiltered_m3s, take)
    return {
        **_counts(bench, cruise, take, before),
        **_materials(bench, take, now, mean),
        **_turned(bench, caught, before),
        **_sludge(bench),
    }


def _all(feed: dict[str, Floats]) -> Floats:
    return np.asarray(np.sum(list(feed.values()), axis=0))


def _let_in(dirt: DirtData, grown: Grown | None) -> tuple[dict[str, Floats], dict[str, Floats]]:
    """(C,) of each material, kg/s: what is let in now, and its mean over the service."""
    now = feeds(dirt)
    if grown is None or grown.hours <= 0.0:
        return now, now
    first = feeds(grown.sound)
    return now, {name: _mean(first[name], feed, grown.hours) for name, feed in now.items()}


def _mean(first: Floats, last: Floats, hours: float) -> Floats:
    """Mean over the service of what has grown over some hours: even in the logarithm, or from nought."""
    inside = min(SERVICE_H / hours, 1.0)  # share of the growth that falls into the service
    both = (first > 0.0) & (last > 0.0) & (first != last)
    ratio = np.divide(last, first, out=np.ones_like(last), where=both)
    logs = np.log(ratio, out=np.ones_like(ratio), where=both)
    steep = np.where(both, last * (1.0 - ratio**-inside) / (logs * inside), last)
    even = last - 0.5 * inside * (last - first)
    growing = np.where(both, steep, even)
    share = min(hours / SERVICE_H, 1.0)
    return np.asarray(share * growing + (1.0 - share) * first)


def _afloat(now: Floats, mean: Floats, take: Floats, oil_m3: float) -> Floats:
    """(C,) what the oil carries at the end of the service, kg/m3.

    Once settled that is what is let in over what is taken out; what the element hardly catches is still
    gathering, and cannot be more than all that was let in.
    """
    span_s = SERVICE_S * np.divide(mean, now, out=np.ones_like(now), where=now > 0.0)
    return np.asarray(now * span_s / oil_m3 * _kept_afloat(take * span_s / oil_m3))


def _kept_afloat(x: Floats) -> Floats:
    """Share that is still afloat of what came in evenly while x times the oil went through the element."""
    return np.divide(-np.expm1(-x), x, out=np.ones_like(x), where=x > 1e-12)


def _counts(bench: SteadyState, cruise: Settled, take: Floats, before: Floats) -> Values:
    """Particles above the counting size next below the rating, before and after, 1/mL.

    An automatic counter takes bubbles and drops for particles; a sample that has stood in a vacuum has lost
    its bubbles.
    """
    edge = counted_um(bench)
    flow = cruise.element_m3s + cruise.unfiltered_m3s
    passed = np.maximum(1.0 - take / max(flow, LEAST_M3S), 0.0)
    up, down = (counts_per_ml(mass, edge) for mass in (before, before * passed))
    air, water = bench.setup.plant.air, bench.setup.plant.water
    drops = _seen_ml(water.share, water.drop_um, edge)
    bubbles = _seen_ml(FINE_BUBBLES * bench.p.air_ratio, air.bubble_um, edge)
    return {
        **_coded_counts(bench, before, before * passed),
        "count_before_ml": up + drops + bubbles,
        "count_after_ml": down + drops + bubbles,
        "count_ratio": _ratio(down + drops + bubbles, up + drops + bubbles),
        "still_count_after_ml": down + drops,
        "still_count_ratio": _ratio(down + drops, up + drops),
    }


def _coded_counts(bench: SteadyState, before: Floats, after: Floats) -> Values:
    """Counts above the sizes of ISO 4406 before and after, bubbles and drops included, 1/mL."""
    air, water = bench.setup.plant.air, bench.setup.plant.water
    values: Values = {}
    for um in COUNTED_UM:
        more = _seen_ml(water.share, water.drop_um, um)
        more += _seen_ml(FINE_BUBBLES * bench.p.air_ratio, air.bubble_um, um)
        values[f"count_{um}_before_ml"] = counts_per_ml(before, um) + more
        values[f"count_{um}_after_ml"] = counts_per_ml(after, um) + more
    return values


def _ratio(after: float, before: float) -> float:
    return after / before if before > 0.0 else 1.0


def counted_um(bench: SteadyState) -> float:
    """Counting size next below the rating, um(c)."""
    return max(size for size in EDGES_UM if size <= bench.setup.network.rating_um)


def _stirred(bench: SteadyState, flow: float, take: Floats) -> Floats:
    """(C,) sludge that the flow has stirred up, afloat when the sample is taken, kg/m3.

    It leaves the bowl at one rate and the oil at another (two first-order steps in a row, Bateman 1910).
    """
    scraper, sludge = bench.setup.network.dirt_side.scraper, bench.start.sludge
    if scraper is None or not sludge.any():
        return np.zeros_like(sludge)
    rate, out = stirring_1_s(scraper, float(sludge.sum()), flow), take / bench.p.sump_m3
    apart = np.where(np.abs(out - rate) > 1e-9, out - rate, 1e-9)
    afloat = rate * (np.exp(-rate * CRUISED_S) - np.exp(-(rate + apart) * CRUISED_S)) / apart
    return np.asarray(sludge * afloat / bench.p.sump_m3)


def _seen_ml(share: float, size_um: float, edge_um: float) -> float:
    """Bubbles or drops of one size that a counter sees in a millilitre."""
    return share / (pi / 6.0 * (size_um * UM) ** 3 * ML) if size_um >= edge_um else 0.0


def feeds(dirt: DirtData) -> dict[str, Floats]:
    """(C,) iron, other metal and dust let in at the reference speed, kg/s."""
    wear = np.array(dirt.wear_pct) / 100.0 * dirt.wear_mg_h / MG / 3600.0
    dust = np.array(dust_shares(dirt.dust)) * dirt.dust_mg_h / MG / 3600.0
    return {"iron": wear * dirt.wear_iron, "soft": wear * (1.0 - dirt.wear_iron), "grit": dust}


def _materials(bench: SteadyState, take: Floats, now: dict[str, Floats], mean: dict[str, Floats]) -> Values:
    """Iron, other metal and grit on the element and in a litre of oil at the end of the service, mg."""
    oil_m3 = bench.p.sump_m3
    values: Values = {}
    for name, feed in mean.items():
        afloat = _afloat(now[name], feed, take, oil_m3)
        held = np.maximum(feed * SERVICE_S - afloat * oil_m3, 0.0)
        values[f"{name}_held_mg"] = float(held.sum()) * MG
        values[f"{name}_oil_mg_l"] = float(afloat.sum()) * MG / M3_L
    return values


def _turned(bench: SteadyState, caught: Floats, before: Floats) -> Values:
    """After some turns of the scraper: drop over that before, unevenness, and burst of particles behind."""
    network = bench.setup.network
    scraper = network.dirt_side.scraper
    if scraper is None:
        return {"turned_ratio": 1.0, "bands_ratio": 1.0, "burst_ratio": 1.0}
    faults = faults_of(bench.setup.plant.scraper)
    keep = kept_share(network.segments, TURNS, scraper, faults)
    after = SteadyState(bench.setup, bench.rpm, bench.oil_c, bench.held * keep)
    bare = Element(network, network.dirt_side.catcher).resistance(after.held)
    sludge = bench.start.sludge
    churned = sludge * churned_share(float(sludge.sum()), TURNS * faults.drive, scraper)
    combed = scraper.loose_share * (bench.held * (1.0 - keep)).sum(axis=1)
    edge = counted_um(bench)
    passed = 1.0 - caught.mean(axis=1)
    loose = (churned + combed) / network.dirty_volume_m3
    quiet, burst = (
        max(counts_per_ml(mass * passed, edge), LEAST_COUNT_ML) for mass in (before, before + loose)
    )
    return {
        "turned_ratio": after.settled().dp_pa / max(bench.settled().dp_pa, 1.0),
        "bands_ratio": _most_over_least(bare, network.segment_r),
        "burst_ratio": burst / quiet,
    }


def _sludge(bench: SteadyState) -> Values:
    """Sludge that runs out of the bowl, mL, and the drop after draining over that before."""
    kg = float(bench.start.sludge.sum())
    if kg == 0.0:
        return {"sludge_ml": 0.0, "drained_ratio": 1.0}
    clean = SteadyState(bench.setup, bench.rpm, bench.oil_c, bench.held, sludge=False)
    return {
        "sludge_ml": kg / (SLUDGE_SOLIDS * SOLID_KG_M3) * ML,
        "drained_ratio": clean.settled().dp_pa / max(bench.settled().dp_pa, 1.0),
    }


def _most_over_least(now: Floats, clean: Floats) -> float:
    """Most over least caked segment, of those that pass oil at all."""
    rise = now[np.isfinite(clean)] / clean[np.isfinite(clean)]
    return float(rise.max() / rise.min())
