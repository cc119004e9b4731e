"""Who is who: one rule for names in any script, and one maker of file names out of them."""

from __future__ import annotations

import re
import unicodedata
from hashlib import sha256

LONGEST_STEM = 40
TELLING = 6
"""Hexadecimal letters that keep apart what reads alike: 1 in 16 million."""


def identity(name: str) -> str:
    """What makes two spellings one person: NFKC, no case, no marks that do not show, single spaces.

    Composed and decomposed letters, capitals of any script and stray joiners give one identity.
    """
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", name).casefold())
    seen = "".join(c for c in folded if unicodedata.category(c) not in ("Cf", "Cc", "Cs", "Co", "Cn"))
    return " ".join(seen.split())


def shows(name: str) -> bool:
    """Whether there is a letter, digit or sign to see: U+3164 and U+2800 are blank to everyone."""
    blank = "\u3164\u2800\u115f\u1160\uffa0"
    return any(unicodedata.category(c)[0] in "LNPS" and c not in blank for c in identity(name))


def file_name(*words: str, apart: str) -> str:
    """A stem of a file name that every system takes, for texts of any origin.

    Args:
        words: for people to read; what is no plain letter or digit becomes a hyphen.
        apart: what keeps two files apart, such as the uid of a sitting; different ones give different names.
    """
    plain = unicodedata.normalize("NFKD", " ".join(words)).casefold()
    plain = re.sub(r"[^a-z0-9]+", "-", "".join(c for c in plain if not unicodedata.combining(c))).strip("-")
    telling = sha256(apart.encode("utf-8", "surrogatepass")).hexdigest()[:TELLING]
    return f"{plain[:LONGEST_STEM].strip('-') or 'name'}-{telling}"
