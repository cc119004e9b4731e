"""Locks and boxes: what opens them, what does not, and the standards behind them.

Outside: scrypt (RFC 7914) and AES-GCM of the library `cryptography`, used here directly; HPKE base mode
(RFC 9180, DHKEM X25519, HKDF-SHA256, AES-256-GCM) opened by its key schedule written out here.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from glasscan.learning.seals import instructor_key as keys
from glasscan.learning.seals.instructor_key import open_box, seal_to
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.seals.start_word import FORMAT, lock, new_start_word, unlock

WORD, DATA = "four short plain w\u00f6rds", b"the questions" * 20
LOCKED = lock(DATA, WORD, "questions")
KEY = keys.PrivateKey(X25519PrivateKey.from_private_bytes(bytes(range(32))))


def test_what_is_locked_comes_back_on_every_keyboard() -> None:
    """Composed and decomposed letters are the same secret."""
    assert unlock(LOCKED, WORD, "questions") == DATA
    assert unlock(LOCKED, "four short plain wo\u0308rds", "questions") == DATA


def test_the_lock_is_scrypt_and_aes_gcm() -> None:
    """The file opened with hashlib.scrypt (RFC 7914) and AES-256-GCM, without this project."""
    parts = json.loads(LOCKED)
    salt, nonce, closed = (base64.b64decode(parts[k]) for k in ("salt", "nonce", "closed"))
    key = hashlib.scrypt(WORD.encode(), salt=salt, n=2**16, r=8, p=1, maxmem=2**27, dklen=32)
    assert AESGCM(key).decrypt(nonce, closed, f"{FORMAT}\0questions".encode() + salt) == DATA


@pytest.mark.parametrize(
    ("text", "word", "about"),
    [
        (LOCKED, WORD + "!", "questions"),
        (LOCKED, WORD, "sources"),
        (LOCKED[: len(LOCKED) // 2], WORD, "questions"),
        (LOCKED.replace(FORMAT, "glasscan lock 1"), WORD, "questions"),
        ("[]", WORD, "questions"),
        ("", WORD, "questions"),
    ],
)
def test_what_does_not_open(text: str, word: str, about: str) -> None:
    """Another word, role, format, or half a file: one line."""
    with pytest.raises(SealProblem) as told:
        unlock(text, word, about)
    assert "\n" not in str(told.value)


def test_every_byte_counts() -> None:
    """A flipped bit anywhere in salt, nonce or text is noticed."""
    whole = json.loads(LOCKED)
    for part in ("salt", "nonce", "closed"):
        data = bytearray(base64.b64decode(whole[part]))
        data[len(data) // 2] ^= 1
        with pytest.raises(SealProblem):
            unlock(json.dumps(whole | {part: base64.b64encode(data).decode()}), WORD, "questions")


@pytest.mark.parametrize("secret", ["short", "\u00f6" * 7, " " * 9])
def test_a_secret_too_short(secret: str) -> None:
    """Seven letters, or blanks alone, make no lock."""
    with pytest.raises(SealProblem, match="8 characters"):
        lock(DATA, secret, "questions")


def test_start_words_differ() -> None:
    """Three pairs of syllables, drawn anew each time."""
    words = {new_start_word() for _ in range(200)}
    assert len(words) == 200
    assert all(len(w) == 14 and w.count("-") == 2 for w in words)


def hkdf(salt: bytes, ikm: bytes, info: bytes, length: int) -> bytes:
    """HKDF-SHA256 (RFC 5869)."""
    prk, out, block = hmac.digest(salt or bytes(32), ikm, "sha256"), b"", b""
    while len(out) < length:
        block = hmac.digest(prk, block + info + bytes([len(out) // 32 + 1]), "sha256")
        out += block
    return out[:length]


def test_the_box_is_hpke() -> None:
    """RFC 9180 sections 4.1 and 5.1 by hand: shared secret, key and nonce; then AES-256-GCM."""
    box = base64.b64decode(seal_to(KEY.public, DATA, "sources", "d" * 64))
    enc, closed = box[:32], box[32:]
    kem, suite = b"KEM\x00\x20", b"HPKE\x00\x20\x00\x01\x00\x02"

    def extract(salt: bytes, label: bytes, ikm: bytes, own: bytes) -> bytes:
        return hmac.digest(salt or bytes(32), b"HPKE-v1" + own + label + ikm, "sha256")

    def expand(prk: bytes, label: bytes, info: bytes, length: int, own: bytes) -> bytes:
        text = length.to_bytes(2, "big") + b"HPKE-v1" + own + label + info
        out, block = b"", b""
        while len(out) < length:
            block = hmac.digest(prk, block + text + bytes([len(out) // 32 + 1]), "sha256")
            out += block
        return out[:length]

    dh = KEY.own.exchange(X25519PublicKey.from_public_bytes(enc))
    shared = expand(extract(b"", b"eae_prk", dh, kem), b"shared_secret", enc + KEY.public.data, 32, kem)
    info = "\0".join((keys.BOX_FORMAT, "sources", "d" * 64, KEY.public.letters)).encode()
    context = b"\0" + extract(b"", b"psk_id_hash", b"", suite) + extract(b"", b"info_hash", info, suite)
    secret = extract(shared, b"secret", b"", suite)
    key, nonce = (expand(secret, n, context, k, suite) for n, k in ((b"key", 32), (b"base_nonce", 12)))
    assert AESGCM(key).decrypt(nonce, closed, b"") == DATA


def test_a_box_is_of_one_role_one_paper_and_one_instructor() -> None:
    """Opened as another role, for another paper, by another key, or with a flipped bit: shut."""
    box = seal_to(KEY.public, DATA, "sources", "d" * 64)
    assert open_box(KEY, box, "sources", "d" * 64) == DATA
    flipped = bytearray(base64.b64decode(box))
    flipped[40] ^= 1
    other = keys.PrivateKey(X25519PrivateKey.generate())
    for key, text, role, paper in (
        (KEY, box, "results", "d" * 64),
        (KEY, box, "sources", "e" * 64),
        (other, box, "sources", "d" * 64),
        (KEY, base64.b64encode(flipped).decode(), "sources", "d" * 64),
        (KEY, "", "sources", "d" * 64),
    ):
        with pytest.raises(SealProblem):
            open_box(key, text, role, paper)


def test_the_key_lies_locked_and_is_never_replaced(tmp_path: Path) -> None:
    """The private half is not in the clear; a second key is refused; a swapped public half is seen."""
    private = keys.make_key(tmp_path, WORD)
    file = tmp_path / keys.FILE
    assert keys.own_public_key(tmp_path) == private.public
    assert keys.open_key(tmp_path, WORD).public == private.public
    assert private.own.private_bytes_raw() not in file.read_bytes()
    assert base64.b64encode(private.own.private_bytes_raw()) not in file.read_bytes()
    assert file.stat().st_mode & 0o077 == 0
    for act in (lambda: keys.make_key(tmp_path, WORD), lambda: keys.open_key(tmp_path, "another phrase")):
        with pytest.raises(SealProblem):
            act()
    file.write_text(json.dumps(json.loads(file.read_text()) | {"public": KEY.public.letters}))
    with pytest.raises(SealProblem):
        keys.open_key(tmp_path, WORD)


def test_marks_of_this_desk(tmp_path: Path) -> None:
    """A proof holds for these bytes in this folder, and for nothing else."""
    proof = keys.desk_mac(tmp_path, DATA)
    assert keys.is_of_this_desk(tmp_path, DATA, proof)
    assert not keys.is_of_this_desk(tmp_path, DATA + b"x", proof)
    assert not keys.is_of_this_desk(tmp_path / "other", DATA, proof)
