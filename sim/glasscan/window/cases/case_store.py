"""Where cases are kept: one small file each in the user's own data folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from glasscan.files import bounded_bytes
from glasscan.learning.cases.case_files import CaseData
from glasscan.paths import own_folder
from glasscan.window.cases.case_wording import KINDS

LARGEST = 1_000_000  # bytes; a file beyond this is not ours
SHOWN = 20  # newest files looked at


@dataclass(frozen=True)
class StoredCase:
    """A case on disk, as the start page tells it: nothing of its fault is in the file."""

    path: Path
    seed: int
    kind: str
    level: int
    tests: int
    over: bool

    @property
    def title(self) -> str:
        """What it is."""
        return f"Case {self.seed}, {KINDS[self.kind].lower()}, level {self.level}"

    @property
    def state(self) -> str:
        """How far it is."""
        done = "no test yet" if not self.tests else "1 test" if self.tests == 1 else f"{self.tests} tests"
        return "over: look at it again" if self.over else done


def folder() -> Path:
    """The user's own folder for cases."""
    return own_folder() / "cases"


def fresh(seed: int, kind: str, level: int, within: Path | None = None) -> Path:
    """A path that no case lies at yet."""
    at = within or folder()
    name, number = f"{kind}-{seed}-level-{level}", 1
    path = at / f"{name}.json"
    while path.exists():
        number += 1
        path = at / f"{name}-{number}.json"
    return path


def found(within: Path | None = None) -> list[StoredCase]:
    """Cases kept, the newest first; what is no case is left out."""
    at = within or folder()
    try:
        paths = sorted(at.glob("*.json"), key=lambda p: -p.stat().st_mtime)[:SHOWN]
    except OSError:
        return []
    return [kept for kept in map(_read, paths) if kept is not None]


def _read(path: Path) -> StoredCase | None:
    try:
        data = CaseData.model_validate_json(bounded_bytes(path, LARGEST))
    except (OSError, ValueError):
        return None
    tests = sum(entry.what == "test" for entry in data.entries)
    return StoredCase(path, data.seed, data.kind, data.level, tests, data.ended is not None)
