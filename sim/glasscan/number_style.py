"""Units and decimal sign of tables that are written: one setting, `config.toml` in the data folder.

```toml
[numbers]
units = "us"        # "si" (kPa, degC, L/min), "us" (psi, degF, gal/min) or "bar" (bar, degC, L/min)
decimal = "comma"   # or "point"; with a comma the columns are parted by semicolons
```
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from typing import Any

from glasscan.content import BadInput, nearest
from glasscan.paths import own_folder
from glasscan.units import convert

FILE = "config.toml"
UNIT_SETS: dict[str, dict[str, str]] = {
    "si": {},
    "us": {"kPa": "psi", "degC": "degF", "L/min": "gal/min", "L": "qt", "mm": "inch"},
    "bar": {"kPa": "bar"},
}
"""Unit of a signal -> unit written instead; units not named stay (mm2/s = cSt everywhere)."""
DECIMALS = {"point": ".", "comma": ","}
KNOWN = {"units": tuple(UNIT_SETS), "decimal": tuple(DECIMALS)}


@dataclass(frozen=True)
class NumberStyle:
    """How tables are written.

    Attributes:
        units: a word of `UNIT_SETS`.
        decimal: a word of `DECIMALS`.
    """

    units: str = "si"
    decimal: str = "point"

    @property
    def separator(self) -> str:
        """Between columns: a semicolon where the comma is taken, as spreadsheets set to it expect."""
        return ";" if self.decimal == "comma" else ","

    def unit(self, own: str) -> str:
        """Unit in which a value of a unit is written."""
        return UNIT_SETS[self.units].get(own, own)

    def value(self, value: float, own: str) -> float:
        """A value of a unit in the unit written."""
        wanted = self.unit(own)
        return value if wanted == own else convert(value, own, wanted)

    def text(self, text: str) -> str:
        """A number written with a point, with the decimal sign of the style."""
        return text.replace(".", DECIMALS[self.decimal])


def number_style(units: str | None = None, decimal: str | None = None) -> NumberStyle:
    """The style asked for; what is not said comes from `config.toml`, else kPa and a point.

    Raises:
        BadInput: the file cannot be read, or has another key or word; the line says what was expected.
    """
    kept = _kept()
    return NumberStyle(units or kept.get("units", "si"), decimal or kept.get("decimal", "point"))


def _kept() -> dict[str, str]:
    file = own_folder() / FILE
    try:
        data = tomllib.loads(file.read_text("utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadInput([f"{file}: {error}"]) from None
    found: Any = data.get("numbers", {})
    wrong = [_unknown(str(file), key, ("numbers",)) for key in data if key != "numbers"]
    if not isinstance(found, dict):
        raise BadInput([f"{file}: numbers: expected a table, [numbers]"])
    for key, value in found.items():
        if key not in KNOWN:
            wrong.append(_unknown(str(file), f"numbers.{key}", tuple(KNOWN)))
        elif value not in KNOWN[key]:
            near = nearest(str(value), KNOWN[key])
            hint = f" (did you mean '{near}'?)" if near else ""
            wrong.append(
                f"{file}: numbers.{key}: expected one of {', '.join(KNOWN[key])}, found {value!r}{hint}"
            )
    if wrong:
        raise BadInput(wrong)
    return found


def _unknown(file: str, key: str, known: tuple[str, ...]) -> str:
    return f"{file}: {key}: unknown key, expected {' or '.join(known)}"
