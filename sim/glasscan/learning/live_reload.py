"""Follow a lesson file while the window is open: load it when it changes, keep the good one if it is bad."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from glasscan.content import BadInput
from glasscan.content.text_reader import MAX_BYTES
from glasscan.files import bounded_bytes
from glasscan.learning.catalogue import scenario_path
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario


@dataclass(frozen=True)
class FileState:
    """What one look at the file gave.

    Attributes:
        scenario: the newest good one.
        changed: it is another one than at the look before.
        lines: mistakes of the file as it stands now, one line each; () where it is good.
    """

    scenario: Scenario
    changed: bool
    lines: tuple[str, ...]


class LiveLesson:
    """A lesson whose file is looked at again and again.

    Time stamps only save reading: a file counts as changed when its bytes are. An editor that writes a new
    file in place of the old one, or leaves half a file for a moment, does no harm: the good lesson stays.
    """

    def __init__(self, word: str, overrides: Sequence[str] = ()) -> None:
        """Load the lesson.

        Args:
            word: path of a file, or id of a shipped lesson.
            overrides: `dotted.key=value` texts laid over the file at every load.

        Raises:
            BadInput: the file is bad at the start.
        """
        self.path = scenario_path(word)
        self._overrides = tuple(overrides)
        self._stamp, self._digest = _stamp(self.path), _digest(self.path)
        self._scenario = load_scenario(word, self._overrides)
        self._lines: tuple[str, ...] = ()

    @property
    def scenario(self) -> Scenario:
        """The newest good lesson."""
        return self._scenario

    def look(self) -> FileState:
        """Look at the file once; cheap where nothing has moved."""
        stamp = _stamp(self.path)
        if stamp == self._stamp:
            return FileState(self._scenario, False, self._lines)
        self._stamp, digest = stamp, _digest(self.path)
        if digest == self._digest and digest:
            return FileState(self._scenario, False, self._lines)
        self._digest = digest
        return self._load()

    def _load(self) -> FileState:
        try:
            fresh = load_scenario(str(self.path), self._overrides)
        except BadInput as bad:
            self._lines = tuple(bad.lines)
            return FileState(self._scenario, False, self._lines)
        changed, self._scenario, self._lines = fresh != self._scenario, fresh, ()
        return FileState(fresh, changed, ())


def _stamp(path: Path) -> tuple[int, int, int]:
    """Time of change (ns), size and number of the file; zeros where there is none."""
    try:
        seen = path.stat()
    except OSError:
        return 0, 0, 0
    return seen.st_mtime_ns, seen.st_size, seen.st_ino


def _digest(path: Path) -> bytes:
    """Digest of the bytes; empty where the file cannot be read."""
    try:
        return hashlib.sha256(bounded_bytes(path, MAX_BYTES)).digest()
    except (OSError, ValueError):
        return b""
