"""Do a procedure in some order on a machine: findings, events, and what its state leaves behind."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field

from glasscan.workshop.machine import CannotError, Machine, machine_before
from glasscan.workshop.machine_acts import act as do_act
from glasscan.workshop.machine_acts import asks
from glasscan.workshop.machine_state import Derived, derived
from glasscan.workshop.procedures.procedure_catalogue import ALWAYS, load_conditions
from glasscan.workshop.procedures.procedure_data import Answer, Critical, ProcedureStep
from glasscan.workshop.procedures.procedure_plan import Procedure

PHYSICAL = frozenset(("old-gasket-on-head", "old-seal-in-groove"))
"""States before the work that the machine itself shows when they are missed: a ring that still lies there."""
GROUNDING = frozenset(("unlawful-release", "tool-left", "dry-seal", "record-false"))
"""Conditions that forbid a release though no joint is loose: a dry ring is wet, a record is untrue."""


@dataclass(frozen=True)
class Act:
    """A step as it was done.

    Attributes:
        step: its id.
        slipped: done in the common wrong way that the procedure names.
        chosen: what the hand chose, (key, value) each, such as ("torque", "20").
    """

    step: str
    slipped: bool = False
    chosen: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Left:
    """A condition left for the next run, and the step that left it.

    Attributes:
        condition: id in assets/workshop/conditions.yaml; the fault data give it numbers.
        step: the step that was left out, came too late or was done wrongly.
        how: "left out", "too late", "slip", "chosen", "state", or "wrong" for what belongs to no step.
    """

    condition: str
    step: str
    how: str


@dataclass(frozen=True)
class Refused:
    """A step that the machine did not let happen."""

    step: str
    why: str


@dataclass(frozen=True)
class Outcome:
    """What came of it.

    Attributes:
        findings: what was found, as sentences, in the order of the work.
        gates: why it is 'not yet': critical pairs not kept, harm, an unsafe state, a finding ignored.
        reversed: (earlier, later) pairs done the other way round.
        left_out: required steps that were not done, or too late to count.
        left: conditions for the next run.
        mended: conditions that were there before the work and are gone.
        machine: as it stands after the last step.
        refused: steps that the machine did not let happen.
        unsafe: conditions of the machine in which nobody may release it.
        excused: steps that a finding has made another job's.
        for_nothing: answers given to findings that were not there.
        found: conditions that were found.
    """

    findings: tuple[str, ...]
    gates: tuple[str, ...]
    reversed: tuple[tuple[str, str], ...]
    left_out: tuple[str, ...]
    left: tuple[Left, ...]
    mended: tuple[str, ...]
    machine: Machine
    refused: tuple[Refused, ...] = ()
    unsafe: tuple[str, ...] = ()
    excused: tuple[str, ...] = ()
    for_nothing: tuple[str, ...] = ()
    found: tuple[str, ...] = ()

    @property
    def conditions(self) -> tuple[str, ...]:
        """Ids of the conditions for the next run, each once."""
        return tuple(dict.fromkeys(left.condition for left in self.left))

    @property
    def hurt(self) -> bool:
        """A person, the machine or its oil came to harm."""
        return bool(self.machine.hurt)


@dataclass
class _Done:
    """The work so far."""

    machine: Machine
    acts: list[Act] = field(default_factory=list)
    refused: list[Refused] = field(default_factory=list)
    findings: list[str] = field(default_factory=list)
    found: list[str] = field(default_factory=list)
    hurting: list[Act] = field(default_factory=list)


def walk(procedure: Procedure, acts: Sequence[Act | str], present: Collection[str] = ()) -> Outcome:
    """Do the steps in the order given; those that the machine refuses are not done.

    Args:
        procedure: what is worked on.
        acts: steps as done; a bare id is a step done well.
        present: conditions that were there before the work, e.g. an old gasket that stuck to the head.

    Raises:
        ValueError: a step that the procedure does not have, or one done twice.
    """
    asked = [Act(act) if isinstance(act, str) else act for act in acts]
    names = [a.step for a in asked]
    strange = [n for n in names if n not in procedure.by_id and n not in procedure.traps]
    if strange or len(set(names)) < len(names):
        raise ValueError(
            f"expected each step of {procedure.name} once at most, found {strange or 'one twice'}"
        )
    work = _Done(machine_before(procedure.machine_kind, procedure.begins, frozenset(present)))
    for act in asked:
        _do(procedure, work, act, present)
    return _outcome(procedure, work, present)


def _do(procedure: Procedure, work: _Done, act: Act, present: Collection[str]) -> None:
    """One step on the machine, whole or not at all."""
    m = work.machine
    if m.ended:
        work.refused.append(Refused(act.step, f"The work was stopped. {m.ended}"))
        return
    trap, step = procedure.traps.get(act.step), procedure.by_id.get(act.step)
    words = trap.does if trap else step.acts(act.slipped) if step else ()
    try:
        for one in words:
            m = do_act(m, one, dict(act.chosen))
            if m.ended:
                break
    except CannotError as cannot:
        work.refused.append(Refused(act.step, str(cannot)))
        return
    if any(e.harm == "person" for e in m.events[len(work.machine.events) :]):
        work.hurting.append(act)
    new = [f for f in m.findings if f not in work.findings]
    work.acts.append(act)
    if step and not act.slipped:
        for condition, text in step.finds.items():
            if condition == ALWAYS or condition in present:
                work.findings.append(text)
                work.found.append(condition)
        m = m.but(present=m.present - set(step.mends))
    work.findings += new
    work.machine = m


def _outcome(procedure: Procedure, work: _Done, present: Collection[str]) -> Outcome:
    done = [a for a in work.acts if a.step in procedure.by_id]
    place = {a.step: i for i, a in enumerate(done)}
    good = {a.step for a in done if not a.slipped and not _too_late(procedure.by_id[a.step], place)}
    excused = _excused(procedure, work, place)
    state = derived(work.machine) if work.acts else ()
    ignored = [a for a in procedure.answers if _hit(a, work) and a.act not in place and work.acts]
    gone = dict.fromkeys(c for s in procedure.steps if s.id in good for c in s.mends if c in present)
    left = (
        *_left(procedure, work, place, good, present, excused), *_from_state(procedure, work, state),
        *(Left("finding-ignored", a.act, "left out") for a in ignored), *_trapped(procedure, work),
        *_stays(procedure, present, gone),
    )  # fmt: skip
    unsafe = tuple(d.condition for d in state if d.unsafe)
    return Outcome(
        tuple(work.findings),
        tuple(dict.fromkeys(_gates(procedure, work, place, (*unsafe, *_grounding(left)), ignored))),
        tuple((a, b) for a, b in procedure.pairs if a in place and b in place and place[a] > place[b]),
        tuple(
            s.id for s in procedure.steps
            if not s.optional and s.id not in good and s.id not in excused and not _slipped(s, done)
        ),
        tuple({(x.condition, x.step): x for x in left}.values()),
        tuple(gone),
        work.machine, tuple(work.refused), unsafe, excused,
        tuple(n for n in place if n in procedure.answering and not _asked_for(procedure, work, n)),
        tuple(work.found),
    )  # fmt: skip


def _hit(answer: Answer, work: _Done) -> bool:
    return any(c in work.found for c in answer.found)


def _asked_for(procedure: Procedure, work: _Done, step: str) -> bool:
    return any(a.act == step and _hit(a, work) for a in procedure.answers)


def _excused(procedure: Procedure, work: _Done, place: dict[str, int]) -> tuple[str, ...]:
    """Steps that are another job's, once a finding has stopped this one."""
    stopped = any(a.stops and a.act in place and _hit(a, work) for a in procedure.answers)
    keep = {*procedure.gates, "tools-count", "record"}
    return tuple(s.id for s in procedure.steps if s.id not in place and s.id not in keep) if stopped else ()


