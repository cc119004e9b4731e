"""Shape of the files an inspection reads: what dirt is made of, stories of filters, the example sheet."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.content import BadInput, load, nearest
from glasscan.debris.debris_data import catalogue
from glasscan.paths import asset

Code = Annotated[str, Field(pattern=r"^[CD]\d{1,2}$")]
Share = Annotated[float, Field(ge=0, le=1)]
Range = tuple[float, float]
Prose = Annotated[str, Field(min_length=1, max_length=400)]
Status = Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE", "INVENTED"]
Action = Literal["trend", "sample", "ground", "reject", "discard"]
FilterKind = Literal["can", "cartridge", "disc"]
PARTS = ("valve", "lip", "core", "medium", "seal", "blades")


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class KindFacts(_Frozen):
    """How a kind shows itself: under needle and lens, its stain on a patch, where it comes from."""

    needle: Prose
    lens: Prose
    patch: Literal["grey", "brown", "black", "tan", "white"]
    likely: Prose
    look_next: Prose
    source: Prose
    status: Status


class SourcesFile(_Frozen):
    """The file `sources.yaml`."""

    name: Literal["sources"]
    world: Literal["real", "invented"]
    source: Prose
    status: Status
    mixes: dict[str, dict[Code, Share]]
    film_as: dict[Code, Code]
    kinds: dict[Code, KindFacts]

    @model_validator(mode="after")
    def _whole(self) -> SourcesFile:
        for name, mix in self.mixes.items():
            if abs(sum(mix.values()) - 1.0) > 1e-9:
                raise ValueError(f"mixes.{name}: expected shares that sum to 1, found {sum(mix.values()):g}")
            strange = sorted(set(mix) - set(self.kinds))
            if strange:
                raise ValueError(f"mixes.{name}: no kind {strange[0]}")
        return self


class Strewn(_Frozen):
    """Pieces that come beside the fine dirt: how many, and where they enter."""

    kind: Code
    enter: Literal["inlet", "clean", "tear", "lip", "blade"]
    per_h: Range = (0.0, 0.0)
    once: Range = (0.0, 0.0)


class Story(_Frozen):
    """What a filter has been through: see the head of `stories.yaml`."""

    story: str
    title: Prose
    filters: tuple[FilterKind, ...]
    fault: str | None
    hours: Range
    since: Range
    severity: Range = (0.0, 1.0)
    load_g: Range = (0.0, 0.0)  # what the element held already
    turns: int = 3
    weight: float = Field(default=1.0, gt=0)
    wear: dict[Code, Share] | None = None
    pieces: tuple[Strewn, ...] = ()
    parts: dict[Literal["valve", "lip", "core", "medium", "seal", "blades"], Prose] = {}
    tells: Prose


class StoriesFile(_Frozen):
    """The file `stories.yaml`."""

    name: Literal["stories"]
    world: Literal["invented"]
    source: Prose
    status: Status
    stories: tuple[Story, ...]


class Limit(_Frozen):
    """What the example sheet asks for one kind."""

    most: int = Field(ge=0)
    longest_mm: float = Field(ge=0)
    within: Action
    above: Action
    inside: Action


class ManualFile(_Frozen):
    """The invented manual sheet."""

    manual: str
    title: Prose
    world: Literal["invented"]
    source: Prose
    status: Status
    about: Prose
    count_from_mm: float = Field(gt=0)
    film_limit_g_per_10_h: dict[FilterKind, float]
    wash_ml: float = Field(gt=0)
    wash_share: float = Field(gt=0, le=1)
    kinds: dict[Code, Limit]
    actions: dict[Action, Prose]


@cache
def sources() -> SourcesFile:
    """What dirt is made of, and how each kind shows itself.

    Raises:
        BadInput: the file is bad.
    """
    return load(asset("debris", "sources.yaml"), SourcesFile)


@cache
def manual() -> ManualFile:
    """The example sheet.

    Raises:
        BadInput: the file is bad.
    """
    return load(asset("workshop", "example-manual.yaml"), ManualFile)


@cache
def stories() -> Mapping[str, Story]:
    """Stories by their word.

    Raises:
        BadInput: the file is bad.
    """
    return {s.story: s for s in load(asset("debris", "stories.yaml"), StoriesFile).stories}


def story(word: str) -> Story:
    """A story by its word.

    Raises:
        BadInput: there is none; with the nearest word.
    """
    known = stories()
    if word not in known:
        near = nearest(word, known)
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput([f"story: expected one of {', '.join(known)}, found '{word[:40]}'{meant}"])
    return known[word]


def wear_mix(plant: str, iron: float) -> dict[str, float]:
    """What the wear of a rig is made of, by code, with a share of iron; unknown rigs have `other`."""
    mixes = sources().mixes
    mix, known = mixes.get(plant, mixes["other"]), catalogue()
    drawn = {c for c in mix if known.material(known.kind(c)).magnetic == "yes"}
    now = sum(mix[c] for c in drawn)
    return {c: s * (iron / now if c in drawn else (1.0 - iron) / (1.0 - now)) for c, s in mix.items()}
