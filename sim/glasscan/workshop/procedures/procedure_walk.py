"""Do a procedure in some order: findings, gates that were not met, and what is left for the next run."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from glasscan.workshop.procedures.procedure_catalogue import ALWAYS
from glasscan.workshop.procedures.procedure_data import Critical, ProcedureStep
from glasscan.workshop.procedures.procedure_plan import Procedure


@dataclass(frozen=True)
class Act:
    """A step as it was done.

    Attributes:
        step: its id.
        slipped: done in the common wrong way that the procedure names.
    """

    step: str
    slipped: bool = False


@dataclass(frozen=True)
class Left:
    """A condition left for the next run, and the step that left it.

    Attributes:
        condition: id in assets/workshop/conditions.yaml; the fault data give it numbers.
        step: the step that was left out, came too late or was done wrongly.
        how: "left out", "too late", "slip", or "wrong" for something that belongs to no step.
    """

    condition: str
    step: str
    how: str


@dataclass(frozen=True)
class Outcome:
    """What came of it.

    Attributes:
        findings: what was found, as sentences, in the order of the work.
        gates: reasons of the critical pairs that were not kept; each alone means 'not yet'.
        reversed: (earlier, later) pairs done the other way round.
        left_out: required steps that were not done, or too late to count.
        left: conditions for the next run.
        mended: conditions that were there before the work and are gone.
    """

    findings: tuple[str, ...]
    gates: tuple[str, ...]
    reversed: tuple[tuple[str, str], ...]
    left_out: tuple[str, ...]
    left: tuple[Left, ...]
    mended: tuple[str, ...]

    @property
    def conditions(self) -> tuple[str, ...]:
        """Ids of the conditions for the next run, each once."""
        return tuple(dict.fromkeys(left.condition for left in self.left))


def walk(procedure: Procedure, acts: Sequence[Act | str], present: Collection[str] = ()) -> Outcome:
    """Do the steps in the order given.

    Args:
        procedure: what is worked on.
        acts: steps as done; a bare id is a step done well.
        present: conditions that were there before the work, e.g. an old gasket that stuck to the head.

    Raises:
        ValueError: a step that the procedure does not have, or one done twice.
    """
    done = [Act(act) if isinstance(act, str) else act for act in acts]
    place = {act.step: i for i, act in enumerate(done)}
    strange = [a.step for a in done if a.step not in procedure.by_id and a.step not in procedure.traps]
    if strange or len(place) < len(done):
        raise ValueError(
            f"expected each step of {procedure.name} once at most, found {strange or 'one twice'}"
        )
    trapped = tuple(_trapped(procedure, done))
    done = [act for act in done if act.step in procedure.by_id]
    good = {act.step for act in done if not act.slipped and not _too_late(procedure.by_id[act.step], place)}
    left = (*_left(procedure, done, place, good, present), *trapped)
    gone = [c for step in procedure.steps if step.id in good for c in step.mends if c in present]
    stays = [
        Left(c, "", "was there before") for c in present if c not in gone and c not in _only_if(procedure)
    ]
    return Outcome(
        tuple(_findings(procedure, done, present)),
        tuple(_reason(procedure, pair) for pair in procedure.critical if _broken(pair, place)),
        tuple((a, b) for a, b in procedure.pairs if a in place and b in place and place[a] > place[b]),
        tuple(s.id for s in procedure.steps if not s.optional and s.id not in good and not _slipped(s, done)),
        (*left, *stays),
        tuple(dict.fromkeys(gone)),
    )


def _trapped(procedure: Procedure, done: list[Act]) -> Iterator[Left]:
    """What tempting things leave behind; they are no steps, and nothing undoes them."""
    yield from (
        Left(procedure.traps[a.step].gives, a.step, "wrong") for a in done if a.step in procedure.traps
    )


def _too_late(step: ProcedureStep, place: dict[str, int]) -> bool:
    until = step.counts_until
    return until is not None and until in place and place[step.id] > place[until]


def _slipped(step: ProcedureStep, done: list[Act]) -> bool:
    return any(act.step == step.id and act.slipped for act in done)


def _left(
    procedure: Procedure, done: list[Act], place: dict[str, int], good: set[str], present: Collection[str]
) -> Iterator[Left]:
    """Conditions in the order of the procedure; a step that was never reached leaves them too."""
    for step in procedure.steps:
        if _slipped(step, done):
            if step.slip_gives:
                yield Left(step.slip_gives, step.id, "slip")
        elif step.id not in good and step.left_out and (step.only_if is None or step.only_if in present):
            yield Left(step.left_out, step.id, "too late" if step.id in place else "left out")


def _only_if(procedure: Procedure) -> set[str]:
    """Conditions that turn into another one where nobody mends them."""
    return {step.only_if for step in procedure.steps if step.only_if}


def _findings(procedure: Procedure, done: list[Act], present: Collection[str]) -> Iterator[str]:
    for act in done:
        found = procedure.by_id[act.step].finds
        for condition, text in found.items():
            if not act.slipped and (condition == ALWAYS or condition in present):
                yield text


def _broken(pair: Critical, place: dict[str, int]) -> bool:
    return pair.then in place and place.get(pair.first, len(place)) > place[pair.then]


def _reason(procedure: Procedure, pair: Critical) -> str:
    first, then = (procedure.by_id[name].do.rstrip(".") for name in (pair.first, pair.then))
    return f"“{first}” must come before “{then}”. {pair.because}"
