"""Shape of the procedure files in `assets/procedures` and of what they share in `assets/workshop`."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field


class ProcedureRecord(BaseModel):
    """A frozen piece of a file; unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


Id = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
Prose = Annotated[str, Field(min_length=1, max_length=600)]
Status = Literal["FOUND", "MEMORY", "CP"]
"""FOUND in the public document named, from MEMORY, or common practice without a source (CP)."""


class Sourced(ProcedureRecord):
    """Something with a source."""

    source: Prose
    status: Status


class ProcedureStep(Sourced):
    """One step of the work.

    Attributes:
        id: word for it.
        do: what is done.
        why: why.
        slip: the common way of doing it wrongly, or None.
        slip_gives: condition that this slip leaves behind.
        after: steps that come before it.
        counts_until: the step after which it is too late; done later it counts as left out.
        left_out: condition that is left behind where it is not done.
        only_if: it leaves that condition only where this one was there before the work.
        mends: conditions that were there before and are gone when it is done.
        finds: what is found, by the condition that was there before; "always" for what any filter shows.
        opens: it opens the system or touches what may be hot or under pressure.
        fits: it puts a new part in.
        early: it is done before the gates, with the machine still running.
        optional: leaving it out is no fault.
        before: steps that come after it.
        kinds: kinds of filter it is for; all where none is named.
        does: acts on the machine, see `glasscan.workshop.machine_acts`.
        slip_does: acts of the common wrong way, where they are others.
    """

    id: Id
    do: Prose
    why: Prose
    slip: Prose | None = None
    slip_gives: Id | None = None
    after: tuple[Id, ...] = ()
    counts_until: Id | None = None
    left_out: Id | None = None
    only_if: Id | None = None
    mends: tuple[Id, ...] = ()
    finds: dict[str, Prose] = {}
    opens: bool = False
    fits: bool = False
    early: bool = False
    optional: bool = False
    before: tuple[Id, ...] = ()
    kinds: tuple[Literal["can", "cartridge", "disc"], ...] = ()
    does: tuple[Prose, ...]
    slip_does: tuple[Prose, ...] | None = None

    def acts(self, slipped: bool) -> tuple[str, ...]:
        """Acts on the machine, done well or in the common wrong way."""
        return self.slip_does if slipped and self.slip_does is not None else self.does


class Tempting(Sourced):
    """Something that is done often and should not be: it belongs to no step.

    Attributes:
        id, do: word and text, as of a step.
        because: why not.
        gives: condition that it leaves behind.
        near: the step beside which it tempts.
        does: acts on the machine.
    """

    id: Id
    do: Prose
    because: Prose
    gives: Id
    near: Id
    does: tuple[Prose, ...] = ()


class Answer(ProcedureRecord):
    """What a finding asks for: it branches the work.

    Attributes:
        found: conditions, any of which was found.
        act: the step that answers it.
        before: steps that come after that answer.
        stops: the job ends there; what was still to do is another job.
        because: why.
    """

    found: tuple[Id, ...] = Field(min_length=1)
    act: Id
    before: tuple[Id, ...] = ()
    stops: bool = False
    because: Prose


class Critical(ProcedureRecord):
    """A pair whose reversal hurts someone or spoils the work."""

    first: Id
    then: Id
    because: Prose


class ProcedureData(ProcedureRecord):
    """A procedure as it stands in its file."""

    procedure: Id
    title: Prose
    about: Prose
    safety: Prose
    filters: tuple[Literal["can", "cartridge", "disc"], ...] = Field(min_length=1)
    gates: tuple[Id, ...] = ("right-manual", "right-parts", "made-safe", "protected", "clean-tray")
    ends: tuple[Id, ...] = ("leak-check", "tools-count", "record", "release")
    begins: Literal["stopped", "running", "charged", "bench"] = "stopped"
    machine: Literal["can", "cartridge", "disc", "hydraulic"] | None = None
    steps: tuple[ProcedureStep, ...] = Field(min_length=3, max_length=40)
    critical: tuple[Critical, ...] = ()
    tempting: tuple[Tempting, ...] = ()
    answers: tuple[Answer, ...] = ()


class Gate(ProcedureStep):
    """A step every procedure starts with; `holds` names the kind of step that must not come first."""

    holds: Literal["opens", "fits", "none"] = "opens"


class FrameData(ProcedureRecord):
    """What every procedure starts and ends with."""

    about: Prose
    gates: tuple[Gate, ...]
    answers: tuple[ProcedureStep, ...]
    ends: tuple[ProcedureStep, ...]


class Condition(Sourced):
    """A state that work leaves behind, for the next run.

    Attributes:
        id: word for it; the fault data map it to numbers of the rig or filter.
        title: its name.
        effect: what it does in the next run.
        onset: when it shows.
        touches: quantity it acts on, as a word (no number: sizes belong to the fault data).
        harms: who or what is hurt, or None.
        fault: code of the fault in assets/faults that gives it numbers, or None.
        can_fill: filled share of the filter's dirty side at the next start, or None where it is as before.
        plant: numbers of the rig as they are then, by block and name.
        actions: what becomes of things done by hand in the run, by key, such as {scraper_turns: 0.4}.
    """

    id: Id
    title: Prose
    effect: Prose
    onset: Literal["before-work", "at-work", "at-once", "at-pressure", "cold", "hours"]
    touches: tuple[Prose, ...]
    harms: Prose | None = None
    fault: Annotated[str, Field(pattern=r"^F\d\d[a-z]?$")] | None = None
    can_fill: float | None = Field(default=None, ge=0, le=1)
    actions: dict[Literal["scraper_turns", "drain_bowl"], float] = {}
    plant: dict[Literal["sump.volume_l"], Annotated[float, Field(gt=0)]] = {}


class ConditionsData(ProcedureRecord):
    """All conditions."""

    about: Prose
    conditions: tuple[Condition, ...]
