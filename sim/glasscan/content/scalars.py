"""What a plain word of a file means: the part of YAML on which the 1.1 and 1.2 readings agree."""

from __future__ import annotations

import math
import re

Scalar = str | int | float | bool | None

_INT = re.compile(r"[-+]?(0|[1-9][0-9]*)\Z")
_FLOAT = re.compile(r"[-+]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][-+]?[0-9]+)?\Z")
_WORDS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_EMPTY = {"", "~", "null", "Null", "NULL"}
_MAX_DIGITS = 40
_NUMBER_LIKE = frozenset("0123456789+-._:eE")

_SURPRISES: tuple[tuple[re.Pattern[str], str], ...] = (
    (
        re.compile(r"(yes|no|on|off)\Z", re.I),
        "'{0}' alone reads as true or false in some readers: write true or false, or quote it as text",
    ),
    (
        re.compile(r"[-+]?\.(nan|inf)\Z", re.I),
        "'{0}' is no usable number: expected a finite number",
    ),
    (re.compile(r"[-+]?[0-9][0-9_]*_[0-9_.]*\Z"), "write the number without '_', found '{0}'"),
    (
        re.compile(r"[-+]?0[0-9]+\Z|[-+]?0[xob][0-9a-fA-F_]+\Z"),
        "'{0}' reads as octal or hexadecimal in some readers: write it as decimal, or quote it as text",
    ),
    (
        re.compile(r"[-+]?[0-9]+(:[0-5]?[0-9])+(\.[0-9]*)?\Z"),
        "'{0}' reads as a number to the base 60 in some readers: write one number, or quote it as text",
    ),
)


class Surprise(ValueError):
    """A plain word that readers of YAML take in different ways, or that is no finite number."""


def plain(word: str) -> Scalar:
    """The value of an unquoted word.

    Raises:
        Surprise: with a message that says what to write instead.
    """
    if word in _EMPTY:
        return None
    if word in _WORDS:
        return _WORDS[word]
    if len(word) > _MAX_DIGITS:
        # the patterns are for numbers; on a long word of digits they would try every way to divide it
        if _NUMBER_LIKE.issuperset(word) and not word.isalpha():
            raise Surprise(f"a number of {len(word)} characters: expected at most {_MAX_DIGITS}")
        return word
    for pattern, message in _SURPRISES:
        if pattern.match(word):
            raise Surprise(message.format(word[:_MAX_DIGITS]))
    return _number(word) if _FLOAT.match(word) else word


def _number(word: str) -> int | float:
    if _INT.match(word):
        return int(word)
    value = float(word)
    if not math.isfinite(value):
        raise Surprise(f"'{word}' is too large for a number: expected a finite number")
    return value
