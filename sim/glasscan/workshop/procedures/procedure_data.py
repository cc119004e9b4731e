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


class Tempting(Sourced):
    """Something that is done often and should not be: it belongs to no step.

    Attributes:
        id, do: word and text, as of a step.
        because: why not.
        gives: condition that it leaves behind.
        near: the step beside which it tempts.
    """

    id: Id
    do: Prose
    because: Prose
    gives: Id
    near: Id


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
    steps: tuple[ProcedureStep, ...] = Field(min_length=3, max_length=40)
    critical: tuple[Critical, ...] = ()
    tempting: tuple[Tempting, ...] = ()


class Gate(ProcedureStep):
    """A step every procedure starts with; `before` names the kind of step that must not come first."""

    before: Literal["opens", "fits", "none"] = "opens"


class FrameData(ProcedureRecord):
    """What every procedure starts and ends with."""

    about: Prose
    gates: tuple[Gate, ...]
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


class ConditionsData(ProcedureRecord):
    """All conditions."""

    about: Prose
    conditions: tuple[Condition, ...]
