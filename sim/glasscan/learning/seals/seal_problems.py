"""What can go wrong with a seal, and the bytes that seals are made of."""

from __future__ import annotations

import base64
import binascii
import unicodedata


class SealProblem(Exception):
    """The seal cannot be made, opened or checked; the text is one line for the user."""


def to_letters(data: bytes) -> str:
    """Bytes as text of a file."""
    return base64.b64encode(data).decode("ascii")


def from_letters(text: str, what: str) -> bytes:
    """Bytes out of the text of a file.

    Raises:
        SealProblem: it is none.
    """
    try:
        return base64.b64decode(text, validate=True)
    except (ValueError, binascii.Error) as error:
        raise SealProblem(f"{what}: damaged, or cut short") from error


def composed(secret: str) -> str:
    """The same letters give the same text on every keyboard and system."""
    return unicodedata.normalize("NFKC", secret)
