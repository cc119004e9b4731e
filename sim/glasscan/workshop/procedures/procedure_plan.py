"""A whole procedure: its own steps between the gates it starts with and the ends that close it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from glasscan.workshop.procedures.procedure_data import (
    Critical,
    FrameData,
    Gate,
    ProcedureData,
    ProcedureStep,
    Tempting,
)


@dataclass(frozen=True)
class Procedure:
    """All steps with what must come before what.

    Attributes:
        name: of the file.
        title, about, safety: shown with it.
        filters: kinds of filter it is for.
        steps: in one order that keeps every pair.
        pairs: (earlier, later) pairs.
        critical: pairs whose reversal is a gate, with the reason.
        gates: ids of the steps it starts with.
        tempting: what is done often and should not be.
    """

    name: str
    title: str
    about: str
    safety: str
    filters: tuple[str, ...]
    steps: tuple[ProcedureStep, ...]
    pairs: tuple[tuple[str, str], ...]
    critical: tuple[Critical, ...]
    gates: tuple[str, ...]
    tempting: tuple[Tempting, ...] = ()

    @cached_property
    def traps(self) -> dict[str, Tempting]:
        """Tempting things by their ids."""
        return {trap.id: trap for trap in self.tempting}

    @cached_property
    def by_id(self) -> dict[str, ProcedureStep]:
        """Steps by their ids."""
        return {step.id: step for step in self.steps}


def compose(data: ProcedureData, frame: FrameData) -> Procedure:
    """Set a procedure between its gates and its ends.

    Raises:
        KeyError: it names a gate or an end the frame does not have.
    """
    known_gates, known_ends = {g.id: g for g in frame.gates}, {e.id: e for e in frame.ends}
    gates = tuple(known_gates[name] for name in data.gates)
    ends = tuple(known_ends[name] for name in data.ends)
    early = tuple(s for s in data.steps if s.early)
    own = tuple(s for s in data.steps if not s.early)
    pairs = tuple(dict.fromkeys(_pairs(gates, own, ends, data)))
    critical = (*data.critical, *_gate_pairs(gates, data.steps))
    steps = _in_order((*early, *gates, *own, *ends), {*pairs, *((c.first, c.then) for c in critical)})
    return Procedure(
        data.procedure, data.title, data.about, data.safety, data.filters, steps, pairs, critical, data.gates,
        data.tempting,
    )  # fmt: skip


def _in_order(steps: tuple[ProcedureStep, ...], pairs: set[tuple[str, str]]) -> tuple[ProcedureStep, ...]:
    """The steps as listed, each held back until all that must come before it are there.

    Raises:
        ValueError: the pairs run in a circle.
    """
    rest, done = list(steps), list[ProcedureStep]()
    while rest:
        waiting = {s.id for s in rest}
        ready = next((s for s in rest if not any(b == s.id and a in waiting for a, b in pairs)), None)
        if ready is None:
            raise ValueError(f"the steps run in a circle: {', '.join(sorted(waiting))}")
        rest.remove(ready)
        done.append(ready)
    return tuple(done)


def _pairs(
    gates: tuple[Gate, ...],
    own: tuple[ProcedureStep, ...],
    ends: tuple[ProcedureStep, ...],
    data: ProcedureData,
) -> Iterator[tuple[str, str]]:
    for step in (*data.steps, *gates, *ends):
        yield from ((earlier, step.id) for earlier in step.after if earlier in _ids(data, gates, ends))
    for gate in gates:
        yield from ((gate.id, step.id) for step in own if step.opens or step.fits)
    for end in ends:
        yield from ((step.id, end.id) for step in own if step.opens or step.fits)


def _ids(data: ProcedureData, gates: tuple[Gate, ...], ends: tuple[ProcedureStep, ...]) -> set[str]:
    return {s.id for s in (*data.steps, *gates, *ends)}


def _gate_pairs(gates: tuple[Gate, ...], steps: tuple[ProcedureStep, ...]) -> Iterator[Critical]:
    for gate in gates:
        held = [
            s for s in steps if (gate.before == "opens" and s.opens) or (gate.before == "fits" and s.fits)
        ]
        yield from (Critical(first=gate.id, then=step.id, because=gate.why) for step in held)
