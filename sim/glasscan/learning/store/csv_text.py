"""Tables as CSV that no spreadsheet program runs as formulas."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

_NUMBER = re.compile(r"[-+−]?\d*[.,]?\d+(?:[eE][-+]?\d+)?\Z")
LONGEST_NUMBER = 40
"""Characters of a number at most: a longer text is not tried against the pattern."""
_STARTS = "=+-@\t\r\n|%\uff1d\uff0b\uff0d\uff20"
"""First characters that spreadsheet programs take as the start of a formula (common practice list)."""


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A table as CSV (RFC 4180); None is an empty cell, texts that look like formulas get an apostrophe."""
    lines = [head, *rows]
    return "".join(",".join(_quoted(cell_text(value)) for value in line) + "\r\n" for line in lines)


def cell_text(value: object) -> str:
    """One cell; plain numbers stay numbers."""
    if value is None:
        return ""
    text = str(value)
    plain = len(text) <= LONGEST_NUMBER and _NUMBER.match(text)
    risky = text.lstrip(" \u00a0")[:1] in tuple(_STARTS) and not plain
    return f"'{text}" if risky else text


def _quoted(text: str) -> str:
    """A cell that stays one cell also where the semicolon divides them, as in much of Europe."""
    if not any(sign in text for sign in ',;"\r\n\t'):
        return text
    return '"' + text.replace('"', '""') + '"'
