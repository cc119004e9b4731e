"""What a typed secret locks: the questions of a paper (start word), the instructor's own key (pass-phrase).

scrypt (RFC 7914) makes a key of AES-256-GCM; what the text is for is bound to it, so that it cannot be put
in another place. The one cost known is the one used: a file cannot ask for a weaker one.
"""

from __future__ import annotations

import json
import os
import secrets
from functools import lru_cache

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from glasscan.learning.seals.seal_problems import SealProblem, composed, from_letters, to_letters

FORMAT = "glasscan lock 2"
SALT_BYTES, NONCE_BYTES, KEY_BYTES = 16, 12, 32
COST, BLOCK, LANES = 2**16, 8, 1
"""scrypt: N, r, p; 64 MiB and about a fifth of a second (RFC 7914; PRACTICE for a typed secret)."""
LEAST_CHARACTERS = 8
"""Shortest pass-phrase accepted for a new lock (PRACTICE)."""
CONSONANTS, VOWELS, SYLLABLES = "bdfgklmnprstvz", "aeiou", 6


def new_start_word() -> str:
    """A word to say in class, such as `tulo-meva-kiru`: 70^6 of them, 36 bits."""
    parts = [secrets.choice(CONSONANTS) + secrets.choice(VOWELS) for _ in range(SYLLABLES)]
    return "-".join(a + b for a, b in zip(parts[::2], parts[1::2], strict=True))


def lock(data: bytes, secret: str, about: str) -> str:
    """Encrypt; the text returned goes into a file.

    Args:
        data: what is locked.
        secret: typed by people.
        about: role and place of the text; opened for anything else, it stays shut.

    Raises:
        SealProblem: the secret is too short.
    """
    if len(composed(secret).strip()) < LEAST_CHARACTERS:
        raise SealProblem(f"pass-phrase: expected {LEAST_CHARACTERS} characters or more")
    salt, nonce = os.urandom(SALT_BYTES), os.urandom(NONCE_BYTES)
    closed = AESGCM(_key(composed(secret), salt)).encrypt(nonce, data, _bound(about, salt))
    parts = {"salt": salt, "nonce": nonce, "closed": closed}
    return json.dumps({"format": FORMAT, **{k: to_letters(v) for k, v in parts.items()}})


def unlock(text: str, secret: str, about: str) -> bytes:
    """Decrypt.

    Raises:
        SealProblem: no such text, cut short, altered, of another place, or another secret.
    """
    salt, nonce, closed = _parts(text, about)
    try:
        return AESGCM(_key(composed(secret), salt)).decrypt(nonce, closed, _bound(about, salt))
    except InvalidTag as error:
        raise SealProblem(f"{_role(about)}: another secret opens it, or the file was altered") from error


@lru_cache(maxsize=4)
def _key(secret: str, salt: bytes) -> bytes:
    scrypt = Scrypt(salt=salt, length=KEY_BYTES, n=COST, r=BLOCK, p=LANES)
    return scrypt.derive(secret.encode("utf-8", "surrogatepass"))


def _bound(about: str, salt: bytes) -> bytes:
    return "\0".join((FORMAT, about)).encode() + salt


def _role(about: str) -> str:
    return about.partition("\0")[0]


def _parts(text: str, about: str) -> tuple[bytes, bytes, bytes]:
    what = _role(about)
    try:
        data = json.loads(text)
        if data["format"] != FORMAT:
            raise SealProblem(f"{what}: expected the format '{FORMAT}'")
        salt, nonce, closed = (from_letters(data[k], what) for k in ("salt", "nonce", "closed"))
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise SealProblem(f"{what}: damaged, or cut short") from error
    if len(salt) != SALT_BYTES or len(nonce) != NONCE_BYTES:
        raise SealProblem(f"{what}: damaged, or cut short")
    return salt, nonce, closed
