"""Shape of the debris files in `assets/debris`, and the catalogue they make."""

from __future__ import annotations

from functools import cache
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.content import BadInput, load, nearest
from glasscan.paths import asset

Shape = Literal["chip", "flake", "sliver", "grain", "sphere", "cake"]
Status = Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE"]
KEY = r"^[a-z0-9]+(-[a-z0-9]+)*$"


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Material(_Frozen):
    """What a body is made of: density, friction against oily steel, rebound in oil, pull of a magnet."""

    key: str = Field(pattern=KEY)
    density_kg_m3: float = Field(ge=200, le=25_000)
    friction: float = Field(ge=0, le=1.5)
    restitution: float = Field(default=0.0, ge=0, le=0.9)
    magnetic: Literal["yes", "weak", "no"]
    source: str = Field(min_length=1)
    status: Status


class Kind(_Frozen):
    """A kind of debris: how it looks, its range of longest sides and its thickness over the longest side."""

    code: str = Field(pattern=r"^[A-Z]\d{1,2}$")
    key: str = Field(pattern=KEY)
    title: str = Field(min_length=1)
    material: str = Field(pattern=KEY)
    shape: Shape
    size_mm: tuple[float, float]
    thickness_share: float = Field(ge=0.05, le=1)
    colours: tuple[str, ...] = Field(min_length=1)
    source: str = Field(min_length=1)
    status: Status

    @model_validator(mode="after")
    def _sizes_rise(self) -> Kind:
        low, high = self.size_mm
        if not 0.05 <= low <= high <= 10:
            raise ValueError("size_mm: expected two rising sizes from 0.05 to 10 mm")
        return self


class MaterialFile(_Frozen):
    """The file `materials.yaml`."""

    name: Literal["materials"]
    world: Literal["real", "invented"]
    materials: tuple[Material, ...]


class KindFile(_Frozen):
    """The file `kinds.yaml`."""

    name: Literal["kinds"]
    world: Literal["real", "invented"]
    kinds: tuple[Kind, ...]


class Catalogue:
    """Kinds and materials by key; kinds also by their code ("D2")."""

    def __init__(self, kinds: tuple[Kind, ...], materials: tuple[Material, ...]) -> None:
        self.kinds = {k.key: k for k in kinds}
        self.materials = {m.key: m for m in materials}
        self._codes = {k.code: k.key for k in kinds}
        for kind in kinds:
            if kind.material not in self.materials:
                near = nearest(kind.material, self.materials)
                meant = f" (did you mean {near!r}?)" if near else ""
                raise BadInput([f"debris kind {kind.key}: expected a known material{meant}"])

    def kind(self, word: str) -> Kind:
        """The kind of a key or a code.

        Raises:
            ValueError: there is none; with the nearest key.
        """
        key = self._codes.get(word, word)
        if key not in self.kinds:
            near = nearest(word, self.kinds)
            meant = f" (did you mean {near!r}?)" if near else ""
            raise ValueError(f"debris kind: expected one of {', '.join(self.kinds)}, found {word!r}{meant}")
        return self.kinds[key]

    def material(self, kind: Kind) -> Material:
        """What a kind is made of."""
        return self.materials[kind.material]


@cache
def catalogue() -> Catalogue:
    """The shipped kinds and materials.

    Raises:
        BadInput: a file is bad.
    """
    kinds = load(asset("debris", "kinds.yaml"), KindFile)
    materials = load(asset("debris", "materials.yaml"), MaterialFile)
    return Catalogue(kinds.kinds, materials.materials)
