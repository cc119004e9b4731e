"""Shape of the files of colours."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Hex = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$", examples=["#1f7f93"])]
"""A colour, sRGB."""
Colours = dict[str, Hex]
ThemeName = Literal["dark", "light"]


class Look(BaseModel):
    """A file of colours; unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Cut(Look):
    """How a cut material is drawn: fill, hatch line, its angle (degrees) and pitch (dp)."""

    fill: Hex
    hatch: Hex
    angle: float
    pitch: float = Field(gt=0)


class ThemeFile(Look):
    """Colours of the window; both themes carry the same keys."""

    themes: dict[ThemeName, Colours]
    pairs: dict[str, Any]
    materials: dict[str, Cut]
    pressure_ramp: tuple[Hex, ...] = Field(min_length=2)
    streaks: dict[str, dict[str, str]]
    debris: dict[str, Any]


class BenchLookFile(Look):
    """Colours of the workshop by theme, of films and of the patch."""

    dark: Colours
    light: Colours
    film: dict[str, Any]
    patch: dict[str, Any]
