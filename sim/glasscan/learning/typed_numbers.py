"""Numbers as people type them: point or comma, signs, a unit after the number."""

from __future__ import annotations

import re
from dataclasses import dataclass

from glasscan.content.unit_words import UnitWord, unit_of_word

_TYPED = re.compile(r"([-+−–]?)\s*(\d[\d\s.,'’]*|[.,]\d+)(?:[eE]([-+−]?\d{1,3}))?\s*(\D.*)?\Z")
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}\Z")


class Unreadable(ValueError):
    """A typed answer that is no clear number; it is asked again, not marked."""


@dataclass(frozen=True)
class Typed:
    """A number a learner gave; `unit` is None where none was typed."""

    value: float
    unit: UnitWord | None


def typed(text: str) -> Typed:
    """Read a typed answer such as `12,5`, `-3.2 psi` or `1 200 kPa`.

    Raises:
        Unreadable: it is not one clear number with, at most, a known unit.
    """
    found = _TYPED.match(text.strip()[:60])
    if found is None:
        raise Unreadable("expected a number, such as 12.5 or 12,5")
    sign = -1.0 if found[1] and found[1] in "-−–" else 1.0
    exponent = int((found[3] or "0").replace("−", "-"))
    return Typed(sign * _digits(found[2]) * 10.0**exponent, _unit(found[4]))


def _digits(text: str) -> float:
    tight = re.sub(r"[\s'’]", "", text)
    if tight.count(",") + tight.count(".") > 1:
        return _with_thousands(tight)
    if _THOUSANDS.match(tight):
        raise Unreadable(f"{tight} can be read in two ways: write {tight.replace(',', '')} or {tight}0")
    return float(tight.replace(",", "."))


def _with_thousands(tight: str) -> float:
    """A number with marks between its thousands, where only one reading is possible: 1.234,5 or 1,234,567."""
    for mark, point in ((",", "."), (".", ",")):
        grouped = rf"[1-9]\d{{0,2}}(\{mark}\d{{3}})+(\{point}\d+)?\Z"
        if re.match(grouped, tight):
            return float(tight.replace(mark, "").replace(point, "."))
    raise Unreadable("use one point or one comma, and nothing between thousands: 1234.5")


def _unit(word: str | None) -> UnitWord | None:
    if word is None or not word.strip():
        return None
    unit = unit_of_word(word)
    if unit is None:
        raise Unreadable(f"unknown unit '{word.strip()[:20]}'")
    return unit
