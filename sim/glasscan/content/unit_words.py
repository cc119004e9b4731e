"""Units as the ends of keys (`air_c`, `dp_kpa`) and as words a person may type after a number."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from glasscan.content.problems import nearest
from glasscan.units import UNITS, convert


@dataclass(frozen=True)
class UnitWord:
    """A unit of `glasscan.units` as people see it.

    Attributes:
        sign: what is printed after a number.
        name: its name in `glasscan.units`.
    """

    sign: str
    name: str

    @property
    def kind(self) -> str:
        """Quantity it measures."""
        return UNITS[self.name].kind

    def to(self, other: UnitWord, value: float) -> float:
        """`value` of this unit in the other one."""
        return convert(value, self.name, other.name)


BY_SUFFIX: dict[str, UnitWord] = {
    "c": UnitWord("°C", "degC"),
    "f": UnitWord("°F", "degF"),
    "k": UnitWord("K", "K"),
    "pa": UnitWord("Pa", "Pa"),
    "kpa": UnitWord("kPa", "kPa"),
    "mpa": UnitWord("MPa", "MPa"),
    "bar": UnitWord("bar", "bar"),
    "mbar": UnitWord("mbar", "mbar"),
    "psi": UnitWord("psi", "psi"),
    "s": UnitWord("s", "s"),
    "min": UnitWord("min", "min"),
    "h": UnitWord("h", "h"),
    "g": UnitWord("g", "g"),
    "mg": UnitWord("mg", "mg"),
    "kg": UnitWord("kg", "kg"),
    "m": UnitWord("m", "m"),
    "mm": UnitWord("mm", "mm"),
    "um": UnitWord("µm", "um"),
    "in": UnitWord("in", "inch"),
    "l": UnitWord("L", "L"),
    "ml": UnitWord("mL", "mL"),
    "usgal": UnitWord("US gal", "gal"),
    "m3": UnitWord("m³", "m3"),
    "lpm": UnitWord("L/min", "L/min"),
    "gpm": UnitWord("US gal/min", "gal/min"),
    "m3s": UnitWord("m³/s", "m3/s"),
    "rpm": UnitWord("rev/min", "rpm"),
    "mm2_s": UnitWord("mm²/s", "mm2/s"),
    "m2_s": UnitWord("m²/s", "m2/s"),
    "pa_s": UnitWord("Pa s", "Pa.s"),
    "kg_m3": UnitWord("kg/m³", "kg/m3"),
    "n": UnitWord("N", "N"),
    "deg": UnitWord("°", "deg"),
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


def unit_of_key(key: str) -> UnitWord | None:
    """Unit named by the end of a key, or None; `rate_n_m` ends in a compound unit, not in metres."""
    parts = key.lower().split("_")
    pair = "_".join(parts[-2:])
    if len(parts) > 2 and (pair in BY_SUFFIX or parts[-2] == "per" or parts[-2] in BY_SUFFIX):
        return BY_SUFFIX.get(pair)
    return BY_SUFFIX.get(parts[-1]) if len(parts) > 1 or key.lower() == "rpm" else None


def unit_of_word(word: str) -> UnitWord | None:
    """Unit a person names with a word or a sign, e.g. `psi`, `°F`, `L/min`."""
    plain = word.strip().lower()
    return BY_SUFFIX.get(_WORDS.get(plain, plain))


def key_in_other_unit(key: str, known: Iterable[str]) -> tuple[str, UnitWord, UnitWord] | None:
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
