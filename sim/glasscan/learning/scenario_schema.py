"""The scenario file as a frozen record; units are in the names of the keys."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from glasscan.learning.prompt_schema import Prompt
from glasscan.learning.record_base import Id, Number, Prose, Record, Seconds, Text, Word

AirC = Annotated[float, Field(ge=-54, le=150)]
"""degC; -54 is the cold limit of many airworthiness tests, 150 the hot end of the oils' data (PRACTICE)."""

Rpm = Annotated[float, Field(ge=0, le=6000)]
Fraction = Annotated[float, Field(ge=0, le=1)]
Place = Literal["before", "after"]
Hangs = Literal["dome-up", "dome-down", "level"]


class Plant(Record):
    """The rig round the filter."""

    rig: Id = Field(description="Name of a file in assets/plants")
    regulator: Place = Field(
        default="after", description="Place of the pressure regulator, seen from the filter"
    )


class Start(Record):
    """State of the rig at time zero."""

    oil_c: Annotated[float, Field(ge=-54, le=150)] | None = Field(
        default=None, description="Oil and metal; null = soaked to the air temperature"
    )
    gallery_fill: Fraction = Field(default=0.0, description="Share of the gallery that holds oil")
    can_fill: Fraction = Field(default=1.0, description="Share of the filter's dirty side that holds oil")
    dirt_g: float = Field(default=0.0, ge=0, le=500, description="Dirt the element holds already")
    sump_l: float | None = Field(
        default=None, ge=0.01, le=60, description="Oil in the sump, L; null = as full as the rig's file says"
    )
    rpm: Rpm = Field(default=0.0, description="Shaft speed at time zero")


class FaultSpec(Record):
    """A fault of the rig: there from the start of the run, or coming while it runs."""

    fault: str = Field(description="Code of assets/faults", examples=["F06", "F10b"], max_length=8)
    severity: Fraction = Field(default=0.5, description="0 = mildest, 1 = gravest of its range")
    at_s: Seconds = Field(
        default=0.0, description="When it begins; with on_pulse the earliest moment; 0 = there from the start"
    )
    over_s: Seconds = Field(default=0.0, description="How long it grows to its full size; 0 = at once")
    on_pulse: bool = Field(
        default=False, description="It waits for the pressure that lets it loose, see the fault's data"
    )

    @property
    def comes(self) -> bool:
        """Whether it comes while the rig runs."""
        return self.on_pulse or self.at_s > 0.0 or self.over_s > 0.0


class Change(Record):
    """One line of the timeline."""

    at_s: Seconds


class SetRpm(Change):
    """Shaft speed moves to a new value."""

    set: Literal["rpm"]
    to: Rpm
    over_s: Seconds = 0.0


class SetAir(Change):
    """Air temperature moves to a new value."""

    set: Literal["air_c"]
    to: AirC
    over_s: Seconds = 0.0


class SetRegulator(Change):
    """The regulator is moved before or after the filter."""

    set: Literal["regulator"]
    to: Place


class SetFluid(Change):
    """The oil is replaced by another one at the same temperature."""

    set: Literal["fluid"]
    to: Id


class SetPlant(Change):
    """One number of the rig jumps to a new value: wear, a fault, a mend."""

    set: Literal["plant"]
    key: str = Field(
        pattern=r"^[a-z]+\.[a-z0-9_]+$",
        examples=["pump.volumetric_efficiency"],
        description="Group and number of the rig's data file",
    )
    to: Number


class TurnScraper(Change):
    """The handle of a stacked-disc filter is turned: full turns, or part of one."""

    set: Literal["scraper_turns"]
    to: Annotated[float, Field(gt=0, le=100)]


class DrainBowl(Change):
    """The bowl is drained: this share of the sludge goes out (1 = all of it)."""

    set: Literal["drain_bowl"]
    to: Fraction = 1.0


class AddDirt(Change):
    """Dust of the rig's kind gets into the oil at once, g: a dirty funnel, an open line."""

    set: Literal["add_dirt_g"]
    to: Annotated[float, Field(gt=0, le=500)]


class ResetIndicator(Change):
    """The button of the differential-pressure indicator is pushed in."""

    set: Literal["indicator_reset"]
    to: Literal[1] = 1


Line = Annotated[
    SetRpm | SetAir | SetRegulator | SetFluid | SetPlant | TurnScraper | DrainBowl | AddDirt | ResetIndicator,
    Field(discriminator="set"),
]


class Note(Record):
    """A line for whoever presents the lesson; the class does not see it."""

    at_s: Seconds = Field(default=0.0, description="Time of the run at which it is wanted")
    event: Word | None = Field(
        default=None, description="Event at which it is wanted instead", examples=["bypass-cracks"]
    )
    say: Text = Field(description="What to say, ask or point at")


class Vary(Record):
    """One key of the file and the values it may take in papers of equal difficulty."""

    key: str = Field(pattern=r"^[a-z0-9_]+(\.[a-z0-9_]+)*$", examples=["air_c", "timeline.0.to"])
    among: tuple[Number | Id, ...] = Field(min_length=2, max_length=20)


class Scenario(Record):
    """A rig, a morning, a timeline and what the learner is asked."""

    scenario: Id = Field(description="Name of the scenario, the same as the name of its file")
    title: Text
    about: Prose
    world: Literal["invented"] = "invented"
    safety: Prose = Field(default="", description="Where the real work can hurt; shown with the scenario")
    objective: Prose = Field(default="", description="What the learner can do afterwards, one sentence")
    codes: tuple[Id, ...] = Field(default=(), max_length=20, description="Ids of assets/syllabus.yaml")
    minutes: int | None = Field(default=None, ge=1, le=240, description="Time a class needs for the lesson")
    level: int = Field(default=1, ge=1, le=3)
    seed: int = Field(default=0, ge=0, le=2**31 - 1)
    filter: Id = Field(description="Name of a file in assets/filters")
    fluid: Id = Field(description="Name of a file in assets/fluids")
    hangs: Hangs | None = Field(
        default=None,
        description="How the filter hangs on the engine; null = a spin-on dome up, a bowl under its head",
    )
    air_c: AirC = 15.0
    plant: Plant
    start: Start = Start()
    faults: tuple[FaultSpec, ...] = Field(default=(), max_length=4, description="What is wrong with the rig")
    timeline: tuple[Line, ...] = Field(default=(), max_length=500)
    end_s: float = Field(gt=0, le=3.6e7)
    vary: tuple[Vary, ...] = Field(default=(), max_length=8)
    prompts: tuple[Prompt, ...] = Field(default=(), max_length=50)
    notes: tuple[Note, ...] = Field(default=(), max_length=100, description="For whoever presents it")
