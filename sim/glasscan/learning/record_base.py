"""Ground of all records read from scenario and data files."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Record(BaseModel):
    """A frozen piece of a file; unknown keys are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


Text = Annotated[str, Field(min_length=1, max_length=200)]
Prose = Annotated[str, Field(max_length=4000)]
Id = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60, examples=["cold-start"])]
Word = Id
LineName = Annotated[str, Field(pattern=r"^[a-z0-9-]+\.[a-z0-9-]+$", max_length=80)]
"""A line of the invented manual as questions cite it: name of the file, a dot, id of the line."""
Number = Annotated[float, Field(ge=-1e12, le=1e12)]
Seconds = Annotated[float, Field(ge=0, le=3.6e7)]
"""Time from the start of the run, s; the limit is 10,000 hours."""