def _trapped(procedure: Procedure, work: _Done) -> Iterator[Left]:
    """What tempting things leave behind; they are no steps, and nothing undoes them."""
    for a in work.acts:
        if a.step in procedure.traps:
            gives = procedure.traps[a.step].gives
            if gives != "tool-left" or work.machine.outside or not work.machine.counted_in:
                yield Left(gives, a.step, "wrong")


def _stays(procedure: Procedure, present: Collection[str], gone: Collection[str]) -> Iterator[Left]:
    """What was there before and is there still."""
    only_if = {step.only_if for step in procedure.steps if step.only_if}
    for c in present:
        if c not in gone and c not in only_if and c not in PHYSICAL:
            yield Left(c, "", "was there before")


def _too_late(step: ProcedureStep, place: dict[str, int]) -> bool:
    until = step.counts_until
    return until is not None and until in place and place[step.id] > place[until]


def _slipped(step: ProcedureStep, done: list[Act]) -> bool:
    return any(act.step == step.id and act.slipped for act in done)


def _left(
    procedure: Procedure, work: _Done, place: dict[str, int], good: set[str], present: Collection[str],
    excused: Collection[str],
) -> Iterator[Left]:  # fmt: skip
    """What no state tells of: evidence, papers, looks. A step that was never reached leaves it too."""
    for step in procedure.steps:
        if _slipped(step, work.acts):
            if step.slip_gives:
                yield Left(step.slip_gives, step.id, "slip")
        elif (
            step.id not in {*good, *excused}
            and step.left_out
            and (step.only_if is None or step.only_if in present)
        ):
            yield Left(step.left_out, step.id, "too late" if step.id in place else "left out")


