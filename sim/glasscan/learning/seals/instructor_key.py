"""The instructor's key pair: everyone may seal to it, only the pass-phrase opens what was sealed.

Boxes are HPKE (RFC 9180) with X25519, HKDF-SHA256 and AES-256-GCM; the role of a box and what it belongs to
are bound into it. The private key lies in the data folder, locked by the pass-phrase.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import secrets
from dataclasses import dataclass
from pathlib import Path

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey
from cryptography.hazmat.primitives.hpke import AEAD, KDF, KEM, Suite

from glasscan.files import bounded_bytes, write_whole
from glasscan.learning.seals.seal_problems import SealProblem, from_letters, to_letters
from glasscan.learning.seals.start_word import lock, unlock

FORMAT = "glasscan instructor key 2"
BOX_FORMAT = "glasscan box 2"
FILE, DESK_FILE = "instructor-key.json", "desk-key"
LARGEST_BYTES = 20_000
KEY_BYTES = 32
_SUITE = Suite(KEM.X25519, KDF.HKDF_SHA256, AEAD.AES_256_GCM)


@dataclass(frozen=True)
class PublicKey:
    """To whom papers, cases and results are sealed."""

    data: bytes

    @property
    def mark(self) -> str:
        """Eight hexadecimal letters by which people tell two keys apart."""
        return hashlib.sha256(self.data).hexdigest()[:8]

    @property
    def letters(self) -> str:
        """As text of a file."""
        return to_letters(self.data)


@dataclass(frozen=True, repr=False)
class PrivateKey:
    """Opens what was sealed to its public half."""

    own: X25519PrivateKey

    @property
    def public(self) -> PublicKey:
        """Its public half."""
        return PublicKey(self.own.public_key().public_bytes_raw())


def public_key(letters: str) -> PublicKey:
    """A public key out of a file.

    Raises:
        SealProblem: it is none.
    """
    data = from_letters(letters, "instructor's key")
    if len(data) != KEY_BYTES:
        raise SealProblem("instructor's key: damaged, or cut short")
    return PublicKey(data)


def seal_to(key: PublicKey, data: bytes, role: str, belongs_to: str) -> str:
    """Seal to an instructor; the text goes into a file.

    Args:
        key: whose.
        data: what is sealed.
        role: "sources", "results" or "case".
        belongs_to: digest of the paper or case.
    """
    box = _SUITE.encrypt(data, X25519PublicKey.from_public_bytes(key.data), _info(key, role, belongs_to))
    return to_letters(box)


def open_box(key: PrivateKey, text: str, role: str, belongs_to: str) -> bytes:
    """Open what was sealed to this instructor.

    Raises:
        SealProblem: sealed to another one, altered, of another role or paper.
    """
    try:
        info = _info(key.public, role, belongs_to)
        return _SUITE.decrypt(from_letters(text, role), key.own, info)
    except (InvalidTag, ValueError) as error:
        raise SealProblem(f"{role}: sealed to another instructor, or of another paper, or altered") from error


def _info(key: PublicKey, role: str, belongs_to: str) -> bytes:
    return "\0".join((BOX_FORMAT, role, belongs_to, key.letters)).encode()


# --- the file --------------------------------------------------------------------------------------------


def has_key(folder: Path) -> bool:
    """Whether this data folder has an instructor's key."""
    return (folder / FILE).is_file()


def make_key(folder: Path, passphrase: str) -> PrivateKey:
    """Make the pair and keep it; a key that is there is never replaced.

    Raises:
        SealProblem: there is one, the pass-phrase is too short, or the folder cannot be written.
    """
    if has_key(folder):
        raise SealProblem(f"{folder / FILE}: is there already; a new key would not open what it sealed")
    private = PrivateKey(X25519PrivateKey.generate())
    closed = lock(private.own.private_bytes_raw(), passphrase, _about(private.public.letters))
    text = json.dumps({"format": FORMAT, "public": private.public.letters, "private": closed}, indent=1)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(folder / FILE, text + "\n")
        (folder / FILE).chmod(0o600)
    except OSError as error:
        raise SealProblem(f"{folder / FILE}: {error.strerror or error}") from error
    return private


def own_public_key(folder: Path) -> PublicKey:
    """The public half of the key in a data folder.

    Raises:
        SealProblem: there is none, or it is damaged.
    """
    return public_key(_file(folder)["public"])


def open_key(folder: Path, passphrase: str) -> PrivateKey:
    """The private key of a data folder.

    Raises:
        SealProblem: there is none, it is damaged, or this is another pass-phrase.
    """
    data = _file(folder)
    try:
        raw = unlock(data["private"], passphrase, _about(data["public"]))
        private = PrivateKey(X25519PrivateKey.from_private_bytes(raw))
    except ValueError as error:
        raise SealProblem(f"{folder / FILE}: damaged") from error
    if private.public.letters != data["public"]:
        raise SealProblem(f"{folder / FILE}: damaged")
    return private


def _about(public: str) -> str:
    return f"instructor's key\0{public}"


def _file(folder: Path) -> dict[str, str]:
    path = folder / FILE
    try:
        data = json.loads(bounded_bytes(path, LARGEST_BYTES))
        found = {name: data[name] for name in ("format", "public", "private")}
    except OSError as error:
        raise SealProblem(
            f"{path}: {error.strerror or error}; `glasscan exam make --seal` makes the key"
        ) from error
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise SealProblem(f"{path}: is no instructor's key, or damaged") from error
    if found["format"] != FORMAT or not all(isinstance(v, str) for v in found.values()):
        raise SealProblem(f"{path}: is no instructor's key of the format '{FORMAT}'")
    return found


# --- what this computer itself has marked ----------------------------------------------------------------


def desk_mac(folder: Path, data: bytes) -> str:
    """Proof that a file was marked on this computer: HMAC-SHA256 (RFC 2104) by a key that never leaves it.

    Raises:
        SealProblem: the folder cannot be written.
    """
    return hmac.new(_desk_key(folder), data, "sha256").hexdigest()


def is_of_this_desk(folder: Path, data: bytes, stated: str) -> bool:
    """Whether a file was marked on this computer and not altered since."""
    if not (folder / DESK_FILE).is_file():
        return False
    return hmac.compare_digest(desk_mac(folder, data).encode(), stated.encode())


def _desk_key(folder: Path) -> bytes:
    path = folder / DESK_FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if not path.exists():
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(handle, "w", encoding="ascii") as file:
                file.write(secrets.token_hex(KEY_BYTES))
        key = bytes.fromhex(bounded_bytes(path, LARGEST_BYTES).decode("ascii"))
    except FileExistsError:
        return _desk_key(folder)
    except OSError as error:
        raise SealProblem(f"{path}: {error.strerror or error}") from error
    except ValueError as error:
        raise SealProblem(f"{path}: damaged; move it away to make a new one") from error
    if len(key) != KEY_BYTES:
        raise SealProblem(f"{path}: damaged; move it away to make a new one")
    return key
