"""Where the last sitting was left: a small file in the user's folder for such things.

It is a convenience: missing, damaged or from another version, it is as if there were none, and a disk
that cannot be written is no trouble.
"""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from glasscan.files import bounded_bytes, write_whole
from glasscan.paths import state_folder

FILE = "left-off.json"
LARGEST = 200_000  # bytes; a file beyond this is not ours
Mode = Literal["demonstrate", "practise", "exam"]


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="ignore", allow_inf_nan=False)


class ControlChange(_Frozen):
    """A control moved by hand at a moment."""

    t_s: Annotated[float, Field(ge=0)]
    key: str = Field(max_length=60)
    value: float | str | bool


class ResumeState(_Frozen):
    """What to go on with, and how the window looked.

    Attributes:
        scenario: id or file; empty where nothing was opened yet.
        title: of the scenario.
        mode: how it was opened.
        t_s: the moment, s.
        changes: controls moved by hand up to that moment.
        theme, units_index, text_index, still: choices of the view.
    """

    scenario: str = Field(default="", max_length=1000)
    title: str = Field(default="", max_length=200)
    mode: Mode = "demonstrate"
    t_s: Annotated[float, Field(ge=0, le=3.6e7)] = 0.0
    changes: tuple[ControlChange, ...] = Field(default=(), max_length=500)
    theme: Literal["dark", "light"] = "dark"
    units_index: Annotated[int, Field(ge=0, le=2)] = 0
    text_index: Annotated[int, Field(ge=0, le=3)] = 1
    still: bool = False


def state_path() -> Path:
    """The file, in the folder of what was left; see `paths`."""
    return state_folder() / FILE


def load(path: Path | None = None) -> ResumeState:
    """Where it was left; a fresh start where the file says nothing useful."""
    try:
        return ResumeState.model_validate_json(bounded_bytes(path or state_path(), LARGEST))
    except (OSError, ValidationError, ValueError):
        return ResumeState()


def save(left: ResumeState, path: Path | None = None) -> None:
    """Keep it, whole or not at all."""
    with contextlib.suppress(OSError):
        write_whole(path or state_path(), left.model_dump_json())
