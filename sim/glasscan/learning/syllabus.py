"""Syllabus codes as editable data; nothing in the code knows one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from glasscan.content import BadInput, load
from glasscan.content.record_loading import Finding
from glasscan.learning.record_base import Id, Record, Text
from glasscan.paths import asset


class Code(Record):
    """One line of a syllabus.

    Attributes:
        id: the word scenarios use.
        code: as the authority writes it.
        title: what it asks, in own words.
        status: FOUND in a public document, or from MEMORY.
        verified: checked against the current issue; False until someone has done it.
        source: the document, where found.
    """

    id: Id
    code: Text
    title: Text
    status: Literal["FOUND", "MEMORY"]
    verified: bool = False
    source: Text | None = None


class Syllabus(Record):
    """All codes, and the words shown wherever they are printed."""

    about: Annotated[str, Field(max_length=1000)]
    codes: tuple[Code, ...]


def load_syllabus() -> Syllabus:
    """The shipped syllabus.

    Raises:
        BadInput: the file is missing or bad.
    """
    return read_syllabus(asset("syllabus.yaml"))


def read_syllabus(path: Path) -> Syllabus:
    """A syllabus from a file.

    Raises:
        BadInput: it is bad, with one line for each problem.
    """
    return load(path, Syllabus, checks=(_codes_once,))


def _codes_once(syllabus: Syllabus) -> Iterator[Finding]:
    ids = [code.id for code in syllabus.codes]
    for i, name in enumerate(ids):
        if name in ids[:i]:
            yield ("codes", i, "id"), f"duplicate id '{name}'", None
        if syllabus.codes[i].status == "FOUND" and not syllabus.codes[i].source:
            yield ("codes", i), "missing key source: what was FOUND names its document", None


def codes() -> tuple[str, ...]:
    """Ids of all codes; none where there is no syllabus."""
    if not asset("syllabus.yaml").is_file():
        return ()
    return tuple(code.id for code in load_syllabus().codes)


def code(name: str) -> Code:
    """A code by its id.

    Raises:
        BadInput: there is none.
    """
    found = next((c for c in load_syllabus().codes if c.id == name), None)
    if found is None:
        raise BadInput([f"syllabus: no code '{name}'"])
    return found
