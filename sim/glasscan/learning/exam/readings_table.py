"""What a learner without a picture sees of a run: its instruments at the moments where they bend."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import model_validator

from glasscan.content.unit_words import unit_of_key
from glasscan.learning.marking_log import MarkingLog, column
from glasscan.learning.record_base import Record
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.vocabulary import columns

Floats = NDArray[np.float64]
ALWAYS = (
    "rpm",
    "filter_oil_c",
    "inlet_kpa",
    "outlet_kpa",
    "gauge_kpa",
    "element_flow_lpm",
    "bypass_flow_lpm",
    "lift_mm",
)
"""Columns of every table; `dp` is left to be worked out from inlet and outlet, the litres from the flows."""
HIDDEN = ("dp", "unfiltered")
"""Columns that are asked for too often to be given."""
MOST_ROWS = 40
"""Rows of a table at most: one page (PRACTICE)."""
PLACES = {"rev/min": 0, "kPa": 1, "°C": 1, "L/min": 2, "mm": 2, "mg": 0, "mm²/s": 1}
"""Decimals of the table by unit: those of a good instrument (PRACTICE); 2 for other units."""
WITHIN = 0.005
"""Straight lines between the rows miss the run by less than this share of each column's range (PRACTICE)."""


class Readings(Record):
    """A table: names with their units, and rows that begin with the time in s."""

    names: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]

    @model_validator(mode="after")
    def _even(self) -> Self:
        """One cell for each name in every row."""
        if any(len(row) != len(self.names) for row in self.rows):
            raise ValueError(f"expected {len(self.names)} values in every row")
        return self


def readings(scenario: Scenario, log: MarkingLog) -> Readings:
    """The instruments of a run, with every column its prompts speak of.

    Args:
        scenario: with the prompts.
        log: its run.

    Raises:
        KeyError: the run keeps no such column.
    """
    asked = (name for name in _named(scenario.model_dump()["prompts"]) if not name.startswith(HIDDEN))
    names = tuple(dict.fromkeys((*ALWAYS, *(_own(name) for name in asked))))
    places = np.array([_places(name) for name in names])
    values = np.stack([np.round(column(log, n), _places(n)) for n in names], axis=1)
    kept = bends(log.times_s, values, grain=10.0**-places)
    rows = [(round(float(log.times_s[i]), 2), *(float(x) + 0.0 for x in values[i])) for i in kept]
    return Readings(names=("time_s", *names), rows=tuple(rows))


def bends(
    times_s: Floats,
    values: Floats,
    most: int = MOST_ROWS,
    within: float = WITHIN,
    grain: Floats | float = 0.0,
) -> list[int]:
    """Samples between which straight lines follow all columns best.

    Args:
        times_s: (N,) moments, s.
        values: (N, C) columns.
        most: samples kept at most.
        within: error at which no more are needed, share of the range of each column.
        grain: (C,) smallest step the instruments show; a difference of one step is none.

    Returns:
        Indices, rising; the ends are always among them.
    """
    span = np.maximum(np.ptp(values, axis=0), np.asarray(grain) / within)
    scaled = (values - values.min(axis=0)) / np.where(span > 0, span, 1.0)
    kept = sorted({0, len(times_s) - 1})
    while len(kept) < most:
        lines = np.stack([np.interp(times_s, times_s[kept], v[kept]) for v in scaled.T], axis=1)
        miss = np.abs(scaled - lines).max(axis=1)
        miss[kept] = 0.0
        worst = int(miss.argmax())
        if miss[worst] <= within:
            break
        kept = sorted([*kept, worst])
    return kept


def table_lines(table: Readings) -> list[str]:
    """The table as lines of text, names above units."""
    cells = [[name.rpartition("_")[0] or name for name in table.names]]
    cells.append([name.rpartition("_")[2] if "_" in name else "" for name in table.names])
    cells += [[f"{x:g}" if abs(x) < 1e5 else f"{x:.0f}" for x in row] for row in table.rows]
    wide = [max(len(row[i]) for row in cells) for i in range(len(table.names))]
    return ["  ".join(cell.rjust(w) for cell, w in zip(row, wide, strict=True)) for row in cells]


def _named(piece: Any) -> Iterator[str]:
    """Trace columns named anywhere in the prompts."""
    if isinstance(piece, dict):
        for key, value in piece.items():
            if key in ("trace", "lift") and isinstance(value, str):
                yield value
            else:
                yield from _named(value)
    elif isinstance(piece, (list, tuple)):
        for item in piece:
            yield from _named(item)


def _own(name: str) -> str:
    """The trace's own name of a column that a prompt may ask in another unit."""
    found = [own for own in columns() if own == name or _stem(own) in (name, _stem(name))]
    return found[0] if found else name


def _stem(name: str) -> str:
    return name.rpartition("_")[0] or name


def _places(name: str) -> int:
    """Decimals that an instrument of this unit shows."""
    unit = unit_of_key(name)
    return PLACES.get(unit.sign if unit else "", 2)
