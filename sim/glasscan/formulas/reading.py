"""Reading the numbers and words given to a figure, and what a wrong one is told."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from glasscan.content.problems import MAX_SHOWN, nearest

Raw = str | float | int
MOST_NUMBERS = 1000
"""Numbers in one list at most (count, PRACTICE)."""

_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_LONG = 300
"""Letters looked at: the longest finite number written out has about as many."""


class FigureError(ValueError):
    """A figure was asked for wrongly; the message is one line that says what was expected."""


def number(key: str, unit: str, raw: Raw) -> float:
    """A finite number: plain digits with a point.

    Raises:
        FigureError: what was expected, and the nearest way to write it.
    """
    value = math.nan if isinstance(raw, bool) else _plain(str(raw).strip(" "))
    if math.isfinite(value):
        return value
    of = "" if unit == "-" else f" {unit}"
    raise FigureError(
        f"{key}: expected a finite number{of}, got {cut(raw)!r}{_meant(str(raw).strip(), unit)}"
    )


def numbers(key: str, unit: str, raw: object) -> list[float]:
    """Two finite numbers or more, as a list or as text with commas between.

    Raises:
        FigureError: too few, too many, or one that is no number.
    """
    parts = raw if isinstance(raw, list | tuple) else str(raw).split(",")
    if not 2 <= len(parts) <= MOST_NUMBERS:
        wanted = f"expected 2 to {MOST_NUMBERS} numbers with commas between, such as 1.5,2.5"
        raise FigureError(f"{key}: {wanted}, got {cut(raw)!r}")
    return [number(key, unit, part) for part in parts]


def near(wrong: str, known: Iterable[str]) -> str:
    """` (did you mean ...?)` with the nearest known word, or nothing; among numbers the nearest number."""
    words = list(known)
    close = nearest(wrong, words)
    value = _plain(wrong)
    counted = [word for word in words if math.isfinite(_plain(word))]
    if math.isfinite(value) and counted:
        close = min(counted, key=lambda word: abs(_plain(word) - value))
    return f" (did you mean {close!r}?)" if close else ""


def cut(raw: object) -> str:
    """The user's own text, short enough to repeat."""
    text = raw if isinstance(raw, str) else str(raw)
    return text if len(text) <= MAX_SHOWN else f"{text[: MAX_SHOWN - 3]}..."


def _plain(text: str) -> float:
    return float(text) if len(text) <= _LONG and re.fullmatch(_NUMBER, text) else math.nan


def _meant(text: str, unit: str) -> str:
    """A hint where the mistake is a common one: a comma for the point, a unit behind the number."""
    if len(text) > MAX_SHOWN:
        return ""
    if re.fullmatch(r"[+-]?[0-9]*,[0-9]+", text):
        return f" (did you mean {text.replace(',', '.')!r}?)"
    found = re.fullmatch(rf"({_NUMBER})\s*([^0-9\s].*)", text)
    if found:
        of = "without a unit" if unit == "-" else f"in {unit}, without its unit"
        return f" (the number alone, {of}: {found[1]!r}?)"
    return ""
