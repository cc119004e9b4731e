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


MOST_KEPT = 3000  # states kept before every second one of the older half is let go


class Recorder:
    """A rig with a memory.

    Going to another moment forgets nothing: what was recorded after it can be gone to again. It is forgotten
    once the rig is stepped, or a control moved, from an earlier moment.

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
        self._done = 0
        self.known_s = 0.0
        self.trace.take(self.rig.snapshot())

    @property
    def t_s(self) -> float:
        """Model time, s."""
        return self.rig.t_s

    def step(self, dt_s: float) -> None:
        """Advance the rig by one outer step and note it; what was recorded after this moment is forgotten."""
        self._cut()
        self.rig.step(dt_s)
        self._log.append(_Step(dt_s))
        self._done, self.known_s = len(self._log), self.rig.t_s
        self._since += 1
        if self._since >= self._every:
            self._keep()
        if self.rig.t_s >= self.trace.times_s[-1] + self._trace_every_s * (1 - 1e-9):
            self.trace.take(self.rig.snapshot())

    def _keep(self) -> None:
        self._kept.append((self.rig.t_s, self._done, self.rig.state))
        self._since = 0
        if len(self._kept) > MOST_KEPT:
            half = len(self._kept) // 2
            self._kept = self._kept[:half:2] + self._kept[half:]

    def set(self, key: str, value: object) -> None:
        """Move a control now and note it; see `Rig.set`. What was recorded after this moment is forgotten."""
        self._cut()
        self.rig.set(key, value)
        self._log.append(_Input(key, value))
        self._done = len(self._log)

    def snapshot(self) -> Snapshot:
        """The rig's present snapshot."""
        return self.rig.snapshot()

    def seek(self, t_s: float, exactly: bool = True) -> None:
        """Go to the last outer step at or before a recorded moment, either way; nothing is forgotten.

        Inputs made at exactly that moment, after the step, are made. Without `exactly` it is the last kept
        state at or before the moment, which takes no time.
        """
        times = [kept[0] for kept in self._kept]
        _, done, state = self._kept[max(bisect_right(times, max(t_s, 0.0)) - 1, 0)]
        if done > self._done or self.rig.t_s > t_s:
            self.rig.state, self._done = state, done
        if exactly:
            self._done = self._repeat(self._done, t_s)

    def rewind(self, t_s: float) -> None:
        """Go back as `seek` does, and forget what came after."""
        self.seek(t_s)
        self._cut()

    def _cut(self) -> None:
        """Forget what was recorded after the present moment."""
        if self._done == len(self._log):
            return
        del self._log[self._done :]
        self._kept = [kept for kept in self._kept if kept[1] <= self._done]
        self._since = sum(isinstance(entry, _Step) for entry in self._log[self._kept[-1][1] :])
        self.known_s = self.rig.t_s
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
