"""A sitting in text in a process of its own, which types numbers and hears which of them are called kept."""

from __future__ import annotations

import json
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping
from contextlib import closing, suppress
from pathlib import Path

from tests.attacks.base import LONGEST_S, paper, surroundings

NUMERIC = "oil-morning/at-four"


class TextSitting:
    """`glasscan exam sit` with a pipe for its keyboard.

    Args:
        folder: of the try; results lie in `home`.
        who: nickname.
        first: number typed first; each answer after it is one more, so that all differ.
    """

    def __init__(
        self,
        folder: Path,
        who: str = "Wen",
        first: int = 1,
        home: Path | None = None,
        env: Mapping[str, str] | None = None,
        before: Callable[[], None] | None = None,
    ) -> None:
        self.home, self.next = home or folder / "results", first
        self.heard: list[str] = []
        self.news = threading.Condition()
        words = [
            "exam",
            "sit",
            paper(),
            "--who",
            who,
            "--data-dir",
            self.home,
            "--out",
            folder / f"{who}.json",
        ]
        self.process = subprocess.Popen(
            [sys.executable, "-m", "glasscan", *map(str, words)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            cwd=folder,
            env=surroundings(folder, env),
            preexec_fn=before,
        )
        self._listener = threading.Thread(target=self._listen, daemon=True)
        self._listener.start()
        self.type("")

    def _listen(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            if not line.endswith(b"\n"):
                break
            with self.news:
                self.heard.append(line.decode(errors="replace"))
                self.news.notify_all()
        with self.news:
            self.heard.append("")
            self.news.notify_all()

    def type(self, *lines: str) -> None:
        """Type lines; a program that has ended hears nothing."""
        assert self.process.stdin is not None
        try:
            self.process.stdin.write("".join(f"{line}\n" for line in lines).encode())
            self.process.stdin.flush()
        except (BrokenPipeError, ValueError):
            return

    def answer(self, count: int = 1) -> None:
        """Type so many numbers into the question that takes one."""
        for _ in range(count):
            self.type(f":go {place()}", f"{self.next} kPa")
            self.next += 1

    @property
    def kept(self) -> list[str]:
        """Answers that were called kept, in order."""
        return [line.partition("kept:")[2].strip() for line in list(self.heard) if "kept:" in line]

    def wait_for(self, count: int) -> bool:
        """Wait until so many answers are called kept; False where the program ended before."""
        with self.news:
            self.news.wait_for(lambda: len(self.kept) >= count or "" in self.heard, LONGEST_S)
        return len(self.kept) >= count

    def end(self, *lines: str) -> tuple[int, str]:
        """Type what is left, close the keyboard, wait; exit code and what stood on standard error."""
        self.type(*lines)
        assert self.process.stdin is not None
        assert self.process.stderr is not None
        with suppress(BrokenPipeError):
            self.process.stdin.close()
        told = self.process.stderr.read().decode(errors="replace")
        code = self.process.wait(LONGEST_S)
        self._close()
        return code, told

    def kill(self) -> None:
        """End it between two instructions."""
        self.process.kill()
        self.process.wait(LONGEST_S)
        self._close()

    def _close(self) -> None:
        self._listener.join(LONGEST_S)
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            if pipe is not None:
                with suppress(BrokenPipeError):
                    pipe.close()

    def missing(self, home: Path | None = None) -> str:
        """Answers that were called kept and are not in the store, read by SQLite itself; else empty."""
        return missing(home or self.home, self.kept)


def place() -> int:
    """Number of the question that takes a number."""
    questions = json.loads(paper().read_text(encoding="utf-8"))["questions"]["questions"]
    return 1 + [q["asked"]["id"] for q in questions].index(NUMERIC)


def missing(home: Path, kept: list[str]) -> str:
    """What is called kept and is not there, or that the file is not whole; else empty."""
    if not kept:
        return ""
    with closing(sqlite3.connect(home / "results.sqlite3")) as db:
        stored = {row[0] for row in db.execute("SELECT given FROM answers")}
        whole = db.execute("PRAGMA integrity_check").fetchone()[0]
    gone = [answer for answer in kept if answer not in stored]
    if gone:
        return f"{len(gone)} of {len(kept)} answers called kept are gone, such as {gone[0]!r}"
    return "" if whole == "ok" else f"integrity: {whole}"
