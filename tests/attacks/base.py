"""What all attacks share: a try in a folder of its own, the command as a user types it, and the counts."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import ClassVar

from tests.learning.exam.exampaper import scenario_file

TOP = Path(__file__).resolve().parents[2]
LONGEST_S = 120.0  # a command that takes longer on a busy machine counts as hanging
KINDLY_ENDED = (0, 2, 130)
SHOWN = 160  # characters of a loss in the table


@dataclass(frozen=True)
class Tally:
    """Counts of one attack: what was lost stands in words."""

    name: str
    about: str
    tries: int
    lost: tuple[str, ...]

    def line(self) -> str:
        """As a line of the table."""
        lost = len(self.lost)
        return f"| {self.name} | {self.about} | {self.tries} | {self.tries - lost} | {lost} |"


class Attack(ABC):
    """One way to do harm; `usual` is how often it is tried where nobody says a number."""

    name: ClassVar[str]
    about: ClassVar[str]
    usual: ClassVar[int] = 5

    @abstractmethod
    def once(self, number: int, folder: Path) -> str:
        """One try.

        Args:
            number: of the try, its seed.
            folder: empty, and gone afterwards.

        Returns:
            Empty where it was survived, else what was lost, in one line.
        """

    def run(self, times: int, tell: Callable[[str], None] = print) -> Tally:
        """Try it so often; `tell` gets each loss at once."""
        lost = []
        for number in range(times):
            with tempfile.TemporaryDirectory(prefix="glasscan-attack-", ignore_cleanup_errors=True) as folder:
                try:
                    loss = self.once(number, Path(folder))
                except subprocess.TimeoutExpired as hung:
                    loss = f"hangs: {' '.join(map(str, hung.cmd))[-SHOWN:]}"
            if loss:
                lost.append(loss)
                tell(f"{self.name} {number}: {loss}")
        return Tally(self.name, self.about, times, tuple(lost))


@dataclass(frozen=True)
class Done:
    """How a command ended."""

    code: int
    out: str
    err: str

    def harm(self, codes: Sequence[int] = KINDLY_ENDED) -> str:
        """Why this is no kind end: a traceback, another code, a line that is no line; else empty."""
        if "Traceback" in self.err or "Traceback" in self.out:
            return f"a traceback: {self.err.strip().splitlines()[-1:]}"
        if self.code not in codes:
            return f"exit code {self.code}: {self.err.strip()[-SHOWN:]!r}"
        if self.code == 2 and not self.err.strip():
            return "exit code 2 without a word"
        odd = [line for line in self.err.splitlines() if not line.isprintable()]
        return f"not printable: {odd[0][:SHOWN]!r}" if odd else ""


def surroundings(folder: Path, more: Mapping[str, str] | None = None) -> dict[str, str]:
    """Environment of a program whose every folder lies in `folder`, without a display."""
    away = ("DISPLAY", "WAYLAND_DISPLAY", "GLASSCAN_DATA_DIR", "GLASSCAN_PASSPHRASE")
    rest = {k: v for k, v in os.environ.items() if k not in away}
    own = {
        "PYTHONPATH": os.pathsep.join((str(TOP / "sim"), str(TOP))),
        "HOME": str(folder),
        "XDG_DATA_HOME": str(folder / "data"),
        "XDG_STATE_HOME": str(folder / "state"),
        "GLASSCAN_CACHE_DIR": str(shared() / "cache"),
        "SDL_VIDEODRIVER": "dummy",
        "SDL_AUDIODRIVER": "dummy",
    }
    return rest | own | dict(more or {})


def glasscan(
    folder: Path,
    *words: str | Path,
    typed: str = "",
    env: Mapping[str, str] | None = None,
    flags: Sequence[str] = (),
    through: Sequence[str] = (),
    longest_s: float = LONGEST_S,
) -> Done:
    """Run the command in a process of its own; `through` stands before it.

    Raises:
        subprocess.TimeoutExpired: it did not end.
    """
    done = subprocess.run(
        [*through, sys.executable, *flags, "-m", "glasscan", *map(str, words)],
        input=typed.encode(),
        capture_output=True,
        cwd=folder,
        env=surroundings(folder, env),
        timeout=longest_s,
        check=False,
    )
    return Done(done.returncode, done.stdout.decode(errors="replace"), done.stderr.decode(errors="replace"))


@cache
def shared() -> Path:
    """A folder for what every try may read; gone with this process."""
    _kept.append(tempfile.TemporaryDirectory(prefix="glasscan-attacks-"))
    folder = Path(_kept[-1].name)
    folder.chmod(0o755)
    return folder


_kept: list[tempfile.TemporaryDirectory[str]] = []


@cache
def paper() -> Path:
    """A rehearsal of two questions, made by the command."""
    lesson = scenario_file(shared())
    words = ["exam", "make", "--from", str(lesson), "--seed", "1", "--minutes", "60", "--name", "week-3"]
    done = glasscan(shared(), *words, "--out", "paper.json")
    assert done.code == 0, done.err
    return shared() / "paper.json"
