"""What can go wrong with the store, in one clear line each."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from glasscan.content.problems import one_line


class StoreProblem(Exception):
    """The store cannot do what was asked; the text is one line for the user, whatever stood in a file."""

    def __init__(self, text: str) -> None:
        super().__init__(one_line(text))


ADVICE = {
    "FULL": "the disk is full; what was just entered is not stored: free some space and enter it again",
    "READONLY": "cannot be written; choose another folder with --data-dir",
    "CANTOPEN": "cannot be opened or made; choose another folder with --data-dir",
    "PERM": "cannot be written; choose another folder with --data-dir",
    "NOTADB": "is not a results store, or is damaged: glasscan results salvage reads what is left",
    "CORRUPT": "is damaged: glasscan results salvage reads what is left",
    "BUSY": "is held by another window; close that window and try again",
    "LOCKED": "is held by another window; close that window and try again",
    "IOERR": "the disk refused it; what was just entered is not stored: check the space and the drive",
}
"""Advice by the middle word of SQLite's own names of errors."""


ELSEWHERE = "; choose another folder with --data-dir"
"""The way out where the folder of the store is at fault."""


@contextmanager
def in_one_line(path: Path, way_out: str = ELSEWHERE) -> Iterator[None]:
    """Turn errors of SQLite and of the file system into a `StoreProblem` of one line.

    Args:
        path: of the file, named in the line.
        way_out: added to errors of the file system.
    """
    try:
        yield
    except sqlite3.Error as error:
        raise StoreProblem(f"{path}: {_advice(error)}") from error
    except OSError as error:
        raise StoreProblem(f"{path}: {error.strerror or error}{way_out}") from error


def _advice(error: sqlite3.Error) -> str:
    name = getattr(error, "sqlite_errorname", None) or ""
    word = name.removeprefix("SQLITE_").split("_")[0]
    return ADVICE.get(word) or " ".join(str(error).split())
