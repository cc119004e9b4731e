"""A good element beside an overdue one: one rig run for many hours, its element looked at again and again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from glasscan.debris.debris_data import catalogue
from glasscan.rig.rig import Rig
from glasscan.rig.setup import RigSetup
from glasscan.workshop.inspection.evidence import Evidence, of_rig
from glasscan.workshop.inspection.planted_filters import CRUISE_C, CRUISE_RPM, STEP_H, WARM_UP_S

GOOD_H = 25.0
"""Hours of the good element: the middle of an interval of 50 h (common practice, no source)."""
OVERDUE_H = (50.0, 100.0, 150.0, 200.0)
"""Hours at which the other one may be looked at, h."""
DUST_MG_H = 60.0
"""Dust let in on a dusty strip with a tired air filter, mg/h (invented)."""
NEAR_VALVE = 0.8
"""Share of the cracking pressure from which an element is called due before it bypasses (invented)."""
Tell = Callable[[float, str], None]


def _silent(share: float, what: str) -> None:
    del share, what


@dataclass(frozen=True)
class ServedElement:
    """An element after so many hours.

    Attributes:
        hours: in service, h.
        evidence: what lies in it.
        dp_kpa: differential pressure at hot cruise, kPa.
        flow_l_min: oil through the filter at that moment, L/min.
        bypass_l_min: of it past the element, L/min.
        cracking_kpa: pressure at which the bypass valve leaves its seat, kPa.
    """

    hours: float
    evidence: Evidence
    dp_kpa: float
    flow_l_min: float
    bypass_l_min: float
    cracking_kpa: float

    @property
    def held_g(self) -> float:
        """Dirt on the element, g."""
        return float(self.evidence.held.sum()) * 1e3

    @property
    def magnet_share(self) -> float:
        """Share of that dirt that a magnet takes, 0..1."""
        known = catalogue()
        mass = self.evidence.held.sum(axis=(1, 2))
        pulled = sum(
            float(m)
            for code, m in zip(self.evidence.codes, mass, strict=True)
            if known.material(known.kind(code)).magnetic == "yes"
        )
        return pulled / float(mass.sum()) if mass.sum() > 0 else 0.0

    @property
    def margin(self) -> float:
        """Differential pressure over the cracking pressure."""
        return self.dp_kpa / self.cracking_kpa


def served(
    setup: RigSetup, data: Any, hours: tuple[float, ...], tell: Tell = _silent
) -> tuple[ServedElement, ...]:
    """Run one rig at hot cruise and look at its element at each of some hours.

    Args:
        setup: the sound rig with its filter.
        data: data of that filter.
        hours: when it is looked at, h, rising.
        tell: told how far it is.
    """
    dirt = setup.plant.dirt.model_copy(update={"dust_mg_h": DUST_MG_H})
    plant = setup.plant.model_copy(update={"dirt": dirt})
    rig = Rig(
        replace(
            setup, plant=plant, air_c=15.0, oil_c=CRUISE_C, rpm=CRUISE_RPM, gallery_fill=1.0, can_fill=1.0,
            timeline=(),
        )
    )  # fmt: skip
    rig.advance_to(WARM_UP_S)
    seen = []
    for h in hours:
        while rig.t_s < WARM_UP_S + h * 3600.0:
            rig.advance_to(min(rig.t_s + STEP_H * 3600.0, WARM_UP_S + h * 3600.0))
            tell(rig.t_s / (WARM_UP_S + hours[-1] * 3600.0), f"{rig.t_s / 3600.0:.0f} hours in service")
        seen.append(_looked_at(rig, data, h))
    return tuple(seen)


def _looked_at(rig: Rig, data: Any, hours: float) -> ServedElement:
    now, valve = rig.snapshot(), rig.network.valve
    through = now.element_m3s + now.bypass_m3s
    return ServedElement(
        hours, of_rig(rig, data, hours=hours), now.dp_pa * 1e-3, through * 6e4,
        now.bypass_m3s * 6e4, valve.cracking_pa * 1e-3 if valve else 1e9,
    )  # fmt: skip


@dataclass(frozen=True)
class Difference:
    """Something in which two elements differ, or do not.

    Attributes:
        name: what is compared.
        good, overdue: what each shows, in words with units.
        says: what it tells, for the class.
    """

    name: str
    good: str
    overdue: str
    says: str


def differences(good: ServedElement, other: ServedElement) -> tuple[Difference, ...]:
    """What differs between two elements, in the order a hand and an eye meet it."""
    return (
        Difference(
            "Colour of the pleats", f"{good.held_g:.1f} g of dirt", f"{other.held_g:.1f} g of dirt",
            "Dirt darkens the outside. Colour is a first look, no measure: some oils stain clean paper.",
        ),
        Difference(
            "What the magnet takes", f"{good.magnet_share:.0%} of it", f"{other.magnet_share:.0%} of it",
            "Most of an old element's dirt is dust, carbon and gum. Iron is trended per hour, not in all.",
        ),
        Difference(
            "Differential pressure, hot cruise", f"{good.dp_kpa:.0f} kPa", f"{other.dp_kpa:.0f} kPa",
            f"At the same flow and temperature. The valve leaves its seat at {other.cracking_kpa:.0f} kPa.",
        ),
        Difference(
            "Oil past the element", f"{good.bypass_l_min:.1f} L/min", f"{other.bypass_l_min:.1f} L/min",
            _bypass_says(other),
        ),
        Difference(
            "Clean side", _clean(good), _clean(other),
            "What lies behind the medium went to the bearings. Look there before you call it merely full.",
        ),
    )  # fmt: skip


def _bypass_says(other: ServedElement) -> str:
    if other.bypass_l_min > 0.05:
        return "The valve stands open on hot oil: the engine runs on unfiltered oil, and no gauge shows it."
    return "Hot, the valve still holds. With cold oil it opened long ago: viscosity multiplies the pressure."


def _clean(one: ServedElement) -> str:
    inside = sum(1 for b in one.evidence.bodies if b.place in ("inside", "core"))
    return f"{inside} pieces" if inside else "nothing seen"


def verdict_on(one: ServedElement) -> str:
    """What is done with such an element."""
    if one.bypass_l_min > 0.05:
        return "Overdue: it bypasses hot oil. Change it now, read the oil sample, shorten the interval."
    if one.margin >= NEAR_VALVE:
        return "Due: near its valve. Change it now; the next cold start bypasses for minutes."
    if one.margin >= NEAR_VALVE / 2:
        return "Loaded: at the next check it is due."
    return "Good: it may go on to the end of its interval."


def beside_told(kind: str, good: ServedElement, other: ServedElement) -> dict[str, Any]:
    """Both elements and what differs, as plain data."""

    def one(e: ServedElement) -> dict[str, Any]:
        return {
            "hours_h": e.hours, "held_g": round(e.held_g, 3), "magnet_share": round(e.magnet_share, 4),
            "dp_kpa": round(e.dp_kpa, 2), "flow_l_min": round(e.flow_l_min, 2),
            "bypass_l_min": round(e.bypass_l_min, 3), "cracking_kpa": round(e.cracking_kpa, 2),
            "verdict": verdict_on(e),
        }  # fmt: skip

    rows = [
        {"name": d.name, "good": d.good, "overdue": d.overdue, "says": d.says}
        for d in differences(good, other)
    ]
    return {"filter": kind, "good": one(good), "overdue": one(other), "differences": rows}
