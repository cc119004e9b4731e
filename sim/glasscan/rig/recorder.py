"""Recorder: steps a rig, keeps its trace and can take it back to any moment with a bit-identical future.

It keeps a frozen state now and then and a log of every outer step and every input between; going back puts
the last kept state in place and repeats the log up to the moment asked for.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from glasscan.rig.records import Snapshot
from glasscan.rig.rig import Rig
from glasscan.rig.setup import RigSetup
from glasscan.rig.state import State
from glasscan.rig.trace import Trace


@dataclass(frozen=True, slots=True)
class _Step:
    """One outer step."""

    dt_s: float


@dataclass(frozen=True, slots=True)
class _Input:
    """One control moved by hand."""

    key: str
    value: object


class Recorder:
    """A rig with a memory.

    Args:
        setup: of the rig.
        keep_every: outer steps between two kept states.
        trace_every_s: model time between two rows of the trace, s; inf keeps the first row only.
    """

    def __init__(self, setup: RigSetup, keep_every: int = 120, trace_every_s: float = 0.1) -> None:
        self.rig = Rig(setup)
        self.trace = Trace()
        self._every, self._trace_every_s = keep_every, trace_every_s
        self._log: list[_Step | _Input] = []
        self._kept: list[tuple[float, int, State]] = [(0.0, 0, self.rig.state)]
        self._since = 0
        self.trace.take(self.rig.snapshot())

    @property
    def t_s(self) -> float:
        """Model time, s."""
        return self.rig.t_s

    def step(self, dt_s: float) -> None:
        """Advance the rig by one outer step and note it."""
        self.rig.step(dt_s)
        self._log.append(_Step(dt_s))
        self._since += 1
        if self._since >= self._every:
            self._kept.append((self.rig.t_s, len(self._log), self.rig.state))
            self._since = 0
        if self.rig.t_s >= self.trace.times_s[-1] + self._trace_every_s * (1 - 1e-9):
            self.trace.take(self.rig.snapshot())

    def set(self, key: str, value: object) -> None:
        """Move a control now and note it; see `Rig.set`."""
        self.rig.set(key, value)
        self._log.append(_Input(key, value))

    def snapshot(self) -> Snapshot:
        """The rig's present snapshot."""
        return self.rig.snapshot()

    def rewind(self, t_s: float) -> None:
        """Go back to the last outer step at or before `t_s`; what came after is forgotten.

        Inputs made at exactly that moment, after the step, are kept.
        """
        times = [kept[0] for kept in self._kept]
        at = max(bisect_right(times, max(t_s, 0.0)) - 1, 0)
        _, done, self.rig.state = self._kept[at]
        del self._kept[at + 1 :]
        done = self._repeat(done, t_s)
        self._since = sum(isinstance(entry, _Step) for entry in self._log[self._kept[-1][1] : done])
        del self._log[done:]
        self.trace.cut(self.rig.t_s)

    def _repeat(self, done: int, t_s: float) -> int:
        """Repeat the log from an entry until the next step would pass `t_s`; returns the entries done."""
        while done < len(self._log):
            entry = self._log[done]
            if isinstance(entry, _Input):
                self.rig.set(entry.key, entry.value)
            elif self.rig.t_s + entry.dt_s > t_s:
                break
            else:
                self.rig.step(entry.dt_s)
            done += 1
        return done
