"""Every quantity and every event of the model that others see, each declared once.

Trace, CSV, strips, readings, text view, the words of scenario files and their schema derive from these two
tables. A new reading is one row of `SIGNALS`, a new event one row of `EVENTS`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from glasscan.units import UNITS

if TYPE_CHECKING:
    from glasscan.rig.records import Snapshot  # quick verbs read the words without the libraries of the rig

Against = Literal["gauge", "differential", "absolute", ""]


@dataclass(frozen=True)
class Signal:
    """One quantity of the model.

    Attributes:
        key: column of the trace; with its unit behind it the word of scenario files (`dp` -> `dp_kpa`).
        unit: unit of its column, a sign of `glasscan.units`, "rev/min", or "1" for shares and switches.
        label: in words, for a reader who has no picture; a pressure says against what.
        short: in words, for a row beside others.
        read: its value, SI (temperatures in degC, speeds of rotation in rev/min).
        against: what a pressure is measured against; "" for all else.
        meaning: one line for whoever asks with a scenario file, and for the schema.
    """

    key: str
    unit: str
    label: str
    short: str
    read: Callable[[Snapshot], float]
    against: Against = ""
    meaning: str = ""

    @property
    def scale(self) -> float:
        """Factor from SI to the unit of the column."""
        return 1.0 if self.unit in ("1", "degC", "rev/min") else 1.0 / UNITS[self.unit].scale

    def column(self, snapshot: Snapshot) -> float:
        """Its value in the unit of its column."""
        return float(self.read(snapshot)) * self.scale


def _reading(name: str) -> Callable[[Snapshot], float]:
    """A further reading of the snapshot; 0 where the rig has none."""
    return lambda s: s.readings.get(name, 0.0)


SIGNALS: tuple[Signal, ...] = (
    Signal("rpm", "rev/min", "Engine speed", "rpm", lambda s: s.rpm, meaning="speed of the shaft"),
    Signal("air", "degC", "Air", "air", lambda s: s.air_c, meaning="temperature of the air"),
    Signal(
        "sump_oil", "degC", "Oil in the sump", "sump", lambda s: s.sump_c,
        meaning="temperature of the oil in sump, tank or reservoir",
    ),
    Signal(
        "filter_oil", "degC", "Oil in the filter", "oil", lambda s: s.filter_c,
        meaning="temperature of the oil in the filter",
    ),
    Signal(
        "gallery_oil", "degC", "Oil in the gallery", "gallery", lambda s: s.gallery_c,
        meaning="temperature of the oil in the gallery",
    ),
    Signal(
        "viscosity", "mm2/s", "Viscosity", "viscosity", lambda s: s.nu_m2_s,
        meaning="kinematic viscosity in the filter; 1 mm2/s = 1 cSt",
    ),
    Signal(
        "inlet", "kPa", "Before the filter, gauge", "inlet", lambda s: s.inlet_pa, "gauge",
        "true pressure at the inlet of the filter",
    ),
    Signal(
        "outlet", "kPa", "After the filter, gauge", "outlet", lambda s: s.outlet_pa, "gauge",
        "true pressure at the outlet of the filter",
    ),
    Signal(
        "dp", "kPa", "Over the filter, differential", "dp", lambda s: s.dp_pa, "differential",
        "inlet minus outlet",
    ),
    Signal(
        "gauge", "kPa", "Oil pressure gauge", "gauge", lambda s: s.gauge_pa, "gauge",
        "what the gauge shows, with its lag and error",
    ),
    Signal(
        "pump_flow", "L/min", "Flow of the pump", "pump", lambda s: s.pump_m3s,
        meaning="what the pump delivers",
    ),
    Signal(
        "element_flow", "L/min", "Through the element", "element", lambda s: s.element_m3s,
        meaning="flow through the element",
    ),
    Signal(
        "bypass_flow", "L/min", "Through the bypass valve", "bypass", lambda s: s.bypass_m3s,
        meaning="flow past the element, through the bypass valve",
    ),
    Signal(
        "regulator_flow", "L/min", "Through the regulator", "regulator", lambda s: s.regulator_m3s,
        meaning="what the pressure regulator sends back",
    ),
    Signal(
        "bearing_flow", "L/min", "To the bearings", "bearings", lambda s: s.bearings_m3s,
        meaning="what bearings and jets (or the consumers of a hydraulic system) take",
    ),
    Signal("lift", "mm", "Lift of the bypass valve", "lift", lambda s: s.lift_m, meaning="lift of the valve"),
    Signal(
        "gallery_fill", "1", "Gallery full, 0 to 1", "filled", lambda s: s.gallery_fill,
        meaning="filled share of the gallery",
    ),
    Signal(
        "unfiltered", "L", "Unfiltered so far", "unfiltered", lambda s: s.unfiltered_m3,
        meaning="oil that has gone past the element since the start",
    ),
    Signal(
        "deposit", "mg", "Dirt held", "held", lambda s: float(s.deposit_kg.sum()),
        meaning="dirt on the element or at the discs",
    ),
    Signal(
        "suspended", "mg", "Dirt in the oil", "in oil", _reading("suspended_kg"),
        meaning="dirt that the oil carries",
    ),
    Signal("sludge", "mg", "Sludge in the bowl", "sludge", _reading("sludge_kg"), meaning="dirt in the bowl"),
    Signal(
        "indicator", "1", "Indicator out: 1", "button", lambda s: float(s.indicator),
        meaning="1 where the differential pressure indicator has popped",
    ),
    Signal(
        "accumulator", "L", "Fluid in the accumulator", "accumulator", _reading("accumulator_m3"),
        meaning="fluid that has pushed the gas of the accumulator together; 0 where none is fitted",
    ),
    Signal(
        "idles", "1", "Pump unloaded: 1", "idles", _reading("idles"),
        meaning="1 while the unloading valve sends the flow of the pump back to the reservoir",
    ),
    Signal("leaked", "L", "Lost outside", "lost", _reading("leaked_m3"), meaning="oil lost to the outside"),
)  # fmt: skip
BY_KEY = {signal.key: signal for signal in SIGNALS}


def signal_of(name: str) -> Signal | None:
    """The signal of a column, named alone or with a unit behind it; None where there is none."""
    stem = max((key for key in BY_KEY if name == key or name.startswith(f"{key}_")), key=len, default="")
    return BY_KEY.get(stem)


@dataclass(frozen=True)
class EventKind:
    """One thing the model does: its word in scenario files and traces, in words, and short for a mark."""

    key: str
    label: str
    short: str


EVENTS: tuple[EventKind, ...] = (
    EventKind("bypass-cracks", "Bypass valve cracks open", "cracks"),
    EventKind("bypass-full", "Bypass valve fully open", "full open"),
    EventKind("bypass-seats", "Bypass valve reseats", "reseats"),
    EventKind("gallery-full", "Oil gallery full", "gallery full"),
    EventKind("pressure-green", "Pressure in the green", "in the green"),
    EventKind("pump-unloads", "Unloading valve idles the pump", "unloads"),
    EventKind("pump-loads", "Unloading valve loads the pump", "loads"),
    EventKind("indicator-pops", "Differential pressure indicator pops", "indicator"),
    EventKind("indicator-reset", "Indicator reset", "reset"),
    EventKind("scraper-turned", "Scraper turned", "turned"),
    EventKind("bowl-drained", "Bowl drained", "drained"),
    EventKind("dirt-added", "Dirt added", "dirt"),
    EventKind("element-collapses", "The pleats of the element collapse", "collapses"),
    EventKind("element-tears", "The filter media tears", "tears"),
    EventKind("fault-begins", "A fault begins", "fault"),
    EventKind("fault-grown", "The fault has grown to its full size", "grown"),
)
EVENT_BY_KEY = {event.key: event for event in EVENTS}


def event_words(word: str) -> str:
    """An event in plain words; an unknown one is shown as it is written."""
    known = EVENT_BY_KEY.get(word)
    return known.label if known else word.replace("-", " ").capitalize()


def event_mark(word: str) -> str:
    """An event in the fewest words, for a mark on a line of time."""
    known = EVENT_BY_KEY.get(word)
    return known.short if known else word.replace("-", " ")
