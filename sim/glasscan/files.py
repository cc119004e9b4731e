"""Files read within bounds, and written whole or not at all.

What comes from another computer may be a pipe that never speaks, a device that never ends or a file of any
size; a crash or a full disk leaves the old file or the new one.
"""

from __future__ import annotations

import errno
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO


def bounded_bytes(path: Path, most: int) -> bytes:
    """The first `most` + 1 bytes of a plain file: one byte more than allowed tells that it is too large.

    Raises:
        OSError: it cannot be read, or is no plain file (a pipe, a device, a folder).
        ValueError: the name is none.
    """
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    number = os.open(path, flags)  # without waiting: a pipe that nobody writes to would hold the window
    with os.fdopen(number, "rb") as file:
        if not stat.S_ISREG(os.fstat(number).st_mode):
            raise OSError(errno.EINVAL, "expected a plain file, this is a folder, a device or a pipe")
        return file.read(most + 1)


@contextmanager
def whole(path: Path) -> Iterator[BinaryIO]:
    """A binary file to write into, which takes its place under its name once it is complete and on the disk.

    The folder is made where there is none. The file may be read by whoever may read others of its folder: a
    paper is handed on. What is no plain file (a device, a pipe) is written into as it stands, and a link
    stays a link.

    Raises:
        OSError: it cannot be written; then nothing is left behind.
        ValueError: the name is none.
    """
    path = path.resolve() if path.is_symlink() else path
    if path.exists() and not path.is_file():
        with path.open("wb") as file:
            yield file
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name[:40]}.{secrets.token_hex(6)}.part")
    try:
        with beside.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def write_whole(path: Path, data: str | bytes) -> Path:
    """Write a text (UTF-8, line ends as they are) or bytes; returns the path.

    Raises:
        OSError, ValueError: it cannot be written.
    """
    with whole(path) as file:
        file.write(data.encode("utf-8") if isinstance(data, str) else data)
    return path
