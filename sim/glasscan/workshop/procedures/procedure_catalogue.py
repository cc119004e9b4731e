"""Procedures and conditions by name, checked on loading."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

from glasscan.content import BadInput, load, nearest
from glasscan.content.record_loading import Finding
from glasscan.paths import asset
from glasscan.workshop.machine import machine_before
from glasscan.workshop.machine_acts import ACTS
from glasscan.workshop.procedures.procedure_data import (
    Condition,
    ConditionsData,
    FrameData,
    ProcedureData,
    ProcedureStep,
)
from glasscan.workshop.procedures.procedure_plan import Procedure, compose

ALWAYS = "always"


def procedure_names() -> tuple[str, ...]:
    """Names of the shipped procedures, sorted."""
    return tuple(sorted(path.stem for path in asset("procedures").glob("*.yaml")))


def load_procedure(name: str, kind: str | None = None) -> Procedure:
    """A shipped procedure by name, for one kind of filter; without a word the first that it names.

    Raises:
        BadInput: there is none of that name, or its file is bad.
    """
    known = procedure_names()
    if name not in known:
        near = nearest(name, known)
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput([f"procedures: expected one of {', '.join(known)}, found '{name}'{meant}"])
    found = _read_once(asset("procedures", f"{name}.yaml"))
    return found.on(kind or found.filters[0])


@cache
def _read_once(path: Path) -> Procedure:
    return read_procedure(path)


def read_procedure(path: Path) -> Procedure:
    """A procedure from a file.

    Raises:
        BadInput: it is bad, with one line for each problem.
    """
    frame, conditions = load_frame(), load_conditions()
    checks = (
        _same_name(path.stem), _frame_known(frame), _steps_fit(frame), _conditions_known(conditions),
        acts_known,
    )  # fmt: skip
    data = load(path, ProcedureData, checks=checks)
    try:
        return compose(data, frame)
    except ValueError as error:
        raise BadInput([f"{path}: {error}"]) from None


def load_frame() -> FrameData:
    """Gates and ends of every procedure.

    Raises:
        BadInput: the file is missing or bad.
    """
    return _frame(asset("workshop", "frame.yaml"))


@cache
def _frame(path: Path) -> FrameData:
    return load(path, FrameData)


def load_conditions() -> dict[str, Condition]:
    """All conditions by id.

    Raises:
        BadInput: the file is missing or bad.
    """
    return dict(_conditions(asset("workshop", "conditions.yaml")))


@cache
def _conditions(path: Path) -> dict[str, Condition]:
    return {condition.id: condition for condition in load(path, ConditionsData).conditions}


Check = Callable[[ProcedureData], Iterator[Finding]]


def _same_name(stem: str) -> Check:
    def check(data: ProcedureData) -> Iterator[Finding]:
        if data.procedure != stem:
            yield ("procedure",), f"expected the name of the file, '{stem}', found '{data.procedure}'", stem

    return check


def _frame_known(frame: FrameData) -> Check:
    def check(data: ProcedureData) -> Iterator[Finding]:
        for key, listed, known in (
            ("gates", data.gates, [g.id for g in frame.gates]),
            ("ends", data.ends, [e.id for e in frame.ends]),
        ):
            for i, name in enumerate(listed):
                if name not in known:
                    text = f"expected one of {', '.join(known)}, found '{name}'"
                    yield (key, i), text, nearest(name, known)
        answers = [a.id for a in frame.answers]
        for i, answer in enumerate(data.answers):
            if answer.act not in answers:
                text = f"expected one of {', '.join(answers)}, found '{answer.act}'"
                yield ("answers", i, "act"), text, nearest(answer.act, answers)

    return check


def _steps_fit(frame: FrameData) -> Check:
    def check(data: ProcedureData) -> Iterator[Finding]:
        own = [*(s.id for s in data.steps), *(t.id for t in data.tempting)]
        shared = [*data.gates, *data.ends, *(a.act for a in data.answers[:1])]
        known = [*own, *(s.id for s in (*frame.gates, *frame.ends) if s.id in shared)]
        for i, name in enumerate(own):
            if known.count(name) > 1:
                at = ("steps", i) if i < len(data.steps) else ("tempting", i - len(data.steps))
                yield (*at, "id"), f"duplicate id '{name}'", None
        yield from _named_steps(data, known)
        yield from _no_circle(data)

    return check


def _named_steps(data: ProcedureData, known: list[str]) -> Iterator[Finding]:
    for i, step in enumerate(data.steps):
        named = [(("after", k), name) for k, name in enumerate(step.after)]
        named += [(("before", k), name) for k, name in enumerate(step.before)]
        named += [(("counts_until",), step.counts_until)] if step.counts_until else []  # type: ignore[list-item]
        for path, name in named:
            if name not in known:
                yield ("steps", i, *path), f"no step '{name}'", nearest(name, known)
    for i, pair in enumerate(data.critical):
        for key in ("first", "then"):
            name = getattr(pair, key)
            if name not in known:
                yield ("critical", i, key), f"no step '{name}'", nearest(name, known)


def _no_circle(data: ProcedureData) -> Iterator[Finding]:
    after = {step.id: set(step.after) for step in data.steps}
    for step in data.steps:
        for later in step.before:
            after.setdefault(later, set()).add(step.id)
    for pair in data.critical:
        after.setdefault(pair.then, set()).add(pair.first)
    try:
        TopologicalSorter(after).prepare()
    except CycleError as error:
        yield ("steps",), f"the steps run in a circle: {' before '.join(error.args[1])}", None


def _conditions_known(conditions: dict[str, Condition]) -> Check:
    def check(data: ProcedureData) -> Iterator[Finding]:
        for i, step in enumerate(data.steps):
            for key, name in _conditions_of(step):
                if name not in conditions:
                    yield ("steps", i, key), f"no condition '{name}'", nearest(name, conditions)
        steps = [s.id for s in data.steps]
        for i, trap in enumerate(data.tempting):
            if trap.near not in steps:
                yield ("tempting", i, "near"), f"no step '{trap.near}'", nearest(trap.near, steps)
            if trap.gives not in conditions:
                text = f"no condition '{trap.gives}'"
                yield ("tempting", i, "gives"), text, nearest(trap.gives, conditions)

    return check


def _conditions_of(step: ProcedureStep) -> Iterator[tuple[str, str]]:
    for key in ("slip_gives", "left_out", "only_if"):
        name = getattr(step, key)
        if name:
            yield key, name
    yield from (("mends", name) for name in step.mends)
    yield from (("finds", name) for name in step.finds if name != ALWAYS)


NAMES_JOINT = frozenset(("unwire", "wire", "open", "close", "drain", "ring-out", "ring-in", "lube"))
NAMES_PART = frozenset(("take", "fit"))
HOLDERS = ("from", "in")


def acts_known(data: ProcedureData) -> Iterator[Finding]:
    """Every act names a verb, and a joint or part that its machines have."""
    for i, step in enumerate(data.steps):
        for key, acts in (("does", step.does), ("slip_does", step.slip_does or ())):
            for k, words in enumerate(acts):
                yield from (
                    (("steps", i, key, k), text, near)
                    for text, near in _bad_act(words, step.kinds or data.filters, data.machine)
                )
    for i, trap in enumerate(data.tempting):
        for k, words in enumerate(trap.does):
            found = _bad_act(words, data.filters, data.machine)
            yield from ((("tempting", i, "does", k), text, near) for text, near in found)


def _bad_act(words: str, kinds: tuple[str, ...], machine: str | None) -> Iterator[tuple[str, str | None]]:
    verb, *rest = words.split()
    if verb not in ACTS:
        yield f"no act '{verb}'", nearest(verb, ACTS)
        return
    named = [w for w in rest if "=" not in w]
    holders = [w.split("=", 1)[1] for w in rest if w.split("=", 1)[0] in HOLDERS]
    for kind in kinds:
        m = machine_before(machine or kind)
        wanted: list[tuple[str, Collection[str]]] = [(n, m.joints) for n in holders]
        if verb in NAMES_JOINT or verb in NAMES_PART:
            wanted += [(n, m.joints if verb in NAMES_JOINT else m.parts) for n in named]
        for name, known in wanted:
            if name not in known:
                yield f"no '{name}' on the machine '{machine or kind}'", nearest(name, known)
