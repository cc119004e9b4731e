"""Sealed exam papers, and results that show when they were altered.

A pass-phrase gives two keys by scrypt (RFC 7914): one encrypts the paper with AES-256-GCM, one makes an
HMAC-SHA256 of the results. A seal keeps a paper closed until the pass-phrase is typed. It does not stop
someone who knows the pass-phrase, or who reads the memory of a computer on which the paper is open.
"""

from __future__ import annotations

import base64
import binascii
import hmac
import json
import os
import unicodedata
from dataclasses import dataclass
from typing import Any

FORMAT = "glasscan sealed paper 1"
SALT_BYTES, NONCE_BYTES, KEY_BYTES = 16, 12, 32
COST, BLOCK, LANES = 2**15, 8, 1
"""scrypt: N, r, p; 32 MiB and about a tenth of a second (RFC 7914; PRACTICE for a typed pass-phrase)."""
LEAST_CHARACTERS = 8
"""Shortest pass-phrase accepted for a new seal (PRACTICE)."""


class SealProblem(Exception):
    """The seal cannot be made, opened or checked; the text is one line for the user."""


@dataclass(frozen=True, repr=False)
class ResultsKey:
    """Key for the digest of results, with the salt that gives it again from the pass-phrase."""

    salt: bytes
    key: bytes


def seal(paper: bytes, passphrase: str) -> str:
    """Encrypt a paper; the text returned is the file to hand out.

    Raises:
        SealProblem: the pass-phrase is too short, or the library is missing.
    """
    if len(_composed(passphrase)) < LEAST_CHARACTERS:
        raise SealProblem(f"pass-phrase: expected {LEAST_CHARACTERS} characters or more")
    salt, nonce = os.urandom(SALT_BYTES), os.urandom(NONCE_BYTES)
    closed = _cipher(_keys(passphrase, salt)[0]).encrypt(nonce, paper, _bound(salt))
    parts = {"salt": salt, "nonce": nonce, "paper": closed}
    return json.dumps({"format": FORMAT, **{k: _letters(v) for k, v in parts.items()}}, indent=1) + "\n"


def open_paper(sealed: str, passphrase: str) -> tuple[bytes, ResultsKey]:
    """Decrypt a paper; the second value is the key for the digest of its results.

    Raises:
        SealProblem: no sealed paper, cut short, altered, or another pass-phrase.
    """
    salt, nonce, closed = _parts(sealed)
    cipher_key, results_key = _keys(passphrase, salt)
    try:
        paper = _cipher(cipher_key).decrypt(nonce, closed, _bound(salt))
    except _library().invalid_tag as error:
        raise SealProblem("sealed paper: wrong pass-phrase, or the file was altered") from error
    return paper, ResultsKey(salt, results_key)


def results_key(passphrase: str, salt: bytes) -> ResultsKey:
    """The key for the digest of results again, from the pass-phrase of the paper."""
    return ResultsKey(salt, _keys(passphrase, salt)[1])


def digest(results: bytes, key: ResultsKey) -> str:
    """HMAC-SHA256 of results (RFC 2104), 64 hexadecimal letters."""
    return hmac.new(key.key, results, "sha256").hexdigest()


def is_unaltered(results: bytes, key: ResultsKey, stated: str) -> bool:
    """Whether results are those the digest was made of."""
    return hmac.compare_digest(digest(results, key).encode(), stated.encode())


@dataclass(frozen=True)
class _Library:
    """What is used of the package `cryptography`."""

    scrypt: Any
    aes_gcm: Any
    invalid_tag: type[Exception]


def _library() -> _Library:
    """Loaded only when a seal is used: nothing else needs the package."""
    try:
        from cryptography.exceptions import InvalidTag
        from cryptography.hazmat.primitives.ciphers.aead import AESGCM
        from cryptography.hazmat.primitives.kdf.scrypt import Scrypt
    except ImportError as error:
        raise SealProblem("sealed papers need the package 'cryptography': install it first") from error
    return _Library(Scrypt, AESGCM, InvalidTag)


def _keys(passphrase: str, salt: bytes) -> tuple[bytes, bytes]:
    """Key of the cipher and key of the digest."""
    scrypt = _library().scrypt(salt=salt, length=2 * KEY_BYTES, n=COST, r=BLOCK, p=LANES)
    both: bytes = scrypt.derive(_composed(passphrase).encode("utf-8", "surrogatepass"))
    return both[:KEY_BYTES], both[KEY_BYTES:]


def _composed(passphrase: str) -> str:
    """The same letters give the same text on every keyboard and system."""
    return unicodedata.normalize("NFKC", passphrase)


def _cipher(key: bytes) -> Any:
    return _library().aes_gcm(key)


def _bound(salt: bytes) -> bytes:
    """What is not secret but must not be changed either."""
    return FORMAT.encode() + salt


def _letters(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def _parts(sealed: str) -> tuple[bytes, bytes, bytes]:
    """Salt, nonce and encrypted paper of a sealed file."""
    try:
        data = json.loads(sealed)
        if data["format"] != FORMAT:
            raise SealProblem(f"sealed paper: expected the format '{FORMAT}'")
        salt, nonce, closed = (base64.b64decode(data[k], validate=True) for k in ("salt", "nonce", "paper"))
    except (ValueError, KeyError, TypeError, RecursionError, binascii.Error) as error:
        raise SealProblem("sealed paper: not a sealed paper, or the file is cut short") from error
    if len(salt) != SALT_BYTES or len(nonce) != NONCE_BYTES:
        raise SealProblem("sealed paper: not a sealed paper, or the file is cut short")
    return salt, nonce, closed
