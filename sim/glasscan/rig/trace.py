"""A growing table of all signals of a run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glasscan.number_style import NumberStyle
from glasscan.rig.records import Snapshot
from glasscan.signals import SIGNALS

Floats = NDArray[np.float64]
DECIMALS = 6
UNITS = {signal.key: signal.unit for signal in SIGNALS}


@dataclass
class Trace:
    """A growing trace: one row for each snapshot taken."""

    times_s: list[float] = field(default_factory=list)
    rows: list[tuple[float, ...]] = field(default_factory=list)

    def take(self, snapshot: Snapshot) -> None:
        """Add a row."""
        self.times_s.append(snapshot.t_s)
        self.rows.append(tuple(signal.column(snapshot) for signal in SIGNALS))

    def cut(self, t_s: float) -> None:
        """Forget every row after a moment."""
        while self.times_s and self.times_s[-1] > t_s:
            self.times_s.pop()
            self.rows.pop()

    def columns(self) -> dict[str, Floats]:
        """Column name -> (N,) values, in the unit of `UNITS`."""
        table = np.array(self.rows, dtype=np.float64).reshape(-1, len(SIGNALS))
        return {signal.key: table[:, i] for i, signal in enumerate(SIGNALS)}


def csv_text(
    times_s: Sequence[float] | Floats,
    columns: Mapping[str, Sequence[float] | Floats],
    style: NumberStyle | None = None,
) -> str:
    """A trace as a table: one line of names with units, then a line a moment; same run, same bytes.

    Args:
        times_s: (N,) moments, s.
        columns: signal -> (N,) values in its unit.
        style: units and decimal sign; the names of the columns stay.
    """
    style = style or NumberStyle()
    own = [UNITS[name] for name in columns]
    head = style.separator.join(
        ["time [s]", *(f"{name} [{style.unit(u)}]" for name, u in zip(columns, own, strict=True))]
    )
    rows = [
        [t, *(style.value(float(v), u) for v, u in zip(row, own, strict=True))]
        for t, *row in zip(times_s, *columns.values(), strict=True)
    ]
    told = (style.separator.join(style.text(_number(value)) for value in row) for row in rows)
    return "\n".join([head, *told]) + "\n"


def _number(value: float) -> str:
    """A number with fixed decimals, and no negative nought."""
    text = f"{value:.{DECIMALS}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text
