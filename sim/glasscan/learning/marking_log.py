"""What marking needs of a run: the log of the engine, seen through a narrow door."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Protocol

from glasscan.content.unit_words import unit_of_key, unit_of_word

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from glasscan.rig.records import Event

    Floats = NDArray[np.float64]


class MarkingLog(Protocol):
    """A finished run: `glasscan.rig.run_log.RunLog`, or anything of its shape."""

    @property
    def times_s(self) -> Floats:
        """(N,) moments of the trace, s."""

    @property
    def trace(self) -> Mapping[str, Floats]:
        """Column name -> (N,) values."""

    @property
    def units(self) -> Mapping[str, str]:
        """Column name -> unit."""

    @property
    def events(self) -> Sequence[Event]:
        """Events in order of time."""

    @property
    def unfiltered_m3(self) -> float:
        """Oil that has passed the bypass valve, m3."""


def column(log: MarkingLog, name: str) -> Floats:
    """A column of the trace, in the unit that ends its name.

    Args:
        log: the run.
        name: column with its unit, e.g. `dp_kpa`; the log may hold it as `dp` in any unit of pressure.

    Raises:
        KeyError: the log has no such column.
    """
    import numpy as np

    if name in log.trace:
        return np.asarray(log.trace[name], dtype=float)
    wanted = unit_of_key(name)
    stems = [s for s in log.trace if wanted and name.startswith(s + "_")]
    for stem in sorted(stems, key=len, reverse=True):
        given = unit_of_word(log.units.get(stem, ""))
        if given and wanted and given.kind == wanted.kind:
            raw = np.asarray(log.trace[stem], dtype=float)
            return np.array([given.to(wanted, v) for v in raw])
    raise KeyError(name)


def value_at(log: MarkingLog, name: str, at_s: float) -> float:
    """A column at a moment, straight between two samples, in the unit that ends its name."""
    import numpy as np

    return float(np.interp(at_s, log.times_s, column(log, name)))


def events_of(log: MarkingLog, word: str, from_s: float = 0.0, to_s: float | None = None) -> list[Event]:
    """Events of one kind within a window of time, in order."""
    import numpy as np

    end = np.inf if to_s is None else to_s
    return [e for e in log.events if e.word == word and from_s <= e.t_s <= end]
