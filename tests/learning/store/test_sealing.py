"""Seals: standard algorithms checked against Python's own OpenSSL and a published vector.

scrypt is RFC 7914 (compared with hashlib.scrypt), HMAC-SHA256 is RFC 2104 with test case 2 of RFC 4231
(MEMORY), AES-256-GCM is opened here with the library directly.
"""

from __future__ import annotations

import base64
import hashlib
import json
import sys

import pytest
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from glasscan.learning.sealing import (
    ResultsKey,
    SealProblem,
    digest,
    is_unaltered,
    open_paper,
    results_key,
    seal,
)

PAPER = "paper: 5 questions, −18 °C\n".encode() * 20
PASS = "four short plain wörds"
SEALED = seal(PAPER, PASS)


def test_seal_and_open() -> None:
    """What was sealed comes back with the pass-phrase, however its letters were composed."""
    assert open_paper(SEALED, PASS)[0] == PAPER
    assert open_paper(SEALED, "four short plain wo\u0308rds")[0] == PAPER


def test_nothing_of_the_paper_shows() -> None:
    """The file holds no word of the paper, plain or in base64, and no two seals are alike."""
    assert "question" not in SEALED
    assert b"question" not in base64.b64decode(json.loads(SEALED)["paper"])
    assert json.loads(seal(PAPER, PASS))["paper"] != json.loads(SEALED)["paper"]


def test_standard_algorithms() -> None:
    """hashlib.scrypt (N=32768, r=8, p=1) and AES-256-GCM open the file without our code."""
    data = {k: v if k == "format" else base64.b64decode(v) for k, v in json.loads(SEALED).items()}
    key = hashlib.scrypt(PASS.encode(), salt=data["salt"], n=2**15, r=8, p=1, maxmem=2**26, dklen=64)
    bound = data["format"].encode() + data["salt"]
    assert AESGCM(key[:32]).decrypt(data["nonce"], data["paper"], bound) == PAPER
    assert open_paper(SEALED, PASS)[1].key == key[32:]
    assert results_key(PASS, data["salt"]).key == key[32:]


def test_hmac_vector() -> None:
    """RFC 4231, test case 2."""
    known = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
    key = ResultsKey(b"", b"Jefe")
    assert digest(b"what do ya want for nothing?", key) == known
    assert is_unaltered(b"what do ya want for nothing?", key, known)
    assert not is_unaltered(b"what do ya want for nothing!", key, known)


def test_wrong_passphrase() -> None:
    """Another pass-phrase opens nothing: one line."""
    with pytest.raises(SealProblem, match="wrong pass-phrase") as caught:
        open_paper(SEALED, PASS + "!")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9, 0.99])
def test_cut_short(share: float) -> None:
    """A file cut anywhere is one line."""
    with pytest.raises(SealProblem, match="cut short"):
        open_paper(SEALED[: int(share * len(SEALED))], PASS)


@pytest.mark.parametrize("field", ["salt", "nonce", "paper"])
def test_altered(field: str) -> None:
    """One bit changed in any part and the paper does not open."""
    data = json.loads(SEALED)
    raw = bytearray(base64.b64decode(data[field]))
    raw[-1] ^= 1
    data[field] = base64.b64encode(raw).decode()
    with pytest.raises(SealProblem, match="altered"):
        open_paper(json.dumps(data), PASS)


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[]", "null", "[" * 100_000, '{"format": "glasscan sealed paper 1"}', '{"format": "other"}'],
)
def test_no_sealed_paper(text: str) -> None:
    """Anything else is one line."""
    with pytest.raises(SealProblem, match="sealed paper: "):
        open_paper(text, PASS)


def test_short_passphrase() -> None:
    """A pass-phrase of fewer than eight characters is refused for a new seal."""
    with pytest.raises(SealProblem, match="8 characters"):
        seal(PAPER, "short")


def test_short_is_counted_in_letters() -> None:
    """Seven letters of two bytes each are seven letters."""
    with pytest.raises(SealProblem, match="8 characters"):
        seal(PAPER, "ö" * 7)


@pytest.mark.parametrize("missing", ["exceptions", "hazmat.primitives.kdf.scrypt"])
def test_library_missing(missing: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the library sealing and opening are one line that names it."""
    monkeypatch.setitem(sys.modules, f"cryptography.{missing}", None)
    for act in (lambda: seal(PAPER, PASS), lambda: open_paper(SEALED, PASS)):
        with pytest.raises(SealProblem, match="package 'cryptography'"):
            act()


def test_key_is_not_shown() -> None:
    """The key does not appear where the record is printed."""
    assert "Jefe" not in repr(ResultsKey(b"", b"Jefe"))
