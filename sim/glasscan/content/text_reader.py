"""From a path to text: regular file, bounded size, UTF-8, no characters that hide or break lines."""

from __future__ import annotations

import re
from pathlib import Path

from glasscan.content.problems import BadInput, Problem, SourceMark
from glasscan.files import bounded_bytes

MAX_BYTES = 256_000
"""Largest file read, bytes: some ten times the largest lesson one would write by hand (PRACTICE)."""

_UNSEEN = re.compile(
    "["
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"  # control characters
    "\xad\u061c\u180e\u200b-\u200f\u2060-\u2064"  # soft hyphen, marks of no width, marks of direction
    "\u2028\u2029\u202a-\u202e\u2066-\u206f\ufeff"  # breaks of lines, overrides of direction
    "\u115f\u1160\u2800\u3164\uffa0"  # letters that show nothing
    "\ufff9-\ufffb\ufffe\uffff\ud800-\udfff\U000e0000-\U000e007f"  # annotations, non-characters, tags
    "]"
)
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def read_text(path: Path, name: str) -> str:
    """Read a file as text.

    Args:
        path: the file.
        name: how the messages call it.

    Raises:
        BadInput: it is missing, not a plain file, too large, or not plain UTF-8 text.
    """
    return decode(_read_bytes(path, name), name)


def _read_bytes(path: Path, name: str) -> bytes:
    try:
        if path.is_dir():
            raise _refuse(name, "expected a file, this is a folder")
        if path.exists() and not path.is_file():
            raise _refuse(name, "expected a plain file, this is a device or a pipe")
        raw = bounded_bytes(path, MAX_BYTES)
    except FileNotFoundError:
        raise _refuse(name, "no such file") from None
    except (OSError, ValueError) as error:
        raise _refuse(name, f"cannot be read: {getattr(error, 'strerror', None) or error}") from None
    if len(raw) > MAX_BYTES:
        raise _refuse(name, f"larger than {MAX_BYTES} bytes, expected a file written by hand")
    return raw


def decode(raw: bytes, name: str) -> str:
    """Bytes as text; see `read_text`."""
    if raw.startswith(_UTF16):
        raise _refuse(name, "expected plain UTF-8 text, this looks like UTF-16: save it as UTF-8", 1, 1)
    if raw.startswith(b"\xef\xbb\xbf"):
        raise _refuse(name, "starts with a byte order mark: save the file as UTF-8 without it", 1, 1)
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line, column = _place(raw[: error.start].decode("utf-8", "replace"))
        message = f"byte 0x{raw[error.start]:02x} is not UTF-8: save the file as UTF-8"
        raise _refuse(name, message, line, column) from None
    return checked(text, name)


def checked(text: str, name: str) -> str:
    """Text without control characters; see `read_text`."""
    found = _UNSEEN.search(text)
    if found:
        line, column = _place(text[: found.start()])
        raise _refuse(name, f"control character U+{ord(found[0]):04X}: delete it", line, column)
    return text


def unseen(text: str) -> bool:
    """Whether text holds characters that hide, break or mirror a line, or no character at all."""
    return _UNSEEN.search(text) is not None


def _place(before: str) -> tuple[int, int]:
    lines = re.split("\r\n|\r|\n", before)
    return len(lines), len(lines[-1]) + 1


def _refuse(name: str, text: str, line: int = 0, column: int = 0) -> BadInput:
    return BadInput([Problem(SourceMark(name, line, column), (), text)])
