"""Some attacks once, by the command that makes the table; the real numbers stand in the room's README."""

from __future__ import annotations

import os

import pytest

from tests.attacks.__main__ import known, main

pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals, pipes and limits are POSIX ones")
QUICK = ("clock", "fifo", "kill-store", "kill-text", "newer-store", "vanished-folder")


def test_a_small_round_survives(capsys: pytest.CaptureFixture[str]) -> None:
    """One try of each of six: nothing lost, and the table has a line for each."""
    assert main([*QUICK, "--times", "1"]) == 0
    rows = capsys.readouterr().out.splitlines()[2:]
    assert [row.split(" | ")[0].strip("| ") for row in rows] == list(QUICK)
    assert all(row.endswith("| 1 | 1 | 0 |") for row in rows)


def test_a_loss_is_a_loss(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """A store that calls kept what it does not write: the table says so, and the command ends with 1."""
    from glasscan.learning.store.store import Store

    monkeypatch.setattr(Store, "answer", lambda *_: 1)
    assert main(["clock", "--times", "1"]) == 1
    assert "answers called kept are gone" in capsys.readouterr().err


def test_every_attack_says_what_it_does() -> None:
    """Names are words of the command line; none is without its line for the table."""
    assert len(known()) >= 15
    assert all(attack.about and attack.usual > 0 for attack in known().values())
