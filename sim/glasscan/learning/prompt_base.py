"""What every prompt of a scenario file has, whatever its form of answer."""

from __future__ import annotations

from pydantic import Field

from glasscan.learning.record_base import Id, LineName, Number, Prose, Record

LAST = "Stays behind the lines that are mixed up, such as 'none of these'"


class Asking(Record):
    """What every prompt has."""

    id: Id
    ask: Prose
    why: Prose = Field(default="", description="The lesson of the prompt; ends the reason of every mark")
    codes: tuple[Id, ...] = Field(
        default=(), description="Ids of assets/syllabus.yaml this prompt alone serves"
    )
    sheet: tuple[LineName, ...] = Field(
        default=(), max_length=6, description="Lines of assets/manual laid beside the question, to be read"
    )
    manual: tuple[LineName, ...] = Field(
        default=(), max_length=6, description="Lines of assets/manual the key rests on; shown with the reason"
    )


class Marked(Asking):
    """A prompt that counts."""

    marks: Number = Field(default=1.0, gt=0, le=100)
