"""Units as the ends of keys (`air_c`, `dp_kpa`) and as words a person may type after a number."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from sim.loading.problems import nearest


@dataclass(frozen=True)
class Unit:
    """A unit: `SI value = factor * (value + offset)`.

    Factors are exact by definition (SI brochure; NIST SP 811, appendix B).
    """

    sign: str
    kind: str
    factor: float
    offset: float = 0.0

    def to(self, other: Unit, value: float) -> float:
        """`value` of this unit in the other one."""
        return self.factor * (value + self.offset) / other.factor - other.offset


_PSI_PA = 6894.757293168
_USGAL_M3 = 3.785411784e-3

BY_SUFFIX: dict[str, Unit] = {
    "c": Unit("°C", "temperature", 1.0, 273.15),
    "f": Unit("°F", "temperature", 5 / 9, 459.67),
    "k": Unit("K", "temperature", 1.0),
    "pa": Unit("Pa", "pressure", 1.0),
    "kpa": Unit("kPa", "pressure", 1e3),
    "mpa": Unit("MPa", "pressure", 1e6),
    "bar": Unit("bar", "pressure", 1e5),
    "psi": Unit("psi", "pressure", _PSI_PA),
    "s": Unit("s", "time", 1.0),
    "ms": Unit("ms", "time", 1e-3),
    "min": Unit("min", "time", 60.0),
    "h": Unit("h", "time", 3600.0),
    "g": Unit("g", "mass", 1e-3),
    "mg": Unit("mg", "mass", 1e-6),
    "kg": Unit("kg", "mass", 1.0),
    "m": Unit("m", "length", 1.0),
    "mm": Unit("mm", "length", 1e-3),
    "um": Unit("µm", "length", 1e-6),
    "in": Unit("in", "length", 0.0254),
    "l": Unit("L", "volume", 1e-3),
    "ml": Unit("mL", "volume", 1e-6),
    "usgal": Unit("US gal", "volume", _USGAL_M3),
    "m3": Unit("m³", "volume", 1.0),
    "lpm": Unit("L/min", "flow", 1e-3 / 60),
    "gpm": Unit("US gal/min", "flow", _USGAL_M3 / 60),
    "m3s": Unit("m³/s", "flow", 1.0),
    "rpm": Unit("rev/min", "speed", 1.0),
    "mm2_s": Unit("mm²/s", "kinematic viscosity", 1e-6),
    "m2_s": Unit("m²/s", "kinematic viscosity", 1.0),
    "pa_s": Unit("Pa s", "dynamic viscosity", 1.0),
    "kg_m3": Unit("kg/m³", "density", 1.0),
    "n_m": Unit("N/m", "spring rate", 1.0),
    "n": Unit("N", "force", 1.0),
    "deg": Unit("°", "angle", 1.0),
}

_WORDS = {
    "°c": "c", "degc": "c", "celsius": "c", "°f": "f", "degf": "f", "fahrenheit": "f", "kelvin": "k",
    "sec": "s", "second": "s", "seconds": "s", "minute": "min", "minutes": "min", "hour": "h", "hours": "h",
    "hr": "h", "gram": "g", "grams": "g", "litre": "l", "litres": "l", "liter": "l", "liters": "l",
    "µm": "um", "μm": "um", "micron": "um", "microns": "um", "inch": "in", "l/min": "lpm", "us gal": "usgal",
    "gal": "usgal", "gal/min": "gpm", "us gal/min": "gpm", "rev/min": "rpm", "r/min": "rpm", "psid": "psi",
    "psig": "psi", "kpag": "kpa", "barg": "bar", "m³": "m3", "cc": "ml", "cm3": "ml",
    "mm2/s": "mm2_s", "mm²/s": "mm2_s", "cst": "mm2_s", "kg/m3": "kg_m3", "kg/m³": "kg_m3", "newton": "n",
}  # fmt: skip

_VALUE = re.compile(r"\s*([-+−]?\d+(?:[.,]\d+)?)\s*([^\d\s].{0,20})?\s*\Z")


def unit_of_key(key: str) -> Unit | None:
    """Unit named by the end of a key, or None."""
    parts = key.lower().split("_")
    ends = ["_".join(parts[-n:]) for n in (2, 1) if len(parts) > n]
    named = [BY_SUFFIX[e] for e in ends if e in BY_SUFFIX]
    return named[0] if named else BY_SUFFIX["rpm"] if key.lower() == "rpm" else None


def unit_of_word(word: str) -> Unit | None:
    """Unit a person names with a word or a sign, e.g. `psi`, `°F`, `L/min`."""
    plain = word.strip().lower()
    return BY_SUFFIX.get(_WORDS.get(plain, plain))


def key_in_other_unit(key: str, known: Iterable[str]) -> tuple[str, Unit, Unit] | None:
    """The known key that says the same in another unit: `air_f` -> (`air_c`, °F, °C)."""
    stem, _, suffix = key.lower().rpartition("_")
    given = unit_of_word(suffix)
    if not stem or given is None:
        return None
    same = {k.rpartition("_")[0]: k for k in known if (u := unit_of_key(k)) and u.kind == given.kind}
    near = nearest(stem, [s for s in same if s])
    wanted = unit_of_key(same[near]) if near else None
    return (same[near], given, wanted) if near and wanted and wanted != given else None


def value_hint(text: str, key: str) -> str | None:
    """What to write instead of text such as `12 psi` or `12,5` where a number is meant."""
    found = _VALUE.match(text)
    if found is None:
        return None
    number = found[1].replace(",", ".").replace("−", "-")
    wanted = unit_of_key(key)
    if not found[2]:
        return f"write {number} without quotes, with a point"
    given = unit_of_word(found[2])
    if wanted is None or given is None:
        return f"write the number alone: {number}"
    if given.kind != wanted.kind:
        return f"the key takes {wanted.sign}, not {given.sign}"
    value = given.to(wanted, float(number))
    return f"write the number alone, in {wanted.sign}: {value:.4g}"
