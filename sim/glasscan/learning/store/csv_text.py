"""Tables as CSV that no spreadsheet program runs as formulas."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

_NUMBER = re.compile(r"[-+−]?\d*[.,]?\d+(?:[eE][-+]?\d+)?\Z")
_STARTS = "=+-@\t\r\n|%\uff1d\uff0b\uff0d\uff20"
"""First characters that spreadsheet programs take as the start of a formula (common practice list)."""


def csv_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A table as CSV (RFC 4180); None is an empty cell, texts that look like formulas get an apostrophe."""
    sheet = io.StringIO()
    writer = csv.writer(sheet, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows([cell_text(value) for value in row] for row in rows)
    return sheet.getvalue()


def cell_text(value: object) -> str:
    """One cell; plain numbers stay numbers."""
    if value is None:
        return ""
    text = str(value)
    risky = text.lstrip(" \u00a0")[:1] in tuple(_STARTS) and not _NUMBER.match(text)
    return f"'{text}" if risky else text
