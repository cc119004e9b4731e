"""What self-study and exam remember between two openings: who it is, the day of the exam, the last paper.

A small file beside the one of the last sitting. It is a convenience: without it, all is asked again.
Answers never stand here; they are in the results store.
"""

from __future__ import annotations

import contextlib
from datetime import date
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from glasscan.files import bounded_bytes, write_whole
from glasscan.learning.store import connection
from glasscan.window.home import resume_state

FILE = "study.json"
LARGEST = 100_000  # bytes; a file beyond this is not ours


class UserPrefs(BaseModel):
    """What is remembered.

    Attributes:
        nickname: of the one at the screen; empty until asked.
        exams: day of the exam by nickname.
        paper: file of the paper last opened.
        folder: folder of class results last shown.
    """

    model_config = ConfigDict(frozen=True, extra="ignore")
    nickname: str = Field(default="", max_length=40)
    exams: dict[str, date] = Field(default_factory=dict, max_length=200)
    paper: str = Field(default="", max_length=2000)
    folder: str = Field(default="", max_length=2000)

    @property
    def exam_on(self) -> date | None:
        """Day of the exam of the one at the screen, or None."""
        return self.exams.get(self.nickname)


def path() -> Path:
    """The file."""
    return resume_state.state_path().parent / FILE


def load() -> UserPrefs:
    """What is remembered; nothing where the file says nothing useful."""
    try:
        return UserPrefs.model_validate_json(bounded_bytes(path(), LARGEST))
    except (OSError, ValidationError, ValueError):
        return UserPrefs()


def save(kept: UserPrefs) -> None:
    """Keep it, whole or not at all; a disk that cannot be written is no trouble."""
    with contextlib.suppress(OSError):
        write_whole(path(), kept.model_dump_json())


def change(**values: object) -> UserPrefs:
    """Remember some values in place of the old ones."""
    kept = load().model_copy(update=values)
    save(kept)
    return kept


def store_file() -> Path:
    """The results store of this user."""
    return connection.store_path()


def papers_folder() -> Path:
    """Where papers made at the screen are kept, and where papers are looked for."""
    return store_file().parent / "papers"


def told(at: Path, longest: int = 44) -> str:
    """A file in words of bearable length: its name, then its folder, cut in front where it is long."""
    folder = str(at.parent).replace(str(Path.home()), "~", 1)
    folder = folder if len(folder) <= longest else f"…{folder[-longest:]}"
    return f"{at.name}\nin {folder}"
