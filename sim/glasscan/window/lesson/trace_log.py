"""What the trace is drawn from: columns of floats against time that grow, and are cut on rewinding."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from glasscan.rig.records import Snapshot
from glasscan.signals import SIGNALS
from glasscan.window.contract import Array

COLUMNS = ("t_s", *(signal.key for signal in SIGNALS))


class TraceLog:
    """All signals in SI units (temperatures in degC), appended in order of time.

    Past `limit` rows every second row of the older half is dropped: a long time lapse stays drawable.
    """

    def __init__(self, limit: int = 60_000) -> None:
        self._data = np.empty((1024, len(COLUMNS)))
        self.rows = 0
        self.limit = limit
        self.version = 0

    def add(self, snapshot: Snapshot) -> None:
        """Append one snapshot; one that is not later than the last is ignored."""
        if self.rows and snapshot.t_s <= self._data[self.rows - 1, 0]:
            return
        if self.rows == len(self._data):
            self._data = np.vstack([self._data, np.empty_like(self._data)])
        self._data[self.rows] = (snapshot.t_s, *(signal.read(snapshot) for signal in SIGNALS))
        self.rows += 1
        if self.rows > self.limit:
            self._thin()

    def _thin(self) -> None:
        half = self.rows // 2
        kept = np.vstack([self._data[:half:2], self._data[half : self.rows]])
        self._data[: len(kept)] = kept
        self.rows = len(kept)
        self.version += 1

    def copy(self) -> TraceLog:
        """The rows so far on their own."""
        log = TraceLog(self.limit)
        log._data, log.rows = self._data[: self.rows].copy(), self.rows
        return log

    def cut(self, t_s: float) -> None:
        """Forget everything after a moment."""
        self.rows = int(np.searchsorted(self._data[: self.rows, 0], t_s, side="right"))
        self.version += 1

    def column(self, name: str) -> Array:
        """Values so far, (rows,)."""
        return self._data[: self.rows, COLUMNS.index(name)]

    @classmethod
    def of_trace(cls, times_s: Array, trace: Mapping[str, Array]) -> TraceLog:
        """A log from the trace of a finished run.

        Args:
            times_s: (N,) moments, s.
            trace: (N,) columns in the units of the signals; one that is not there is shown as nothing.
        """
        log = cls()
        nothing = np.full(len(times_s), np.nan)
        si = [np.asarray(trace[s.key]) / s.scale if s.key in trace else nothing for s in SIGNALS]
        log._data = np.stack([np.asarray(times_s, dtype=float), *si], axis=1)
        log.rows = len(log._data)
        return log


def decimate(t: Array, y: Array, buckets: int) -> tuple[Array, Array]:
    """Smallest and largest of each of `buckets` runs of samples, in order of time: no peak is lost."""
    n = len(t)
    if n <= 2 * buckets:
        return t, y
    per = int(np.ceil(n / buckets))
    whole = n // per * per
    groups = y[:whole].reshape(-1, per)
    base = np.arange(len(groups)) * per
    low, high = base + groups.argmin(axis=1), base + groups.argmax(axis=1)
    first, second = np.minimum(low, high), np.maximum(low, high)
    index = np.unique(np.concatenate([[0], np.stack([first, second], axis=1).ravel(), np.arange(whole, n)]))
    return t[index], y[index]
