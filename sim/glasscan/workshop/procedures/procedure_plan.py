"""A whole procedure: its own steps between the gates it starts with and the ends that close it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from glasscan.workshop.procedures.procedure_data import (
    Answer,
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
        answers: what findings ask for.
        begins: state of the machine before the work.
        machine: kind of machine, where it is not told by the filter.
        kind: the filter it is done on now.
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
    answers: tuple[Answer, ...] = ()
    begins: str = "stopped"
    machine: str | None = None
    kind: str = ""

    def on(self, kind: str) -> Procedure:
        """The same with the steps for one kind of filter."""
        steps = tuple(s for s in self.steps if not s.kinds or kind in s.kinds)
        here = {s.id for s in steps}
        pairs = tuple(p for p in self.pairs if set(p) <= here)
        critical = tuple(c for c in self.critical if {c.first, c.then} <= here)
        return replace(self, steps=steps, pairs=pairs, critical=critical, kind=kind)

    @property
    def machine_kind(self) -> str:
        """Kind of the machine it is done on."""
        return self.machine or self.kind or self.filters[0]

    @cached_property
    def answering(self) -> frozenset[str]:
        """Steps that only a finding asks for."""
        return frozenset(a.act for a in self.answers)

    @property
    def best(self) -> tuple[str, ...]:
        """Steps of the work done well where nothing special is found, in order."""
        return tuple(s.id for s in self.steps if not s.optional)

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
    known_answers = {a.id: a for a in frame.answers}
    named = dict.fromkeys(a.act for a in data.answers)
    answers = tuple(known_answers[n].model_copy(update={"optional": True}) for n in named)
    early = tuple(s for s in data.steps if s.early)
    own = tuple(s for s in data.steps if not s.early)
    pairs = tuple(dict.fromkeys(_pairs(gates, own, ends, data)))
    critical = (*data.critical, *_gate_pairs(gates, data.steps))
    pairs += tuple((a.act, later) for a in data.answers for later in a.before if (a.act, later) not in pairs)
    steps = _in_order(
        (*early, *gates, *own, *answers, *ends), {*pairs, *((c.first, c.then) for c in critical)}
    )
    return Procedure(
        data.procedure, data.title, data.about, data.safety, data.filters, steps, pairs, critical, data.gates,
        data.tempting, data.answers, data.begins, data.machine,
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
        known = _ids(data, gates, ends)
        yield from ((earlier, step.id) for earlier in step.after if earlier in known)
        yield from ((step.id, later) for later in step.before if later in known)
    for gate in gates:
        yield from ((gate.id, step.id) for step in own if step.opens or step.fits)
    for end in ends:
        yield from ((step.id, end.id) for step in own if step.opens or step.fits)


def _ids(data: ProcedureData, gates: tuple[Gate, ...], ends: tuple[ProcedureStep, ...]) -> set[str]:
    return {s.id for s in (*data.steps, *gates, *ends)}


def _gate_pairs(gates: tuple[Gate, ...], steps: tuple[ProcedureStep, ...]) -> Iterator[Critical]:
    for gate in gates:
        held = [s for s in steps if (gate.holds == "opens" and s.opens) or (gate.holds == "fits" and s.fits)]
        yield from (Critical(first=gate.id, then=step.id, because=gate.why) for step in held)
