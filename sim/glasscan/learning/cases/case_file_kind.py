"""Tell a sealed case from an exam paper by the first words of the file, without the fault engine."""

from __future__ import annotations

from pathlib import Path

from glasscan.files import bounded_bytes

LARGEST_BYTES = 1_000_000
FORMAT_KEY = "sealed_case_format"
HEAD_BYTES = 200


def is_case_file(path: Path) -> bool:
    """Whether a file is a sealed case, and no exam paper."""
    try:
        return f'"{FORMAT_KEY}"'.encode() in bounded_bytes(path, LARGEST_BYTES)[:HEAD_BYTES]
    except (OSError, ValueError):
        return False