def _from_state(procedure: Procedure, work: _Done, state: Sequence[Derived]) -> Iterator[Left]:
    """What the machine's state leaves, each with the step that would have done it."""
    for act in work.hurting:
        yield Left("person-hurt", act.step, "slip" if act.slipped else "state")
    for d in state:
        step = _step_of(procedure, d)
        if d.condition == "bowl-empty" and not step:
            continue  # a bowl that this job cannot fill is filled by the pump
        doing = next((a for a in work.acts if a.step == step), None)
        how = (
            "left out"
            if doing is None
            else "slip"
            if doing.slipped
            else "chosen"
            if doing.chosen
            else "state"
        )
        yield Left(d.condition, step, how)


def _how(doing: Act | None) -> str:
    if doing is None:
        return "left out"
    return "slip" if doing.slipped else "chosen" if doing.chosen else "state"


def _step_of(procedure: Procedure, d: Derived) -> str:
    """The step whose act would have done it."""
    wanted = f"{d.verb} {d.thing}".strip()
    for step in procedure.steps:
        if any(words == wanted or words.startswith(wanted + " ") for words in step.does):
            return step.id
    return ""


def choices(step: ProcedureStep) -> tuple[str, ...]:
    """What a hand chooses at a step, each key once."""
    return tuple(dict.fromkeys(key for words in step.does for key in asks(words)))


def _gates(
    procedure: Procedure, work: _Done, place: dict[str, int], unsafe: Sequence[str], ignored: Sequence[Answer]
) -> Iterator[str]:
    known = load_conditions()
    yield from (_reason(procedure, pair) for pair in procedure.critical if _broken(pair, place))
    yield from work.machine.hurt
    yield from (f"Found and not acted on: {_found_title(a, work)}. {a.because}" for a in ignored)
    yield from (f"{known[c].title}: {known[c].effect}" for c in dict.fromkeys(unsafe))


def _found_title(answer: Answer, work: _Done) -> str:
    known = load_conditions()
    return next(known[c].title[0].lower() + known[c].title[1:] for c in answer.found if c in work.found)


def _grounding(left: Sequence[Left]) -> tuple[str, ...]:
    """Conditions that hurt someone, lose the machine, or are not lawful."""
    known = load_conditions()
    return tuple(
        x.condition for x in left
        if x.how != "was there before" and (known[x.condition].harms or x.condition in GROUNDING)
    )  # fmt: skip


def _broken(pair: Critical, place: dict[str, int]) -> bool:
    return pair.then in place and place.get(pair.first, len(place)) > place[pair.then]


def _reason(procedure: Procedure, pair: Critical) -> str:
    first, then = (procedure.by_id[name].do.rstrip(".") for name in (pair.first, pair.then))
    return f"“{first}” must come before “{then}”. {pair.because}"
